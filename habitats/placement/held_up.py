"""Which groups cannot move yet: something is to be built first, or animals are to be introduced.

Told on the safe side: a group also waits for those held up in the home it goes to, though the home
may have room for both.
"""

from collections.abc import Collection

from habitats.placement.values import PlaceToLive, Placing, PlacingCase


def held_up(case: PlacingCase, placing: Placing, not_yet: Collection[str]) -> frozenset[str]:
    """``not_yet``: enclosures that do not stand. What the others do can be done without them, in
    the order of all moves."""
    ends = {ref: stay.place for stay in placing.stays for ref in stay.groups}
    lives_in = {one.ref: one.lives_in for one in case.groups}
    home_of = {one.ref: one.home for one in case.enclosures}
    goes = {
        ref: place
        for ref, place in ends.items()
        if place is not None and (place.enclosure is None or place.enclosure != lives_in[ref])
    }
    held = {ref for stay in placing.stays if len(stay.groups) > 1 for ref in stay.groups}
    held |= {ref for ref, place in goes.items() if _is_to_come(place, not_yet)}
    while True:
        places = {there for ref in held if (there := lives_in[ref])}
        homes = {home_of[one] for one in places}
        more = {
            ref
            for ref, place in goes.items()
            if ref not in held
            and (place.enclosure in places or _enters(place, lives_in[ref], home_of, homes))
        }
        if not more:
            return frozenset(held)
        held |= more


def _is_to_come(place: PlaceToLive, not_yet: Collection[str]) -> bool:
    return place.design is not None or place.enclosure in not_yet


def _enters(
    place: PlaceToLive,
    there: str | None,
    home_of: dict[str, str | None],
    homes: Collection[str | None],
) -> bool:
    """Whether it comes into one of these homes from elsewhere."""
    return place.home in homes and (there is None or home_of[there] != place.home)
