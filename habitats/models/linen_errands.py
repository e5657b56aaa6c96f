"""Changes of linens that are due, by enclosure, and what of the cupboard goes in."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from habitats.models.enclosures import Enclosure, EnclosureQuerySet
from habitats.models.homes import Home
from habitats.models.linens import Linen
from habitats.models.pools import Pool
from habitats.models.rotations import Due, dues_of
from habitats.models.spots import Spot
from habitats.models.stays import Standing
from habitats.rotation.states import State

MOST_OFFERED = 30


class ChangeErrand(NamedTuple):
    """An enclosure whose linens are due: the day of the first of them, and all its dues."""

    enclosure: Enclosure
    home: Home
    on: date
    dues: tuple[Due, ...]

    def due_by(self, day: date) -> int:
        """How many of its spots are due by this day."""
        return sum(due.on <= day for due in self.dues)


def change_errands(enclosures: EnclosureQuerySet, today: date) -> list[ChangeErrand]:
    """Soonest first: where somebody lives, in homes that draw from a pool of linens."""
    standings = Standing.objects.on(today).filter(
        enclosure__in=enclosures.values("pk"), home__pool__isnull=False
    )
    homes = {one.enclosure_id: one.home for one in standings.select_related("home")}
    by_enclosure: dict[Enclosure, list[Due]] = defaultdict(list)
    for due in dues_of(Spot.objects.filter(enclosure__in=standings.values("enclosure")), today):
        by_enclosure[due.spot.enclosure].append(due)
    return [
        ChangeErrand(enclosure, homes[enclosure.pk], dues[0].on, tuple(dues))
        for enclosure, dues in by_enclosure.items()
    ]


def pool_of(enclosure: Enclosure, today: date) -> Pool | None:
    """The pool that the enclosure's home draws from; None if there is none, or no home."""
    standing = enclosure.standings.on(today).select_related("home__pool__home").first()
    return standing.home.pool if standing else None


def offered_for(dues: Sequence[Due], pool: Pool | None) -> dict[int, list[Linen]]:
    """By spot, the clean linens of its size that may go in, the one to take first.

    Those that rested longest go first, so that all wear alike; two spots are not told to take the
    same one first.
    """
    sizes = {due.spot.size_id for due in dues}
    clean: dict[int, list[Linen]] = defaultdict(list)
    if pool is not None:
        there = Linen.objects.filter(pool=pool, size__in=sizes).in_state(State.CLEAN)
        for linen in there.with_kind().longest_rested():
            clean[linen.size_id].append(linen)
    taken: dict[int, int] = defaultdict(int)
    offered = {}
    for due in dues:
        of_size, begin = clean[due.spot.size_id], taken[due.spot.size_id]
        taken[due.spot.size_id] += 1
        offered[due.spot.pk] = (of_size[begin:] + of_size[:begin])[:MOST_OFFERED]
    return offered


def where_soiled_go(linens: Iterable[Linen], today: date) -> list[str]:
    """A sentence for each pool: which linens go to its basket, and when they are washed."""
    by_pool: dict[Pool, list[str]] = defaultdict(list)
    for linen in linens:
        by_pool[linen.pool].append(str(linen))
    return [
        f"{' and '.join(labels)} {'goes' if len(labels) == 1 else 'go'} to the soiled ones of "
        f"{pool}; {next_wash_words(pool, today)}."
        for pool, labels in by_pool.items()
    ]


def next_wash_words(pool: Pool, today: date) -> str:
    """When the pool washes next, today included."""
    for days in range(7):
        day = today + timedelta(days=days)
        if day.weekday() in pool.wash_weekdays:
            return "washed today" if not days else f"washed on {day:%A}"
    return "nobody has said on which days it is washed"
