"""Whether newcomers could come to a place today, while all others stay where they are."""

from collections.abc import Iterator
from typing import NamedTuple

from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import (
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    MissReason,
    PlacingCase,
)

NEWCOMERS = "newcomers"


class LivedIn(NamedTuple):
    """What a home holds already."""

    enclosures: int = 0
    animals: int = 0


def against(
    coming: GroupToPlace,
    enclosure: EnclosureToFill,
    home: HomeToFill | None,
    there: LivedIn,
    *,
    is_free: bool,
) -> Iterator[MissReason]:
    """Why they could not. One that is not free is lived in by those whom they would join."""
    suiting = Suiting(PlacingCase((coming,), (enclosure,), (home,) if home else ()))
    misses = suiting.misses(Asking.one(coming), suiting.standing(enclosure.ref))
    yield from (one.reason for one in misses)
    if home is not None and _is_full(coming, home, there, is_free=is_free):
        yield MissReason.HOME_FULL


def _is_full(coming: GroupToPlace, home: HomeToFill, there: LivedIn, *, is_free: bool) -> bool:
    left = animals_left(home, there)
    return (is_free and enclosures_left(home, there) == 0) or (
        left is not None and left < coming.animals
    )


def enclosures_left(home: HomeToFill, there: LivedIn) -> int | None:
    """How many more it can look after; None: that is not limited."""
    return _left(home.most_enclosures, there.enclosures)


def animals_left(home: HomeToFill, there: LivedIn) -> int | None:
    return _left(home.most_animals, there.animals)


def _left(most: int | None, there: int) -> int | None:
    return None if most is None else max(most - there, 0)
