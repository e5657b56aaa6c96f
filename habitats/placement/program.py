"""The whole-number program, solved by HiGHS: one aim after the other.

Aims that stay small are weighed into one sum. The weight of each is more than all aims after it
can come to, so the sum is least exactly where they are, one after the other.
"""

from collections.abc import Iterator, Sequence
from math import ceil
from typing import NamedTuple

import numpy as np

from habitats.placement.around import Around
from habitats.placement.columns import NONE, Decisions, Flags, Floats, Numbers, aims_in
from habitats.placement.part import NEARLY, Held
from habitats.placement.relaxed import Infeasible, InPart, Relaxed
from habitats.placement.rows import Rows
from habitats.placement.whole import LATER, Whole, whole

MOST_WEIGHED = 1_000_000  # beyond it the solver's tolerance would not tell one sum from the next
ROUNDS = 60  # of taking in columns
ANY_CHOICE = 20_000  # branches looked into for a first choice that keeps all pins
# Of more columns than this HiGHS may look for minutes before it branches, where no count stops it:
# then a part is bettered at a time, and other columns are drawn if that does not reach the bound.
MOST_AT_ONCE, MOST_DRAWN = 12_000, 6_000
DRAWS = 5
MOST_WHOLE = 5_000  # columns among which whole ones are looked for


class AimReached(NamedTuple):
    """``bound``: the least that any placing comes to, given the aims before it."""

    value: int
    bound: int


class Solved(NamedTuple):
    """``taken``: numbers of columns. ``reached``: by aim."""

    taken: list[int]
    reached: list[AimReached]


def solve(columns: Decisions, nodes: int) -> Solved:
    """Take columns so that all rows are kept and the first aim is least, then the second, …

    ``nodes``: how many branches are looked into for one sum of aims, the same on every machine.
    Raises ``Infeasible``.
    """
    program = _Program(columns, nodes)
    bounds = [(stage, program.least(stage)) for stage in _stages(program.most)]
    # Looking for the least of a later sum may find less of one before it.
    values = program.values()
    reached = [one for stage, bound in bounds for one in stage.told_apart(values, bound)]
    return Solved(program.taken.tolist(), reached)


def can_be(columns: Decisions, nodes: int) -> bool:
    """Whether any choice keeps all rows."""
    try:
        _Program(columns, nodes)
    except Infeasible:
        return False
    return True


