"""Day by day from today's linens: which changes find none clean, and what is washed when.

Within a day linens come back first, then changes are made, earliest due first and in the order of
the needs where equal, then loads are filled. A change takes the linen that has been clean for
longest, ordinary ones before those set aside; a load takes those soiled for longest. A change that
finds none is a shortage and is tried again on the next day. A bare enclosure is due on the first
day; what was expected back from the wash before and did not come is not at hand.
"""

from collections import deque
from datetime import date, timedelta
from heapq import heappop, heappush

from habitats.rotation.calendar import calendar_of, first_dues
from habitats.rotation.infection import Suspicion, WashHold, rules_for
from habitats.rotation.lane import ORDINARY, Kind, kind_of
from habitats.rotation.packing import Load
from habitats.rotation.planning import WORK, plan_loads
from habitats.rotation.values import (
    Counts,
    Forecast,
    ForecastInputs,
    LinenShortage,
    LinenToday,
    PlannedLoad,
    WashStage,
)
from habitats.wording import message

USUAL = "usual"
# A forecast is not told what linens are set aside for, so this meets every rule of infection.py.
_HOLDS = [rule.holds[0] for rule in rules_for(Suspicion.UNKNOWN)]
HOLD = WashHold(max(one.temperature_c for one in _HOLDS), max(one.minutes for one in _HOLDS))
APART = message(
    "%(celsius)d °C for %(minutes)d min or longer",
    celsius=HOLD.temperature_c,
    minutes=HOLD.minutes,
)
# By which of the washes it is, and how many there are.
_IN_A_ROW = {
    (1, 2): message("%(wash)s, first wash of two", wash=APART),
    (2, 2): message("%(wash)s, second wash of two", wash=APART),
    (1, 3): message("%(wash)s, first wash of three", wash=APART),
    (2, 3): message("%(wash)s, second wash of three", wash=APART),
    (3, 3): message("%(wash)s, third wash of three", wash=APART),
}


def programme_of(kind: Kind, washes: int) -> str:
    """What to run for a load, in words; ``kind`` as in ``lane.py``.

    >>> programme_of(0, 1), programme_of(2, 2)
    ('usual', '65 °C for 14 min or longer, first wash of two')
    """
    if kind == ORDINARY:
        return USUAL
    if washes == 1:
        return message("%(wash)s, twice in a row", wash=APART)
    return _IN_A_ROW[washes - kind + 1, washes]


def forecast(inputs: ForecastInputs, work: int = WORK) -> Forecast:
    """What comes if loads are washed as well as so much work can plan it; see ``Forecast``."""
    plan = plan_loads(inputs, work)
    calendar = calendar_of(inputs.start, inputs.days, inputs.laundry)
    loads = dict(zip(calendar.wash_days, plan.loads, strict=True))
    days = _Days(inputs)
    for day in range(inputs.days):
        days.bring_back(day)
        days.change(day)
        if day in loads:
            days.wash(day, loads[day])
        days.count()
    return days.forecast(plan.bound)


class _Shelf:
    """The linens of one size by where they are; what came first goes first."""

    def __init__(self, washes: int) -> None:
        self.clean: tuple[deque[LinenToday], deque[LinenToday]] = (deque(), deque())
        self.soiled: list[deque[LinenToday]] = [deque() for _ in range(washes + 1)]
        self.in_use = 0
        self.washing = 0

    def take_clean(self) -> LinenToday | None:
        for some in self.clean:
            if some:
                return some.popleft()
        return None

    def counts(self) -> Counts:
        return Counts(
            sum(map(len, self.clean)), self.in_use, sum(map(len, self.soiled)), self.washing
        )


