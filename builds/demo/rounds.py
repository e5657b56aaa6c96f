"""The demo's linens going round: days of changes and washes, as volunteers would have ticked them.

What is due today is left undone, and of the last wash some is still on the line.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from builds.demo.rows import Network
from habitats.linens.models.changes import LinenChange
from habitats.linens.models.linens import Linen, LinenEvent
from habitats.linens.models.loads import Load
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.spots import Spot
from habitats.rotation.rating import DrumLinen, cotton_g
from habitats.rotation.states import State

FORGOTTEN_AGO = 4


class Lined(NamedTuple):
    """A place that a linen lies in, and the days from one change to the next."""

    spot: Spot
    days: int


class DemoPool(NamedTuple):
    """A pool, the places of all homes that draw from it, and how many days of it are told.

    ``is_in_step``: all its places are changed on one day. ``forgotten``: so many linens were left
    on the line after the wash before the last.
    """

    pool: Pool
    lined: tuple[Lined, ...]
    days: int
    is_in_step: bool = False
    forgotten: int = 0


def live_through(net: Network, demo: DemoPool, linens: Sequence[Linen]) -> None:
    """Append what happened to these linens from the first day of the history up to yesterday."""
    round_ = _Going(net, demo, linens)
    for ago in range(demo.days, 0, -1):
        round_.live(net.day(ago), ago)


class _Going:
    """Where every linen is while the days pass."""

    def __init__(self, net: Network, demo: DemoPool, linens: Sequence[Linen]) -> None:
        self._net, self._demo = net, demo
        self._programme = Programme.objects.filter(pool=demo.pool).order_by("pk")[0]
        self._clean: dict[int, deque[Linen]] = defaultdict(deque)
        for linen in linens:
            self._clean[linen.size_id].append(linen)
        self._soiled: deque[Linen] = deque()
        self._drying: list[tuple[Linen, Load]] = []
        first = net.day(demo.days)
        self._due = [first] * len(demo.lined)
        self._lies: dict[int, Linen] = {}
        self._forgotten: set[str] = set()
        # The first changes are spread, so that not all enclosures are due on one day from then on.
        self._spread: dict[int, int] = {}

    def live(self, day: date, ago: int) -> None:
        self._bring_back(day)
        for number, one in enumerate(self._demo.lined):
            if self._due[number] <= day:
                self._change(number, one, day)
        if day.weekday() in self._demo.pool.wash_weekdays:
            self._wash(day, ago)

    def _bring_back(self, day: date) -> None:
        for linen, load in self._drying:
            self._set_state(linen, State.DRY, day, load=load)
            if linen.label in self._forgotten:
                continue
            self._set_state(linen, State.CLEAN, day, load=load)
            self._clean[linen.size_id].append(linen)
        self._drying = []

    def _change(self, number: int, one: Lined, day: date) -> None:
        clean = self._clean[one.spot.size_id]
        if not clean:
            return
        change = self._net.happened(LinenChange, spot=one.spot, on=day)
        before, linen = self._lies.get(number), clean.popleft()
        if before is not None:
            self._set_state(before, State.SOILED, day, change=change)
            self._soiled.append(before)
        self._set_state(linen, State.IN_USE, day, change=change, spot=one.spot)
        self._lies[number] = linen
        self._due[number] = day + timedelta(days=self._first(one) if before is None else one.days)

    def _first(self, one: Lined) -> int:
        """In how many days the enclosure is changed for the second time."""
        if self._demo.is_in_step:
            return one.days
        spread = self._net.random.randint(1, one.days)
        return self._spread.setdefault(one.spot.enclosure_id, spread)

    def _wash(self, day: date, ago: int) -> None:
        loads = [load for _ in range(self._demo.pool.loads_a_day) if (load := self._filled())]
        for number, load in enumerate(loads, start=1):
            if ago == FORGOTTEN_AGO and number == 1:
                self._forgotten = {linen.label for linen in load[: self._demo.forgotten]}
            # Of yesterday's wash the last load is still in the machine.
            self._run(load, day, is_wet=ago == 1 and number == len(loads))

    def _filled(self) -> list[Linen]:
        """What was soiled first, as much as one load holds."""
        room, taken = self._demo.pool.cotton_g, []
        while self._soiled and (counted := self._counted_g(self._soiled[0])) <= room:
            room -= counted
            taken.append(self._soiled.popleft())
        return taken

    def _run(self, linens: Iterable[Linen], day: date, *, is_wet: bool) -> None:
        linens = list(linens)
        load = self._net.happened(
            Load,
            code=self._net.code(),
            pool=self._demo.pool,
            programme=self._programme,
            on=day,
            grams=sum(linen.mass_g for linen in linens),
        )
        for linen in linens:
            linen.washes += 1
            self._set_state(linen, State.WASHING, day, load=load)
            if not is_wet:
                self._set_state(linen, State.DRYING, day, load=load)
                self._drying.append((linen, load))

    def _counted_g(self, linen: Linen) -> int:
        is_synthetic = linen.kind.fibre == linen.kind.Fibre.SYNTHETIC
        percent = self._demo.pool.synthetic_percent
        return cotton_g(DrumLinen(linen.mass_g, is_synthetic), percent)

    def _set_state(self, linen: Linen, state: State, day: date, **more: object) -> None:
        linen.state, linen.since = state, day
        linen.spot = more.get("spot")  # type: ignore[assignment]
        self._net.happened(
            LinenEvent,
            linen=linen,
            state=state,
            on=day,
            pool=self._demo.pool,
            washes=linen.washes,
            **more,
        )
