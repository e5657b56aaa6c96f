"""A departure that an adoption recorded, or that ended one, is not undone by itself: the adoption
would not know."""

from typing import Any

from django.utils.translation import gettext as _

from habitats.adoptions.models.adoptions import AdoptedAnimal
from habitats.animals.models.acts import Act
from habitats.animals.models.animals import Animal
from habitats.animals.models.undoing import UndoHindrance


def refuse_adopted(sender: type[Act], act: Act, **_signal: Any) -> UndoHindrance | None:
    """For ``undo_asked``."""
    if act.kind != Act.Kind.DEPARTURE:
        return None
    theirs = AdoptedAnimal.objects.filter(animal=act.animal_id).select_related("adoption__adopter")
    if act.left_why == Animal.Leaving.ADOPTED:
        words = _("%(animal)s left with an adoption, to %(adopter)s. End the adoption there.")
    else:
        theirs = theirs.filter(ended_on=act.on)
        words = _(
            "%(animal)s was reserved for %(adopter)s until this departure. Readmit the animal, and "
            "reserve it again."
        )
    last = theirs.order_by("-pk").first()
    if last is None:
        return None
    adopter = last.adoption.adopter
    return UndoHindrance(
        words % {"animal": act.animal, "adopter": adopter}, "adoption", last.adoption.code
    )
