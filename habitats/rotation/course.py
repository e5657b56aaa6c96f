"""From one wash day to the next with all lanes together, each step reckoned once and counted.

Standings are known by number, so that a search which comes upon the same ones again and again
compares and looks up small tuples of numbers.
"""

from typing import NamedTuple, Optional

from habitats.rotation.bound import MOST_ENDS, Prospect, at_least, is_plain, prospects
from habitats.rotation.calendar import calendar_of
from habitats.rotation.lane import Key, LaneState, lanes_of, passed, standings_of, washed
from habitats.rotation.packing import Packer
from habitats.rotation.shared_bound import Shared
from habitats.rotation.urgency import Some, missed_from
from habitats.rotation.values import ForecastInputs

Numbers = tuple[int, ...]  # of linens by key, in the order of ``Course.keys``

LANE_COST = 20  # of a lane that is passed, beside its enclosures


class CourseWay(NamedTuple):
    """How all lanes stand on a wash day before its wash, and what was washed to come there.

    ``standings`` by lane, as numbers. ``shortages`` are those so far, ``least`` the fewest that
    there can be in the end, as far as that was looked at.
    """

    standings: tuple[int, ...]
    shortages: int
    least: int
    counts: Numbers = ()
    before: Optional["CourseWay"] = None

    def choices(self) -> list[Numbers]:
        """What was washed on each wash day, first day first."""
        return [way.counts for way in [*self.wash_days(), self][1:]]

    def wash_days(self) -> list["CourseWay"]:
        """How it stood on each wash day before, first day first."""
        ways: list[CourseWay] = []
        way = self.before
        while way is not None:
            ways.append(way)
            way = way.before
        return ways[::-1]


class _Step(NamedTuple):
    """A lane on the next wash day, and its shortages until then."""

    standing: int
    shortages: int


