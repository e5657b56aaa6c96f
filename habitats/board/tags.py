"""`{% load set_up %}`, then `{% set_up_strip as strip %}`: what a new rescue still has to do."""

from typing import Any

from django import template

from habitats.board.models.set_up import progress
from habitats.board.pages.set_up import next_step

register = template.Library()


@register.simple_tag
def set_up_strip() -> dict[str, Any]:
    """How far it is and what is next; empty once it is done or closed."""
    found = progress()
    return {"progress": found, "step": next_step(found)} if found.is_due else {}
