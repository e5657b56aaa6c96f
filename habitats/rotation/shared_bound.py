"""The fewest shortages that still come when lanes have to share the loads.

A change beyond those that clean linens are there for needs one that was washed since, and all that
is washed is together no heavier than the loads that are back in time. Changes are taken by what
each saves a gram, the last one in part, as in a knapsack whose things may be cut (Dantzig, 1957);
no plan of loads saves more.
"""

from collections.abc import Sequence

from habitats.rotation.bound import Prospect
from habitats.rotation.values import Laundry

MOST_G_TRIED = 60_000  # loads larger than this are taken to be filled to the last gram


class Shared:
    """The loads of one laundry as a bound on what its lanes can have together."""

    def __init__(self, grams: Sequence[int], laundry: Laundry) -> None:
        self._grams = grams
        self._day_g = laundry.loads_per_day * fullest_load(grams, laundry.load_g)

    def at_least(self, lanes: Sequence[Sequence[Prospect]]) -> int:
        """A number of shortages that still come; prospects by lane, for the same last days."""
        return max(self._until_one_day(together) for together in zip(*lanes, strict=True))

    def _until_one_day(self, lanes: Sequence[Prospect]) -> int:
        waits = sum(one.waits for one in lanes)
        offers: list[tuple[float, int, int, int]] = []
        for grams, one in zip(self._grams, lanes, strict=True):
            free, most = one.clean, one.changes
            for days, number in one.savings:
                taken = min(free, number)
                waits -= days * taken
                free -= taken
                washed = min(number - taken, most - taken)
                most -= taken + washed
                if washed > 0:
                    offers.append((-days / grams, grams, days, washed))
        return max(0, waits - self._most_saved(sorted(offers), self._day_g * lanes[0].washes))

    @staticmethod
    def _most_saved(offers: Sequence[tuple[float, int, int, int]], room: int) -> int:
        saved = 0
        for _, grams, days, number in offers:
            if grams * number > room:
                return saved + days * room // grams
            saved += days * number
            room -= grams * number
        return saved


def fullest_load(grams: Sequence[int], load_g: int) -> int:
    """The heaviest that a load of such linens can be.

    >>> fullest_load([700, 950], 3000)
    2850
    """
    if load_g > MOST_G_TRIED:
        return load_g
    reached = 1  # bit n: n grams can be reached
    for mass in set(grams):
        step = mass
        while step <= load_g:  # doubling reaches every number of linens of the mass
            reached |= reached << step
            step *= 2
        reached &= (1 << (load_g + 1)) - 1
    return reached.bit_length() - 1
