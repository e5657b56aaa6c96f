"""`{% load measures %}`, then `{{ wall_mm|as_length:units }}`, `{{ floor_mm2|as_area:units }}` …

`units` is in every template's context: the reader's choice (`habitats/people/context.py`).
Not named `length`, which Django uses for how many there are.
"""

from django import template

from habitats import measures

register = template.Library()


@register.filter
def as_length(mm: int, units: str = measures.METRIC) -> str:
    return measures.length(mm, units)


@register.filter
def as_area(mm2: int, units: str = measures.METRIC) -> str:
    return measures.area(mm2, units)


@register.filter
def as_grams(amount: int) -> str:
    return measures.grams(amount)


@register.filter
def convert_lengths(sentence: object, units: str) -> str:
    """What is said, with its millimetres in the reader's units."""
    return measures.convert_lengths(str(sentence), units)


@register.filter
def as_kilograms(amount: int) -> str:
    return measures.kilograms(amount)
