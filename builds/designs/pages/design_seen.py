"""A design with the rights of its reader: to see it, to draw on it."""

from django.shortcuts import get_object_or_404

from habitats.designs.models.designs import Design
from habitats.people.models.people import Person


def design_seen_by(person: Person, code: str) -> Design:
    """Raises ``Http404`` for what is not there, or not for this person to see."""
    designs = Design.objects.visible_to(person).with_revision()
    return get_object_or_404(designs, code=code.upper())


def listed_design_seen_by(person: Person, code: str) -> Design:
    """The same without the drawings of single enclosures: those end with what is done to them."""
    designs = Design.objects.visible_to(person).listed().with_revision()
    return get_object_or_404(designs, code=code.upper())


def design_drawn_by(person: Person, code: str) -> Design:
    """Raises ``Http404`` for what is not there, or not for this person to draw."""
    designs = Design.objects.drawable_by(person).with_revision()
    return get_object_or_404(designs, code=code.upper())