class _Stage(NamedTuple):
    """Aims that are weighed into one sum."""

    aims: list[int]
    weights: list[int]

    def told_apart(self, values: Sequence[int], bound: int) -> Iterator[AimReached]:
        """What a bound of the sum says of each aim, as far as those before it are proved."""
        is_known = True
        for aim, weight in zip(self.aims, self.weights, strict=True):
            least = max(0, bound // weight) if is_known else 0
            reached = AimReached(values[aim], min(least, values[aim]))
            is_known = is_known and reached.bound == reached.value
            bound -= values[aim] * weight
            yield reached


def _stages(most: Sequence[int]) -> Iterator[_Stage]:
    """As few as the bounds of the aims allow."""
    held: list[int] = []
    weighed = 1
    for aim, bound in enumerate(most):
        if held and weighed * (bound + 1) > MOST_WEIGHED:
            yield _stage(held, most)
            held, weighed = [], 1
        held.append(aim)
        weighed *= bound + 1
    if held:
        yield _stage(held, most)


def _stage(aims: list[int], most: Sequence[int]) -> _Stage:
    weights, weight = [], 1
    for aim in reversed(aims):
        weights.append(weight)
        weight *= most[aim] + 1
    return _Stage(aims, weights[::-1])


class _Program:
    """``taken``: the columns of the best found so far. ``most``: what each aim can come to.
    ``_as_good``: columns that may be taken, where only a part of them is still looked at.

    Each sum is first brought down with columns taken in part. What one more of a column would
    cost beyond that (its reduced cost) tells which can be in a placing that is as good: mostly
    some hundred, and only of these are the whole numbers looked for.
    """

    def __init__(self, columns: Decisions, nodes: int) -> None:
        self._columns, self._nodes = columns, nodes
        self._later = np.zeros(len(columns))
        self._as_good: Flags | None = None
        self._rows = Rows(columns)
        self._held = Held(self._rows, len(columns))
        self._relaxed = Relaxed(columns, self._rows, self._held, ROUNDS)
        self._costs = [columns.costs(aim) for aim in aims_in(columns.suiting.case.order)]
        self.most = [self._most(one) for one in self._costs]
        self.taken = self._as_it_is()

    def _most(self, costs: Numbers) -> int:
        """Of each who asks the most that any of its columns costs."""
        dearest = np.zeros(len(self._columns.suiting.asking), dtype=np.int64)
        np.maximum.at(dearest, self._columns.asking, costs)
        return int(dearest.sum())

    def _as_it_is(self) -> Numbers:
        """Everybody stays; where pins want it otherwise, any choice."""
        columns, case = self._columns, self._columns.suiting.case
        first = np.nonzero(np.diff(columns.asking, prepend=-1))[0]
        groups = first[columns.asking[first] < len(case.groups)]
        as_it_is = columns.enclosure[groups] == columns.lives_in[columns.asking[groups]]
        if not case.pins and len(groups) == len(case.groups) and as_it_is.all():
            return groups
        nothing = np.zeros(len(columns))
        found = whole(self._rows, self._held, nothing, np.arange(len(columns)), ANY_CHOICE)
        if not len(found.taken):
            raise Infeasible
        return found.taken

    def least(self, stage: _Stage) -> int:
        """Bring the sum down, and hold it there from now on; the least that it can be."""
        pairs = zip(stage.aims, stage.weights, strict=True)
        costs = np.sum([self._costs[aim] * weight for aim, weight in pairs], axis=0)
        self._later = self._of_later(stage.aims[-1] + 1)
        if costs[self.taken].any():
            return self._bring_down(costs, from_scratch=len(stage.aims) > 1)
        self._held.alive &= costs == 0
        self._held.settle()
        return 0

    def _of_later(self, first: int) -> Floats:
        """What later aims cost, so little that all of a choice together is less than one."""
        share, later = LATER, np.zeros(len(self._columns))
        for costs, most in zip(self._costs[first:], self.most[first:], strict=True):
            if most:
                later += costs * (share / (most + 1))
                share /= most + 1
        return later

    def values(self) -> list[int]:
        return [int(one[self.taken].sum()) for one in self._costs]

    def _bring_down(self, costs: Numbers, *, from_scratch: bool) -> int:
        """Take what costs least; the least that can be, as far as is proved."""
        relaxed = self._relaxed
        in_part = relaxed.least(costs, self._later, self.taken, from_scratch=from_scratch)
        step = self._step(costs)
        bound = max(0, ceil((in_part.value - NEARLY) / step) * step)
        if self._sum(costs) > bound:
            self._better_among(
                costs, self._with_room(costs, step, in_part, self._of_undecided(in_part))
            )
        if self._sum(costs) > bound:
            near = self._with_room(costs, step, in_part, in_part.near)
            if len(near) <= MOST_AT_ONCE:
                self._better_among(costs, near)
            else:
                self._better_in_parts(costs, bound, step, in_part)
        if self._sum(costs) > bound:
            bound = max(bound, self._look_further(costs, step, in_part))
        as_good = self._as_good
        self._hold(costs, in_part)
        return bound if as_good is None else min(bound, self._least_of_each(costs, as_good))

    def _better_among(self, costs: Numbers, numbers: Numbers) -> None:
        self._keep_better(self._whole(costs, numbers).taken)

    def _better_in_parts(self, costs: Numbers, bound: int, step: int, in_part: InPart) -> None:
        """Among those who lose and who is in their way, as long as that finds better; then again
        with other columns that cost as little."""
        for draw in range(DRAWS):
            near = self._relaxed.near(in_part, draw) if draw else in_part.near
            known = self._sum(costs) + 1
            while bound < self._sum(costs) < known:
                known = self._sum(costs)
                its = self._with_room(costs, step, in_part, near)
                losing = self.taken[in_part.more[self.taken] > NEARLY]
                around = Around(self._columns, self._rows, its, self.taken)
                for part in around.widening(losing, MOST_DRAWN if draw else MOST_AT_ONCE):
                    if self._sum(costs) > bound:
                        self._better_among(costs, part)

    def _step(self, costs: Numbers) -> int:
        """By how much sums differ at least."""
        return max(1, int(np.gcd.reduce(costs[self._held.alive])))

    def _room(self, costs: Numbers, step: int, in_part: InPart) -> float:
        """What a column may cost beyond what is taken in part, and be in a better choice."""
        return self._sum(costs) - step - in_part.value + NEARLY

    def _with_room(self, costs: Numbers, step: int, in_part: InPart, near: Numbers) -> Numbers:
        """Of these, and of what is taken in part, those that can be in a better choice."""
        numbers = np.union1d(in_part.taken, near)
        return numbers[in_part.more[numbers] <= self._room(costs, step, in_part)]

    def _of_undecided(self, in_part: InPart) -> Numbers:
        """What is near of those who take more than one in part."""
        asking = self._columns.asking
        parts = np.bincount(asking[in_part.taken], minlength=len(self._columns.suiting.asking))
        return in_part.near[parts[asking[in_part.near]] > 1]

    def _look_further(self, costs: Numbers, step: int, in_part: InPart) -> int:
        """Among all that may be better; what is beyond costs as much as what is known, or more.

        Where these are too many, the columns taken in part have to do for a bound.
        """
        numbers = np.nonzero(in_part.more <= self._room(costs, step, in_part))[0]
        if len(numbers) > MOST_WHOLE:
            return 0
        found = self._whole(costs, numbers)
        self._keep_better(found.taken)
        return min(found.bound, self._sum(costs))

    def _whole(self, costs: Numbers, numbers: Numbers) -> Whole:
        every = np.union1d(numbers, self.taken)
        return whole(self._rows, self._held, costs + self._later, every, self._nodes)

    def _keep_better(self, found: Numbers) -> None:
        before, known = self.taken, self.values()
        if len(found):
            self.taken = found
            if self.values() >= known:
                self.taken = before

    def _sum(self, costs: Numbers) -> int:
        return int(costs[self.taken].sum())

    def _hold(self, costs: Numbers, in_part: InPart) -> None:
        """From now on no more than this; what alone costs more is out.

        Each of a thousand groups might be the one that costs more where that is not proved to be
        the least. So of a very large program only what costs nothing more is looked at from then
        on: half the program, which settles most groups. Looked at whole, spare floor took minutes.
        """
        held, most = self._held, self._sum(costs)
        room = most - in_part.value
        held.hold(costs, most, in_part.more, room)
        held.as_priced(in_part.duals, in_part.switches, room)
        if room > NEARLY and self._relaxed.is_large:
            self._as_good = held.alive.copy() if self._as_good is None else self._as_good
            is_taken = np.isin(np.arange(len(held.alive)), self.taken)
            held.alive &= (in_part.more <= NEARLY) | is_taken
        held.settle()

    def _least_of_each(self, costs: Numbers, as_good: Flags) -> int:
        """What nobody does better than, each looked at alone: the bound of all that may be taken,
        where only a part of it is looked at."""
        numbers = np.nonzero(as_good)[0]
        of_groups = self._rows.of_groups(numbers)
        shared = costs[numbers] / np.sum([one != NONE for one in of_groups], axis=0)
        least = np.full(len(self._columns.suiting.case.groups) + 1, np.inf)
        for one in of_groups:
            np.minimum.at(least, one, shared)
        return ceil(least[:-1].sum() - NEARLY)
