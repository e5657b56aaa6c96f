"""From one wash day to the next with all lanes together, each step reckoned once and counted."""

from typing import NamedTuple, Optional

from habitats.rotation.bound import at_least, is_plain, washing_all
from habitats.rotation.calendar import calendar_of
from habitats.rotation.lane import Key, Standing, lanes_of, passed, standings_of, washed
from habitats.rotation.packing import Packer
from habitats.rotation.values import Round

Counts = tuple[int, ...]  # of linens by key, in the order of ``Course.keys``


class Way(NamedTuple):
    """How all lanes stand on a wash day before its wash, and what was washed to come there.

    ``shortages`` are those so far, ``least`` the fewest that there can be in the end.
    """

    standings: tuple[Standing, ...]
    shortages: int
    least: int
    counts: Counts = ()
    before: Optional["Way"] = None

    def choices(self) -> list[Counts]:
        """What was washed on each wash day, first day first."""
        made: list[Counts] = []
        way: Way | None = self
        while way is not None and way.before is not None:
            made.append(way.counts)
            way = way.before
        return made[::-1]


class Course:
    """The lanes of a question and its calendar. ``spent`` counts enclosures looked at."""

    def __init__(self, question: Round) -> None:
        laundry = question.laundry
        self.laundry = laundry
        self.lanes = lanes_of(question)
        self.calendar = calendar_of(question.start, question.days, laundry)
        self.keys = tuple(
            Key(at, kind)
            for at in range(len(self.lanes))
            for kind in range(laundry.set_aside_washes + 1)
        )
        grams = {key: self.lanes[key.lane].grams for key in self.keys}
        self.packer = Packer(grams, laundry.loads_per_day, laundry.load_g)
        self.spent = 0
        self._standings = standings_of(question)
        self._rooms = [lane.room_in(laundry) for lane in self.lanes]
        self._passed: dict[tuple[int, int, Standing], tuple[Standing, int]] = {}
        self._least: dict[tuple[int, int, Standing], int] = {}

    @property
    def washes(self) -> int:
        """How many wash days there are."""
        return len(self.calendar.wash_days)

    def start(self) -> Way:
        """On the first wash day; on the last day if there is none."""
        return self._way(self._standings, 0, 0)

    def after(self, way: Way, number: int, counts: Counts) -> Way:
        """On the next wash day, or on the last day, if so many go into the loads of this one."""
        kinds = self.laundry.set_aside_washes + 1
        back = self.calendar.back(number)
        standings = tuple(
            washed(standing, counts[at * kinds : (at + 1) * kinds], back)
            for at, standing in enumerate(way.standings)
        )
        return self._way(standings, way.shortages, number + 1)._replace(counts=counts, before=way)

    def soiled(self, way: Way) -> Counts:
        """How many linens of each key wait for a wash."""
        return tuple(number for standing in way.standings for number in standing.soiled)

    def is_plain(self, way: Way) -> list[bool]:
        """By lane: whether the more of it is washed the better."""
        return [is_plain(*both) for both in zip(self.lanes, way.standings, strict=True)]

    def _way(self, standings: tuple[Standing, ...], shortages: int, number: int) -> Way:
        steps = [self._pass(at, number, standing) for at, standing in enumerate(standings)]
        standings = tuple(standing for standing, _ in steps)
        shortages += sum(more for _, more in steps)
        ahead = sum(self._ahead(at, number, standing) for at, standing in enumerate(standings))
        return Way(standings, shortages, shortages + ahead)

    def _pass(self, at: int, number: int, standing: Standing) -> tuple[Standing, int]:
        known = self._passed.get((at, number, standing))
        if known is None:
            days = self.calendar.until_wash(number)
            self.spent += 20 + len(standing.due)
            known = self._passed[at, number, standing] = passed(self.lanes[at], standing, days)
        return known

    def _ahead(self, at: int, number: int, standing: Standing) -> int:
        """The fewest shortages of a lane after a wash day."""
        if number >= self.washes:
            return 0
        known = self._least.get((at, number, standing))
        if known is None:
            lane, calendar, room = self.lanes[at], self.calendar, self._rooms[at]
            reckon = washing_all if is_plain(lane, standing) else at_least
            self.spent += (self.washes - number) * (20 + len(standing.due))
            known = reckon(lane, standing, calendar, number, room)
            self._least[at, number, standing] = known
        return known
