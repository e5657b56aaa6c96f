"""Does a forecast hold? Lived through day by day from the definition; shares no code with it.

A forecast is right when each load is of a wash day, no more are washed than the laundry can, none
is too heavy, linens set aside are apart, each linen in a load is soiled just then, and the days
that follow from these loads have the shortages, the counts and the dry days that are told.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta

from habitats.rotation.values import (
    Counts,
    Forecast,
    ForecastInputs,
    LinenNeed,
    LinenShortage,
    PlannedLoad,
    WashStage,
)


def faults_in(inputs: ForecastInputs, forecast: Forecast) -> list[str]:
    """Name everything wrong with a forecast, a sentence each; empty if it is right."""
    faults = list(_load_faults(inputs, forecast))
    lived = _Lived(inputs, forecast)
    faults += lived.faults
    faults += _shortage_faults(lived.shortages, forecast)
    faults += _dry_faults(inputs, lived.shortages, forecast)
    if forecast.overloaded != tuple(lived.left_over):
        faults.append("The overloaded days are not those on which soiled linens are left.")
    if forecast.days != {size: tuple(counts) for size, counts in lived.counts.items()}:
        faults.append("The counts of the days are not those that follow from the loads.")
    if not 0 <= forecast.bound <= len(lived.shortages):
        faults.append(f"{len(lived.shortages)} shortages cannot be bounded by {forecast.bound}.")
    return faults


def _load_faults(inputs: ForecastInputs, forecast: Forecast) -> Iterator[str]:
    laundry = inputs.laundry
    for day, number in Counter(load.date for load in forecast.loads).items():
        if number > laundry.loads_per_day:
            yield f"{day}: {number} loads, {laundry.loads_per_day} can be washed."
    for load in forecast.loads:
        last = inputs.start + timedelta(days=inputs.days - 1)
        if not inputs.start <= load.date <= last:
            yield f"{load.date}: a load outside the days of the forecast."
        elif load.date.weekday() not in laundry.wash_weekdays:
            yield f"{load.date}: a load, but it is no wash day."
        yield from _contents_faults(inputs, load)


def _contents_faults(inputs: ForecastInputs, load: PlannedLoad) -> Iterator[str]:
    pieces = {piece.id: piece for piece in inputs.pieces}
    known = [pieces[id] for id in load.linens if id in pieces]
    if not load.linens:
        yield f"{load.date}: an empty load."
    for id in load.linens:
        if id not in pieces:
            yield f"{load.date}: {id} is no linen of this round."
    grams = sum(inputs.sizes[piece.size] for piece in known)
    if grams > inputs.laundry.load_g:
        yield f"{load.date}: a load of {grams} g, {inputs.laundry.load_g} g may be washed."
    if grams != load.grams:
        yield f"{load.date}: a load of {grams} g stands as {load.grams} g."
    apart = {piece.set_aside for piece in known}
    if len(apart) > 1:
        yield f"{load.date}: linens set aside share a load with others."
    if (load.programme == "usual") is (True in apart):
        yield f"{load.date}: the programme is not that of such linens."


def _shortage_faults(lived: list[LinenShortage], forecast: Forecast) -> Iterator[str]:
    missing = Counter(lived) - Counter(forecast.shortages)
    invented = Counter(forecast.shortages) - Counter(lived)
    for one in missing.elements():
        yield f"{one.date}: {one.enclosure} finds no clean {one.size}, which is not told."
    for one in invented.elements():
        yield f"{one.date}: {one.enclosure} is told to find no clean {one.size}, but does not."


def _dry_faults(
    inputs: ForecastInputs, lived: list[LinenShortage], forecast: Forecast
) -> Iterator[str]:
    for size in inputs.sizes:
        first = min((one.date for one in lived if one.size == size), default=None)
        if forecast.runs_dry.get(size) != first:
            yield f"{size} runs out on {first}, not on {forecast.runs_dry.get(size)}."


class _Lived:
    """The days of the inputs with the loads that were told."""

    def __init__(self, inputs: ForecastInputs, forecast: Forecast) -> None:
        self.faults: list[str] = []
        self.shortages: list[LinenShortage] = []
        self.left_over: list[date] = []
        self.counts: dict[str, list[Counts]] = {size: [] for size in inputs.sizes}
        self._inputs = inputs
        self._turn = 0
        self._size = {piece.id: piece.size for piece in inputs.pieces}
        self._state = {piece.id: piece.at for piece in inputs.pieces}
        self._since = {piece.id: (0, at) for at, piece in enumerate(inputs.pieces)}
        self._ready = {piece.id: piece.ready for piece in inputs.pieces if piece.ready}
        self._apart = {piece.id for piece in inputs.pieces if piece.set_aside}
        washes = inputs.laundry.set_aside_washes
        # Washes that a linen set aside still needs when it comes out of the one it is in.
        self._to_go = {
            piece.id: washes if piece.at is WashStage.SOILED else 0
            for piece in inputs.pieces
            if piece.set_aside
        }
        self._lies = {piece.enclosure: piece.id for piece in inputs.pieces if piece.enclosure}
        self._due = {need.id: self._first_due(need) for need in inputs.needs}
        for number in range(inputs.days):
            self._live(inputs.start + timedelta(days=number), number + 1, forecast)

    def _first_due(self, need: LinenNeed) -> date:
        """Where animals have no linen today, they are waiting for one today."""
        usual = need.last_changed + timedelta(days=need.interval_days)
        nothing_there = need.id not in self._lies and not need.lined_otherwise
        return self._inputs.start if nothing_there and usual > self._inputs.start else usual

    def _live(self, today: date, number: int, forecast: Forecast) -> None:
        self._come_back(today, number)
        self._change(today, number)
        loads = [load for load in forecast.loads if load.date == today]
        for load in loads:
            self._wash(load, number)
        if today.weekday() in self._inputs.laundry.wash_weekdays and self._are(WashStage.SOILED):
            self.left_over.append(today)
        for size, counts in self.counts.items():
            count = Counter(at for id, at in self._state.items() if self._size[id] == size)
            counts.append(Counts(*(count[at] for at in WashStage)))

    def _are(self, at: WashStage) -> list[str]:
        """The linens in a state, those longest in it first."""
        return sorted(
            (id for id, now in self._state.items() if now is at), key=lambda id: self._since[id]
        )

    def _come_back(self, today: date, number: int) -> None:
        for id in self._are(WashStage.WASHING):
            if id in self._ready and self._ready[id] <= today:
                again = self._to_go.get(id, 0) > 0
                self._now(id, WashStage.SOILED if again else WashStage.CLEAN, number)

    def _change(self, today: date, number: int) -> None:
        waiting = sorted(
            (due, place, need)
            for place, need in enumerate(self._inputs.needs)
            if (due := self._due[need.id]) <= today
        )
        for _, _, need in waiting:
            clean = [id for id in self._are(WashStage.CLEAN) if self._size[id] == need.size]
            if not clean:
                self.shortages.append(LinenShortage(today, need.size, need.id))
                continue
            taken = min(clean, key=lambda id: (id in self._apart, self._since[id]))
            if before := self._lies.get(need.id):
                self._now(before, WashStage.SOILED, number)
                self._to_go[before] = self._inputs.laundry.set_aside_washes
            self._now(taken, WashStage.IN_USE, number)
            self._lies[need.id] = taken
            self._due[need.id] = today + timedelta(days=need.interval_days)

    def _wash(self, load: PlannedLoad, number: int) -> None:
        for id in load.linens:
            if id not in self._state:
                continue
            if self._state[id] is not WashStage.SOILED:
                self.faults.append(f"{load.date}: {id} is {self._state[id]}, not soiled.")
                continue
            self._now(id, WashStage.WASHING, number)  # those washed before come back before
            self._to_go[id] = self._to_go[id] - 1 if id in self._apart else 0
            self._ready[id] = load.date + timedelta(days=self._inputs.laundry.days_to_clean)

    def _now(self, id: str, at: WashStage, number: int) -> None:
        """Change a linen's state; of one day, what was changed first comes first."""
        self._state[id] = at
        self._since[id] = (number, self._turn)
        self._turn += 1
