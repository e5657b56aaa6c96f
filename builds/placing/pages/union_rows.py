"""Who could live together, as one group."""

from typing import NamedTuple

from builds.placing.forms import BETWEEN
from builds.placing.pages.words import Naming
from habitats.placement.values import Placing


class UnionRow(NamedTuple):
    """``key``: to be sent."""

    who: str
    place: str
    key: str


def union_rows(placing: Placing, naming: Naming) -> list[UnionRow]:
    return [
        UnionRow(naming.animals(stay.groups), naming.place(stay.place), BETWEEN.join(stay.groups))
        for stay in placing.stays
        if len(stay.groups) > 1
    ]


def together_with(placing: Placing, ref: str) -> tuple[str, ...]:
    """Those with whom a group would live; nobody, mostly."""
    stay = next(one for one in placing.stays if ref in one.groups)
    return tuple(one for one in stay.groups if one != ref)
