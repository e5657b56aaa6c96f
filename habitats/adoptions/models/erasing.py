"""What is known of an adopter as a person: handed out, and erased when nothing needs it any more.

Animals, days and outcomes stay, so that an animal that comes back, or an infection, is traced
without a name. What must be kept for longer, such as a signed agreement: local law decides.
"""

from datetime import date
from typing import Any

from django.db import models, transaction
from django.db.models.functions import Coalesce, Greatest, TruncDate
from django.forms.models import model_to_dict
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.adoptions.models.adopters import Adopter, AdopterQuerySet
from habitats.adoptions.models.adoptions import (
    Adoption,
    AdoptionEvent,
    AdoptionOverride,
    AdoptionState,
)
from habitats.adoptions.models.deaths import AdopterDeath
from habitats.adoptions.models.follow_ups import AdoptionFollowUpDone
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.common.kept_prints import forget_adopters
from habitats.people.models.people import Person

# Where a reason has to stand: an end and an override have one, and it may name somebody.
NO_WORDS = "–"
CONTACT_FACTS = ("phone", "email", "address", "notes")
WISHED = ("species", "number", "sex", "from_months", "to_months", "notes", "since", "closed_on")


class CannotErase(Exception):
    """Something still needs the name; nothing was changed."""


def reason_against(adopter: Adopter) -> str:
    """Why the adopter cannot be erased yet, in a sentence; empty if they can."""
    if adopter.adoptions.in_state(AdoptionState.RESERVED, AdoptionState.TRIAL).exists():
        return _("Animals are reserved for this adopter, or on trial. End that first.")
    if adopter.wishes.filter(closed_on__isnull=True).exists():
        return _("A wish of this adopter is on the waiting list. Close it first.")
    return ""


def erased(sender: None, **_more: object) -> tuple[str, list[int]]:
    """Which rows were erased, for what is kept beside the database."""
    found = Adopter.objects.filter(erased_on__isnull=False)
    return "adopter", list(found.values_list("pk", flat=True))


@transaction.atomic
def erase(adopter: Adopter, *, by: Person) -> None:
    """Take away all that names the adopter, also in what was noted. Raises ``CannotErase``."""
    row = Adopter.objects.select_for_update(no_key=True).get(pk=adopter.pk)
    if why := reason_against(row):
        raise CannotErase(why)
    of_both = Adopter.objects.filter(models.Q(pk=row.pk) | models.Q(same_as=row))
    of_both.update(
        name=models.F("code"),
        erased_on=timezone.localdate(),
        erased_by=by,
        **dict.fromkeys(CONTACT_FACTS, ""),
    )
    _empty_notes(row)
    transaction.on_commit(forget_adopters)


def _empty_notes(adopter: Adopter) -> None:
    """Of adoptions and wishes; the rows stay, since they are what happened."""
    adoptions = Adoption.objects.filter(adopter=adopter)
    adoptions.update(notes="")
    adopter.wishes.update(notes="")
    HomeCheck.objects.filter(adoption__in=adoptions).update(note="")
    AdopterDeath.objects.filter(adopted__adoption__in=adoptions).update(note="")
    AdoptionOverride.objects.filter(adoption__in=adoptions).update(reason=NO_WORDS)
    for said in (
        AdoptionEvent.objects.filter(adoption__in=adoptions),
        AdoptionFollowUpDone.objects.filter(follow_up__adoption__in=adoptions),
    ):
        said.exclude(note="").update(note=NO_WORDS)


def without_contact_since(day: date) -> AdopterQuerySet:
    """Adopters of whom nothing has been recorded since the day, the longest ago first.

    Recorded: the adopter, an event, death or follow-up of an adoption, the end of a wish.
    """
    recorded = TruncDate("made_at")
    moments = (
        "adoptions__events__on",
        "adoptions__follow_ups__done__on",
        "adoptions__animals__deaths__on",
        "wishes__closed_on",
    )
    last = [Coalesce(models.Max(name), recorded) for name in moments]
    found = Adopter.objects.by_name()
    dated = found.annotate(last_contact=Greatest(recorded, *last))
    return dated.filter(last_contact__lt=day).order_by("last_contact", "pk")


def data_of(adopter: Adopter) -> dict[str, Any]:
    """All that is stored of one adopter, for the adopter to have; days as ISO 8601."""
    adoptions = adopter.adoptions.order_by("pk").prefetch_related(
        "animals__animal",
        "animals__deaths",
        "events",
        "follow_ups__done",
        "home_checks",
        "overrides",
    )
    return {
        "code": adopter.code,
        **model_to_dict(adopter, ("name", *CONTACT_FACTS)),
        "recorded": adopter.made_at,
        "adoptions": [_adoption(one) for one in adoptions],
        "wishes": list(adopter.wishes.order_by("pk").values(*WISHED)),
    }


def _adoption(adoption: Adoption) -> dict[str, Any]:
    done = [one.done for one in adoption.follow_ups.all() if hasattr(one, "done")]
    return {
        "code": adoption.code,
        "animals": [one.animal.name for one in adoption.animals.all()],
        "at_home": adoption.at_home._asdict(),
        "notes": adoption.notes,
        "deaths": [
            {"animal": one.animal.name, **model_to_dict(death, ("on", "note"))}
            for one in adoption.animals.all()
            for death in one.deaths.all()
        ],
        "events": [
            model_to_dict(one, ("on", "state", "visit", "until", "note"))
            for one in sorted(adoption.events.all(), key=lambda one: one.pk)
        ],
        "overrides": [
            {"objection": str(one.sentence), "reason": one.reason}
            for one in sorted(adoption.overrides.all(), key=lambda one: one.pk)
        ],
        "follow_ups": [{"on": one.on, "note": one.note} for one in done],
        "home": [
            model_to_dict(one, ("kind", "on", "width_mm", "depth_mm", "height_mm", "note"))
            for one in adoption.home_checks.all()
        ],
    }
