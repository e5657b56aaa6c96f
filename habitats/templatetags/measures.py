"""`{% load measures %}`, then `{{ wall_mm|as_length:units }}`, `{{ floor_mm2|as_area:units }}` …

`units` is in every template's context: the reader's choice (`habitats/people/context.py`).
Not named `length`, which Django uses for how many there are.
"""

from decimal import Decimal

from django import template

from habitats import measures, money

register = template.Library()


@register.filter
def as_length(mm: int, units: str = measures.METRIC) -> str:
    return measures.length(mm, units)


@register.filter
def as_thickness(mm: Decimal) -> str:
    """Of a sheet."""
    return measures.thickness(mm)


@register.simple_tag
def size(width_mm: int, length_mm: int, units: str) -> str:
    """`{% size one.width_mm one.height_mm units %}`"""
    return measures.size((width_mm, length_mm), measures.lengths_in(units))


@register.filter
def as_distance(mm: int, units: str = measures.METRIC) -> str:
    """In a list: metres from 2 m up, or feet and inches."""
    return measures.distance(mm, units)


@register.simple_tag
def footprint(width_mm: int, depth_mm: int, units: str) -> str:
    """`{% footprint home.largest_width_mm home.largest_depth_mm units %}`"""
    return measures.footprint((width_mm, depth_mm), units)


@register.filter
def as_area(mm2: int, units: str = measures.METRIC) -> str:
    return measures.area(mm2, units)


@register.filter
def as_area_needed(mm2: int, units: str = measures.METRIC) -> str:
    """Also of what is lacking."""
    return measures.area_needed(mm2, units)


@register.simple_tag
def amount(count: int, unit: str, units: str) -> str:
    """`{% amount part.count part.unit units %}`: so many, with what they are counted in."""
    return measures.amount(count, unit, units)


@register.simple_tag
def areas_compared(needed_mm2: int, given_mm2: int, units: str) -> tuple[str, str]:
    """`{% areas_compared needed given units as areas %}`: `{{ areas.0 }}`, `{{ areas.1 }}`."""
    return measures.areas_compared(needed_mm2, given_mm2, units)


@register.filter
def as_grams(amount: int) -> str:
    return measures.grams(amount)


@register.filter
def convert_lengths(sentence: object, units: str) -> str:
    """What is said, with its millimetres in the reader's units."""
    return measures.convert_lengths(str(sentence), units)


@register.filter
def as_money(amount: Decimal, currency: str) -> str:
    """`currency` is in every template's context: the rescue's (`habitats/rescue/context.py`)."""
    return money.money(amount, currency)


@register.filter
def as_kilograms(amount: int) -> str:
    return measures.kilograms(amount)