class Course:
    """The lanes of the inputs, and their calendar. ``spent`` counts enclosures looked at."""

    def __init__(self, inputs: ForecastInputs) -> None:
        laundry = inputs.laundry
        self.laundry = laundry
        self.lanes = lanes_of(inputs)
        self.calendar = calendar_of(inputs.start, inputs.days, laundry)
        self.kinds = laundry.set_aside_washes + 1
        self.keys = tuple(
            Key(at, kind) for at in range(len(self.lanes)) for kind in range(self.kinds)
        )
        grams = {key: self.lanes[key.lane].grams for key in self.keys}
        self.packer = Packer(grams, laundry.loads_per_day, laundry.load_g)
        self.spent = 0
        self._rooms = [lane.room_in(laundry) for lane in self.lanes]
        self._standings: list[LaneState] = []
        self._numbers: dict[LaneState, int] = {}
        self._steps: dict[tuple[int, int, int, Numbers], _Step] = {}
        self._least: dict[tuple[int, int, int], int] = {}
        self._missed: dict[tuple[int, int, int], list[Some]] = {}
        self._plain: dict[tuple[int, int], bool] = {}
        self._prospects: dict[tuple[int, int, int], tuple[Prospect, ...]] = {}
        self._shared = Shared([lane.grams for lane in self.lanes], laundry)
        self._first = standings_of(inputs)

    @property
    def washes(self) -> int:
        """How many wash days there are."""
        return len(self.calendar.wash_days)

    def start(self) -> CourseWay:
        """On the first wash day; on the last day if there is none."""
        steps = [self._pass(at, 0, standing) for at, standing in enumerate(self._first)]
        return self._way(0, steps)

    def after(self, way: CourseWay, number: int, counts: Numbers) -> CourseWay:
        """On the next wash day, or on the last day, if so many go into the loads of this one."""
        kinds = self.kinds
        steps = [
            self._step(at, number, standing, counts[at * kinds : (at + 1) * kinds])
            for at, standing in enumerate(way.standings)
        ]
        return self._way(way.shortages, steps)._replace(counts=counts, before=way)

    def bounded(self, way: CourseWay, number: int) -> CourseWay:
        """The way with what must still come if each lane had all loads to itself."""
        if number >= self.washes:
            return way
        ahead = sum(self._ahead(at, number, one) for at, one in enumerate(way.standings))
        return way._replace(least=max(way.least, way.shortages + ahead))

    def bounded_together(self, way: CourseWay, number: int) -> CourseWay:
        """The way with what must still come since lanes share the loads; costs more to know."""
        if number >= self.washes or len(way.standings) == 1:
            return way
        ahead = self._shared.at_least(
            [self._prospects_of(at, number, one) for at, one in enumerate(way.standings)]
        )
        self.spent += MOST_ENDS * LANE_COST * len(way.standings)
        return way._replace(least=max(way.least, way.shortages + ahead))

    def standings(self, way: CourseWay) -> list[LaneState]:
        return [self._standings[one] for one in way.standings]

    def soiled(self, way: CourseWay) -> Numbers:
        """How many linens of each key wait for a wash."""
        return tuple(number for one in way.standings for number in self._standings[one].soiled)

    def washes_all(self, end: CourseWay) -> bool:
        """Whether all that was soiled was washed on each wash day of a way."""
        days = zip(end.wash_days(), end.choices(), strict=True)
        return all(counts == self.soiled(way) for way, counts in days)

    def missed(self, way: CourseWay, number: int) -> list[Some]:
        """Soiled linens of all lanes by the day on which they will be missed."""
        return [
            one
            for at, standing in enumerate(way.standings)
            for one in self._missed_of(at, number, standing)
        ]

    def is_plain(self, way: CourseWay) -> list[bool]:
        """By lane: whether the more of it is washed the better."""
        return [self._is_plain(at, one) for at, one in enumerate(way.standings)]

    def _way(self, shortages: int, steps: list[_Step]) -> CourseWay:
        self.spent += 3 * len(steps)
        shortages += sum(step.shortages for step in steps)
        return CourseWay(tuple(step.standing for step in steps), shortages, shortages)

    def _step(self, at: int, number: int, standing: int, counts: Numbers) -> _Step:
        known = self._steps.get((at, number, standing, counts))
        if known is None:
            back = self.calendar.back(number)
            begun = washed(self._standings[standing], counts, back)
            known = self._steps[at, number, standing, counts] = self._pass(at, number + 1, begun)
        return known

    def _pass(self, at: int, number: int, standing: LaneState) -> _Step:
        """A lane until the wash day of this number."""
        self.spent += LANE_COST + len(standing.due)
        standing, shortages = passed(self.lanes[at], standing, self.calendar.until_wash(number))
        known = self._numbers.setdefault(standing, len(self._standings))
        if known == len(self._standings):
            self._standings.append(standing)
        return _Step(known, shortages)

    def _ahead(self, at: int, number: int, standing: int) -> int:
        known = self._least.get((at, number, standing))
        if known is None:
            known = self._least[at, number, standing] = self._reckon_ahead(at, number, standing)
        return known

    def _reckon_ahead(self, at: int, number: int, standing: int) -> int:
        """The fewest shortages of a lane after a wash day, with all loads to itself."""
        if not self._is_plain(at, standing):
            return at_least(self._prospects_of(at, number, standing))
        shortages, others = 0, (0,) * (self.kinds - 1)
        for wash in range(number, self.washes):
            all_that_fits = min(self._rooms[at], self._standings[standing].soiled[0])
            step = self._step(at, wash, standing, (all_that_fits, *others))
            standing, shortages = step.standing, shortages + step.shortages
        return shortages

    def _is_plain(self, at: int, standing: int) -> bool:
        known = self._plain.get((at, standing))
        if known is None:
            known = self._plain[at, standing] = is_plain(self.lanes[at], self._standings[standing])
        return known

    def _missed_of(self, at: int, number: int, standing: int) -> list[Some]:
        known = self._missed.get((at, number, standing))
        if known is None:
            lane, today = self.lanes[at], self.calendar.wash_days[number]
            self.spent += 5 * (LANE_COST + len(lane.intervals))
            known = missed_from(lane, at, self._standings[standing], today)
            self._missed[at, number, standing] = known
        return known

    def _prospects_of(self, at: int, number: int, standing: int) -> tuple[Prospect, ...]:
        known = self._prospects.get((at, number, standing))
        if known is None:
            lane, calendar, room = self.lanes[at], self.calendar, self._rooms[at]
            self.spent += MOST_ENDS * (LANE_COST + len(lane.intervals)) + calendar.days
            known = tuple(prospects(lane, self._standings[standing], calendar, number, room))
            self._prospects[at, number, standing] = known
        return known
