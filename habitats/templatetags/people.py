"""`{% load people %}`, then `{{ fault.made_by|name_for:user }}`: surnames are for coordinators.

`{% if user.is_coordinator or user|has_role:"builder" %}` asks what a reader may do.
"""

from django import template

from habitats.people.models.people import Person

register = template.Library()


@register.filter
def name_for(person: Person, reader: object) -> str:
    """As the reader may know them; `user` is who reads, on a page; on paper there is none."""
    return person.name_for(reader)


@register.filter
def who_for(act: object, reader: object) -> str:
    """Who did it: a person as the reader may know them, or words for who has no account."""
    words: str = act.who_for(reader)  # type: ignore[attr-defined]
    return words


@register.filter
def has_role(person: object, role: str) -> bool:
    """Nobody who is not logged in has one."""
    return isinstance(person, Person) and person.has_role(role)
