"""Linens as integer programs for HiGHS, written from the order of a day and nothing else.

For a change of an enclosure due on one day and made on another there is one binary, so that an
enclosure's changes are a path through days. Loads are whole numbers of linens of each size. Two
rules of a day keep the program from choosing what people could not: a clean linen is not kept back
while someone waits, and it goes to whoever is due first.
"""

from itertools import product

import highspy

from habitats.rotation.values import WashStage


def fewest_shortages(inputs):
    """The fewest shortage days of any plan of loads, for a round with nothing set aside."""
    return _Model(inputs).solved()


def least_number(inputs, size):
    """The least number of linens of a size with which no change waits, the loads all its own."""
    laundry, days = inputs.laundry, inputs.days
    needs = [need for need in inputs.needs if need.size == size]
    solver = _quiet()
    extra = solver.addIntegral(lb=0, ub=1000)
    changes = [0] * days
    for need in needs:
        day = (need.last_changed - inputs.start).days + need.interval_days
        while day < days:
            day = max(day, 0)
            changes[day] += 1
            day += need.interval_days
    loads = _loads(solver, inputs, [size])
    for day in range(days):
        gone = [load[size] for wash, load in loads if wash < day]
        back = [load[size] for wash, load in loads if wash + laundry.days_to_clean <= day > wash]
        solver.addConstr(extra + sum(back) >= sum(changes[: day + 1]))
        if any(wash == day for wash, _ in loads):
            today = [load[size] for wash, load in loads if wash == day]
            solver.addConstr(sum(gone) + sum(today) <= sum(changes[: day + 1]))
    solver.minimize(extra)
    return len(needs) + round(solver.val(extra))


def _quiet():
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("threads", 1)  # as the engine: one process has one scheduler
    return solver


def _loads(solver, inputs, sizes):
    """(day, {size: how many}) for each load of each wash day."""
    laundry, loads = inputs.laundry, []
    for day, _ in product(range(inputs.days), range(laundry.loads_per_day)):
        if (inputs.start.weekday() + day) % 7 in laundry.wash_weekdays:
            load = {size: solver.addIntegral(lb=0, ub=100) for size in sizes}
            mass = sum(inputs.sizes[size] * number for size, number in load.items())
            solver.addConstr(mass <= laundry.load_g)
            loads.append((day, load))
    return loads


class _Model:
    def __init__(self, inputs):
        self._inputs = inputs
        self._solver = _quiet()
        self._loads = _loads(self._solver, inputs, list(inputs.sizes))
        self._none = self._solver.addVariable(lb=0, ub=0)  # so that an empty sum is one too
        self._made = {}  # (enclosure, due, day it is changed, or the last day if it never is)
        self._waits = self._none + 0
        for number, need in enumerate(inputs.needs):
            self._path(number, need)
        for size in inputs.sizes:
            self._flow(size)
            self._order(size)

    def solved(self):
        self._solver.minimize(self._waits)
        return round(self._solver.getObjectiveValue())

    def _path(self, number, need):
        """Due once, then again `interval` days after it was changed; or it waits to the end."""
        days = self._inputs.days
        first = (need.last_changed - self._inputs.start).days + need.interval_days
        lies_in = {piece.enclosure for piece in self._inputs.pieces}
        if need.id not in lies_in and not need.lined_otherwise:
            first = min(first, 0)  # bare: due on the first day
        arriving = {first: 1}
        for due in (first, *range(max(first, 0) + need.interval_days, days)):
            if due >= days or due not in arriving:
                continue
            days_of = range(max(due, 0), days + 1)
            for day in days_of:
                made = self._made[number, due, day] = self._solver.addBinary()
                self._waits += made * (day - max(due, 0))
                if day < days:
                    again = day + need.interval_days
                    arriving[again] = arriving.get(again, 0) + made
            leaving = sum(self._made[number, due, day] for day in days_of)
            self._solver.addConstr(leaving == arriving[due])

    def _changes(self, size, keep):
        return self._none + sum(
            made
            for (number, due, day), made in self._made.items()
            if self._inputs.needs[number].size == size and keep(number, due, day)
        )

    def _flow(self, size):
        pieces = [piece for piece in self._inputs.pieces if piece.size == size]
        dressed = {piece.enclosure for piece in pieces if piece.at is WashStage.IN_USE}
        bare = {
            (number, min(due for other, due, _ in self._made if other == number))
            for number, _, _ in self._made
            if self._inputs.needs[number].id not in dressed
        }
        for today in range(self._inputs.days):
            self._flow_on(today, size, pieces, bare)

    def _flow_on(self, today, size, pieces, bare):
        """What is clean is enough for the changes so far; what was washed was soiled before."""
        solver, after = self._solver, self._inputs.laundry.days_to_clean
        soiled = sum(piece.at is WashStage.SOILED for piece in pieces)
        clean = sum(piece.at is WashStage.CLEAN for piece in pieces) + sum(
            (p.ready - self._inputs.start).days <= today for p in pieces if p.ready
        )
        taken = self._changes(size, lambda number, due, day: day <= today)
        here = clean + self._washed(size, lambda wash: wash < today and wash + after <= today)
        solver.addConstr(taken <= here)
        taken_out = self._changes(
            size, lambda number, due, day: day <= today and (number, due) not in bare
        )
        solver.addConstr(self._washed(size, lambda wash: wash <= today) <= soiled + taken_out)
        waiting = self._changes(size, lambda number, due, day: due <= today < day)
        many = len(pieces) + len(self._inputs.needs) + 1
        some_left = solver.addBinary()
        solver.addConstr(here - taken <= many * some_left)
        solver.addConstr(waiting <= many * (1 - some_left))

    def _washed(self, size, keep):
        return self._none + sum(load[size] for wash, load in self._loads if keep(wash))

    def _order(self, size):
        """Nobody is changed while someone of the size waits who was due before."""
        needs = self._inputs.needs
        made = [key for key in self._made if needs[key[0]].size == size]
        for (number, due, day), (other, later, sooner) in product(made, made):
            if number == other or (due, number) > (later, other):
                continue
            if due <= sooner < day and sooner < self._inputs.days:
                one, two = self._made[number, due, day], self._made[other, later, sooner]
                self._solver.addConstr(one + two <= 1)
