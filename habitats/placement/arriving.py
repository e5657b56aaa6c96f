"""Whether newcomers could come to a place today, while all others stay where they are."""

from collections.abc import Iterator
from typing import NamedTuple

from habitats.placement.suiting import ANYWHERE, Asking, kind_misses, kind_of_standing
from habitats.placement.values import EnclosureToFill, GroupToPlace, HomeToFill, MissReason

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
    """Why they could not, whatever the floor. One that is not free is lived in by those whom they
    would join. ``home`` None: it stands in no home, which then limits nothing."""
    yield from kind_misses(Asking.one(coming).kind, kind_of_standing(enclosure, home or ANYWHERE))
    if home is not None and _is_full(coming, home, there, is_free=is_free):
        yield MissReason.HOME_FULL


def _is_full(coming: GroupToPlace, home: HomeToFill, there: LivedIn, *, is_free: bool) -> bool:
    more = left(home.most_animals, there.animals)
    return (is_free and left(home.most_enclosures, there.enclosures) == 0) or (
        more is not None and more < coming.animals
    )


def left(most: int | None, there: int) -> int | None:
    """How many more can be looked after; None: that is not limited."""
    return None if most is None else max(most - there, 0)