class _Days:
    """Where every linen is while days pass, and what is to be told of it."""

    def __init__(self, inputs: ForecastInputs) -> None:
        self._inputs = inputs
        self._washes = inputs.laundry.set_aside_washes
        self._shelves = {size: _Shelf(self._washes) for size in inputs.sizes}
        self._lying: dict[str, LinenToday] = {}
        self._back: dict[int, list[tuple[LinenToday, Kind]]] = {}
        self._due: dict[int, list[tuple[int, int]]] = {}
        self._waiting: dict[str, list[tuple[int, int]]] = {size: [] for size in inputs.sizes}
        self._shortages: list[LinenShortage] = []
        self._loads: list[PlannedLoad] = []
        self._left_over: list[date] = []
        self._counts: dict[str, list[Counts]] = {size: [] for size in inputs.sizes}
        # One value a day, however often it is told: so a forecast is kept in few bytes.
        self._dates = [inputs.start + timedelta(days=day) for day in range(inputs.days)]
        for piece in inputs.pieces:
            self._put(piece)
        for number, due in enumerate(first_dues(inputs)):
            self._call(due, number, 0)

    def bring_back(self, day: int) -> None:
        for piece, kind in self._back.pop(day, ()):
            shelf = self._shelves[piece.size]
            shelf.washing -= 1
            if kind > 1:
                shelf.soiled[kind - 1].append(piece)
            else:
                shelf.clean[piece.set_aside].append(piece)

    def change(self, day: int) -> None:
        for due, number in self._due.pop(day, ()):
            heappush(self._waiting[self._inputs.needs[number].size], (due, number))
        short: list[tuple[int, int]] = []
        for size, waiting in self._waiting.items():
            shelf = self._shelves[size]
            while waiting and (piece := shelf.take_clean()):
                self._lay(piece, heappop(waiting)[1], day)
            short += waiting
        for _, number in sorted(short):
            need = self._inputs.needs[number]
            self._shortages.append(LinenShortage(self._dates[day], need.size, need.id))

    def wash(self, day: int, loads: tuple[Load, ...]) -> None:
        for load in loads:
            self._load(day, load)
        if any(any(shelf.soiled) for shelf in self._shelves.values()):
            self._left_over.append(self._dates[day])

    def count(self) -> None:
        for size, shelf in self._shelves.items():
            self._counts[size].append(shelf.counts())

    def forecast(self, bound: int) -> Forecast:
        runs_dry: dict[str, date | None] = dict.fromkeys(self._inputs.sizes)
        for shortage in reversed(self._shortages):
            runs_dry[shortage.size] = shortage.date
        days = {size: tuple(counts) for size, counts in self._counts.items()}
        return Forecast(
            tuple(self._shortages),
            tuple(self._loads),
            runs_dry,
            tuple(self._left_over),
            days,
            bound,
        )

    def _put(self, piece: LinenToday) -> None:
        shelf = self._shelves[piece.size]
        if piece.at is WashStage.CLEAN:
            shelf.clean[piece.set_aside].append(piece)
        elif piece.at is WashStage.SOILED:
            shelf.soiled[kind_of(piece, self._washes)].append(piece)
        elif piece.enclosure is not None and piece.at is WashStage.IN_USE:
            shelf.in_use += 1
            self._lying[piece.enclosure] = piece
        elif piece.at is WashStage.WASHING:
            shelf.washing += 1
            if piece.ready is not None:
                kind = min(1, kind_of(piece, self._washes))
                self._back.setdefault(max(0, self._day_of(piece.ready)), []).append((piece, kind))

    def _call(self, due: int, number: int, today: int) -> None:
        if due < self._inputs.days:
            self._due.setdefault(max(due, today), []).append((due, number))

    def _lay(self, piece: LinenToday, number: int, day: int) -> None:
        need = self._inputs.needs[number]
        shelf = self._shelves[need.size]
        if before := self._lying.get(need.id):
            shelf.soiled[kind_of(before, self._washes)].append(before)
        else:
            shelf.in_use += 1
        self._lying[need.id] = piece
        self._call(day + need.interval_days, number, day)

    def _load(self, day: int, load: Load) -> None:
        sizes = list(self._inputs.sizes)
        taken: list[LinenToday] = []
        kinds = [key.kind for key, number in load.items() if number]
        back = self._back.setdefault(day + self._inputs.laundry.back_after, [])
        for key, number in sorted(load.items()):
            shelf = self._shelves[sizes[key.lane]]
            some = [shelf.soiled[key.kind].popleft() for _ in range(number)]
            shelf.washing += number
            back += [(piece, key.kind) for piece in some]
            taken += some
        grams = sum(self._inputs.sizes[piece.size] for piece in taken)
        programme = programme_of(max(kinds), self._washes)
        ids = tuple(piece.id for piece in taken)
        self._loads.append(PlannedLoad(self._dates[day], ids, grams, programme))

    def _day_of(self, on: date) -> int:
        return (on - self._inputs.start).days
