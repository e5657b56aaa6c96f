"""`{% load steps %}`, then `{{ card|amount_of_words }}`: it sets the size of a step on a phone."""

from collections.abc import Mapping
from typing import Any

from django import template

register = template.Library()

# Letters that a phone of 360 by 740 px shows beside a picture: as large as usual, and smaller.
FEW, SOME = 450, 560


@register.filter
def amount_of_words(card: Mapping[str, Any]) -> str:
    """few, some or many: the fewer words, the larger they are written."""
    parts = (one["name"] for one in card["adds"])
    letters = sum(len(str(one)) for one in (*card["instructions"], *card["cautions"], *parts))
    return "few" if letters <= FEW else "some" if letters <= SOME else "many"
