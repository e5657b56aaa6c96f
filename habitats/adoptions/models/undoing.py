"""What an adoption has against undoing an act: it would not know of it."""

from datetime import timedelta
from typing import Any

from django.db import models
from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import (
    AdoptedAnimal,
    AdoptedAnimalQuerySet,
    AdoptionEvent,
    AdoptionState,
)
from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership
from habitats.animals.models.undoing import UndoHindrance

# A trial moves the animals out, and is recorded in the same transaction.
SAME_STEP = timedelta(minutes=1)


def refuse_adopted(sender: type[Act], act: Act, **_signal: Any) -> UndoHindrance | None:
    """For ``undo_asked``."""
    theirs, words = _standing_against(act)
    last = theirs.select_related("animal", "adoption__adopter").order_by("-pk").first()
    if last is None:
        return None
    adopter = last.adoption.adopter
    return UndoHindrance(
        words % {"animal": last.animal, "adopter": adopter}, "adoption", last.adoption.code
    )


def _standing_against(act: Act) -> tuple[AdoptedAnimalQuerySet, str]:
    """An adoption that has ended stands against nothing but the departure that ended it."""
    theirs = AdoptedAnimal.objects.filter(animal=act.animal_id)
    if act.kind == Act.Kind.INTAKE:
        words = _("%(animal)s is reserved for %(adopter)s. End that reservation first.")
        return theirs.open(), words
    if act.kind == Act.Kind.READMISSION:
        return _against_readmission(act, theirs)
    if act.kind != Act.Kind.DEPARTURE:
        words = _("%(animal)s moved out for a trial with %(adopter)s. End the trial there.")
        return _moved_out_by(act), words
    if act.left_why == Animal.Leaving.ADOPTED:
        words = _("%(animal)s left with an adoption, to %(adopter)s. End the adoption there.")
        return theirs.open() | theirs.died_there(), words
    words = _(
        "%(animal)s was reserved for %(adopter)s until this departure. Readmit the animal, and "
        "reserve it again."
    )
    return theirs.filter(ended_on=act.on), words


def _against_readmission(
    act: Act, theirs: AdoptedAnimalQuerySet
) -> tuple[AdoptedAnimalQuerySet, str]:
    if theirs.open().exists():
        return theirs.open(), _(
            "%(animal)s is reserved for %(adopter)s. End that reservation first."
        )
    returned = AdoptionEvent.objects.filter(
        state=AdoptionState.RETURNED,
        made_by=act.made_by,
        made_at__range=(act.made_at, act.made_at + SAME_STEP),
    )
    words = _(
        "%(animal)s was returned from its adoption by %(adopter)s. That cannot be undone: record a "
        "new adoption."
    )
    return theirs.filter(adoption__in=returned.values("adoption")), words


def _moved_out_by(act: Act) -> AdoptedAnimalQuerySet:
    """Who moved out by this act for a trial that is not over."""
    begun = act.parts.filter(membership__isnull=False, has_begun=True).values("membership")
    left = act.parts.filter(stay__isnull=False, has_begun=False).values("stay__group")
    moved = Membership.objects.open().filter(models.Q(pk__in=begun) | models.Q(group__in=left))
    trials = AdoptionEvent.objects.filter(
        state=AdoptionState.TRIAL,
        on=act.on,
        made_by=act.made_by,
        made_at__range=(act.made_at, act.made_at + SAME_STEP),
    )
    return AdoptedAnimal.objects.on_trial().filter(
        animal__in=moved.values("animal"), adoption__in=trials.values("adoption")
    )
