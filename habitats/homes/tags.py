"""`{% load homes %}`: how a home is reached, for those who may know it."""

from django import template

from habitats.homes.models.homes import Home, HomeContact
from habitats.people.models.people import Person

register = template.Library()


@register.inclusion_tag("homes/_call.html")
def call_home(home: Home | None, reader: Person) -> dict[str, str]:
    """The number to tap, for coordinators; nothing where none is entered."""
    if home is None or not reader.is_coordinator:
        return {}
    contact = HomeContact.objects.filter(home=home).first()
    return {"phone": contact.phone if contact else ""}
