"""`{% load navigation %}`, then `{% places as places %}`: where the person has work."""

from typing import Any

from django import template

from habitats.common.navigation import ShownPlace, places_of
from habitats.common.several_codes import codes_of

register = template.Library()


@register.simple_tag(takes_context=True)
def places(context: dict[str, Any]) -> tuple[ShownPlace, ...]:
    """None before logging in."""
    user = context["user"]
    return places_of(codes_of(user.roles), context["request"].path) if user.is_authenticated else ()
