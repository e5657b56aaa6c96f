"""`{% load steps %}`: how large a step's picture and words are on a phone of 360 by 740 px."""

from collections.abc import Mapping, Sequence
from math import ceil
from typing import Any

from django import template

from habitats.drawing.svg import size_of

register = template.Library()

# What title, picture and words share there, and for each size of words how many letters go on a
# line and how high that is.
SHARED = 562
TITLE = (30, 21.0)
SIZES = (("few", 32, 23.5), ("some", 36, 21.0), ("many", 39, 19.0))
APART = 5  # px between two sentences


@register.filter
def picture_height(picture: str) -> int:
    """So many px high, the smallest letters in it are 12 px on that phone."""
    _width, height = size_of(picture)
    return ceil(height)


@register.filter
def amount_of_words(card: Mapping[str, Any], picture: str) -> str:
    """few, some, many or most beside the picture: the fewer, the larger they are written."""
    parts = "; ".join(f"{one['count']} × {one['name']}" for one in card["adds"])
    told = [str(one) for one in (*card["instructions"], parts, " ".join(card["cautions"])) if one]
    _width, height = size_of(picture)
    room = SHARED - height - _height([str(card["title"])], *TITLE)
    for size, letters, line in SIZES:
        if _height(told, letters, line) <= room:
            return size
    return "most"


def _height(told: Sequence[str], letters: int, line: float) -> float:
    return sum(ceil(len(one) / letters) * line + APART for one in told)
