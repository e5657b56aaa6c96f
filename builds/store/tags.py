"""`{% load costs %}`, then `{% design_cost shape %}`, `{% cost_line shape %}` or
`{% cost_in_short shape %}`: what it costs.

Tags, so that pages of designs show what the store knows. Empty for a draft, and for those who
are no coordinators: prices are for those who buy.
"""

from collections.abc import Iterable
from typing import Any

from django import template
from django.utils.translation import ngettext

from builds.store.models.costs import PricedNeeds, price_of, prices_of
from habitats.designs.models.structures import structure_of
from habitats.people.models.people import Person
from habitats.structure.design import Design as Shape
from habitats.wording import joined

register = template.Library()
MOST_NAMED = 2


@register.inclusion_tag("store/_cost.html", takes_context=True)
def design_cost(context: dict[str, Any], shape: Shape) -> dict[str, Any]:
    """A section with both totals and each item."""
    return _priced(context, shape)


@register.inclusion_tag("store/_cost_line.html", takes_context=True)
def cost_line(context: dict[str, Any], shape: Shape) -> dict[str, Any]:
    """Both totals alone, as rows of a list of figures; some hundredths of a second."""
    return _priced(context, shape)


@register.simple_tag
def with_costs(cards: Iterable[Any]) -> list[tuple[Any, PricedNeeds]]:
    """`{% with_costs cards as rows %}`: each card, which has a sound `shape`, with its cost.

    For pages of coordinators alone.
    """
    cards = list(cards)
    structures = [structure_of(one.shape) for one in cards]
    prices = prices_of(one for one in structures if one)
    return list(zip(cards, prices, strict=True))


@register.inclusion_tag("store/_cost_in_short.html", takes_context=True)
def cost_in_short(context: dict[str, Any], shape: Shape) -> dict[str, Any]:
    """Both totals and what the store is short of, as rows of a list that stays in view."""
    found = _priced(context, shape)
    if not found:
        return {}
    short = found["priced"].short
    more = len(short) - MOST_NAMED
    named = list(short[:MOST_NAMED])
    if more > 0:
        named.append(ngettext("%(count)d more", "%(count)d more", more) % {"count": more})
    return {**found, "short": joined(", ", named)}


def _priced(context: dict[str, Any], shape: Shape) -> dict[str, Any]:
    person, structure = context.get("user"), structure_of(shape)
    if structure is None or not (isinstance(person, Person) and person.is_coordinator):
        return {}
    reader = {"currency": context["currency"], "units": context["units"]}
    return {"priced": price_of(structure), **reader}
