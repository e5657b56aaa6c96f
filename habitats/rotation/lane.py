"""One size by itself, in counts: what a lane of linens does from one wash to the next.

Linens of one size that are set aside equally are interchangeable, so a search for loads need not
know which is which; ``forecast.py`` tells them apart once the loads are chosen. Days are counted
from the start of the forecast, 0. A ``Kind`` is 0 for ordinary linens, else how many washes one
that is set aside still needs.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

from habitats.rotation.calendar import first_dues
from habitats.rotation.values import ForecastInputs, Laundry, LinenToday, WashStage

Kind = int
ORDINARY: Kind = 0
NOTHING = -1  # lies in an enclosure without a linen


class Key(NamedTuple):
    """Linens that are alike for the loads of one day."""

    lane: int
    kind: Kind


class Back(NamedTuple):
    """Linens in the wash, the day they are back, and the kind they were washed as."""

    day: int
    kind: Kind
    number: int


class LaneState(NamedTuple):
    """A lane when the changes of a day are done and its wash has not begun.

    By enclosure: the day its change is ``due``, and which kind ``lies`` in it. By kind: how many
    are ``clean`` (ordinary, set aside) and ``soiled``. What is ``washing``, earliest back first.
    """

    due: tuple[int, ...]
    lies: tuple[int, ...]
    clean: tuple[int, int]
    soiled: tuple[int, ...]
    washing: tuple[Back, ...]


@dataclass(frozen=True, slots=True)
class SizeLane:
    """What of a size stays as it is: the days between changes by enclosure, and a linen's mass."""

    size: str
    grams: int
    intervals: tuple[int, ...]
    washes: int

    @property
    def alike(self) -> bool:
        """Whether all enclosures are changed equally often.

        Then whoever is due first is due first after it too, and one more clean linen on any day
        never makes more shortages. Where intervals differ it can: the linen goes to whoever is due
        first, who may be due again soon and take the next one from an enclosure that has waited
        less but would be content for longer.
        """
        return len(set(self.intervals)) <= 1

    def room_in(self, laundry: Laundry) -> int:
        """How many of the lane fit the loads of one day, if they have them to themselves."""
        return laundry.loads_per_day * (laundry.load_g // self.grams)


def lanes_of(inputs: ForecastInputs) -> tuple[SizeLane, ...]:
    """A lane for each size, in their order."""
    intervals: dict[str, list[int]] = {size: [] for size in inputs.sizes}
    for need in inputs.needs:
        intervals[need.size].append(need.interval_days)
    washes = inputs.laundry.set_aside_washes
    return tuple(
        SizeLane(size, grams, tuple(intervals[size]), washes)
        for size, grams in inputs.sizes.items()
    )


def standings_of(inputs: ForecastInputs) -> tuple[LaneState, ...]:
    """How each lane stands before the first day."""
    pieces: dict[str, list[LinenToday]] = {size: [] for size in inputs.sizes}
    for piece in inputs.pieces:
        pieces[piece.size].append(piece)
    dues: dict[str, list[int]] = {size: [] for size in inputs.sizes}
    for need, due in zip(inputs.needs, first_dues(inputs), strict=True):
        dues[need.size].append(due)
    return tuple(_standing(inputs, size, pieces[size], dues[size]) for size in inputs.sizes)


def _standing(
    inputs: ForecastInputs, size: str, pieces: Sequence[LinenToday], dues: Sequence[int]
) -> LaneState:
    washes = inputs.laundry.set_aside_washes
    needs = [need for need in inputs.needs if need.size == size]
    lying = {
        piece.enclosure: kind_of(piece, washes) for piece in pieces if piece.at is WashStage.IN_USE
    }
    clean = [piece.set_aside for piece in pieces if piece.at is WashStage.CLEAN]
    soiled = [kind_of(piece, washes) for piece in pieces if piece.at is WashStage.SOILED]
    washing = sorted(
        Back((piece.ready - inputs.start).days, min(1, kind_of(piece, washes)), 1)
        for piece in pieces
        if piece.ready is not None
    )
    return LaneState(
        due=tuple(dues),
        lies=tuple(lying.get(need.id, NOTHING) for need in needs),
        clean=(clean.count(False), clean.count(True)),
        soiled=tuple(soiled.count(kind) for kind in range(washes + 1)),
        washing=tuple(washing),
    )


def kind_of(piece: LinenToday, washes: int) -> Kind:
    """Which kind a linen is when it is soiled."""
    return washes if piece.set_aside else ORDINARY


def passed(lane: SizeLane, standing: LaneState, days: range) -> tuple[LaneState, int]:
    """The lane after the changes of the last of these days, and the shortages of all of them."""
    now = _Moving(lane, standing, days)
    shortages = 0
    for day in days:
        now.bring_back(day)
        shortages += now.change(day)
    return now.standing(), shortages


def washed(standing: LaneState, counts: Sequence[int], back: int) -> LaneState:
    """The lane when so many soiled linens of each kind go into loads that are back on a day."""
    gone = tuple(Back(back, kind, count) for kind, count in enumerate(counts) if count)
    return standing._replace(
        soiled=tuple(had - count for had, count in zip(standing.soiled, counts, strict=True)),
        washing=tuple(sorted(standing.washing + gone)),
    )


class _Moving:
    """A standing while days pass."""

    def __init__(self, lane: SizeLane, standing: LaneState, days: range) -> None:
        self._lane = lane
        self._stop = days.stop
        self._due = list(standing.due)
        self._lies = list(standing.lies)
        self._clean = list(standing.clean)
        self._soiled = list(standing.soiled)
        self._washing = list(reversed(standing.washing))
        self._waiting: list[tuple[int, int]] = []  # heap of due day and enclosure
        self._later: dict[int, list[tuple[int, int]]] = {}
        for enclosure, due in enumerate(standing.due):
            if due < days.stop:
                self._later.setdefault(max(due, days.start), []).append((due, enclosure))

    def bring_back(self, day: int) -> None:
        while self._washing and self._washing[-1].day <= day:
            _, kind, number = self._washing.pop()
            if kind > 1:
                self._soiled[kind - 1] += number
            else:
                self._clean[kind] += number

    def change(self, day: int) -> int:
        """Change what is due, earliest first, while there are clean linens; who waits then."""
        for one in self._later.pop(day, ()):
            heappush(self._waiting, one)
        if not self._waiting:
            return 0
        free = self._clean[0] + self._clean[1]
        for _ in range(min(free, len(self._waiting))):
            self._lay(heappop(self._waiting)[1], day)
        return len(self._waiting)

    def _lay(self, enclosure: int, day: int) -> None:
        """Ordinary linens go first, since who washes them need not wash apart."""
        before = self._lies[enclosure]
        if before != NOTHING:
            self._soiled[before] += 1
        set_aside = not self._clean[ORDINARY]
        self._clean[set_aside] -= 1
        self._lies[enclosure] = self._lane.washes if set_aside else ORDINARY
        due = day + self._lane.intervals[enclosure]
        self._due[enclosure] = due
        if due < self._stop:
            self._later.setdefault(due, []).append((due, enclosure))

    def standing(self) -> LaneState:
        return LaneState(
            tuple(self._due),
            tuple(self._lies),
            (self._clean[0], self._clean[1]),
            tuple(self._soiled),
            tuple(reversed(self._washing)),
        )
