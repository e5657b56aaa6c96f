"""Working out an order: blanks made in several ways, each way cut, the cheapest plan taken.

Each way to make all blanks is cut quickly first. All lines made for one sheet size are tried
together, for each size; then, from the cheapest so far, one line at a time made another way.
At most ``MOST_TRIALS`` are weighed, each join with what it counts for; the best is then cut with
all the time there is. A way that loses the quick round is not looked at again, so the plan is the
cheapest of those tried, not of all there are.
"""

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from builds.cutting import CutSheet, Job, Layout, PiecePlacement, Unplaced, WantedPiece, cut
from builds.making.blank import SheetSize
from builds.sheets.order import OrderLine, SheetOffer, SheetOrder
from builds.sheets.pieces import Shape, shape_of
from builds.sheets.plan import CuttingPlan, MadeLine, Trial
from builds.sheets.ways import Way, ways_of

MOST_TRIALS = 12
TRIAL_SECONDS = 0.2
# Of the time there is, what goes into weighing the ways; the rest is for the one that is taken.
TRIAL_SHARE = 0.4

Stop = Callable[[], bool]
Report = Callable[[CuttingPlan], None]
Choice = tuple[int, ...]  # which of its ways each line takes
Wanted = tuple[str, int]  # a piece's id, and how many of it


@dataclass(frozen=True, slots=True)
class _Table:
    """An order with the ways to make each line."""

    order: SheetOrder
    ways: tuple[tuple[Way, ...], ...]

    def made(self, choice: Choice) -> tuple[MadeLine, ...]:
        return tuple(
            _made(line, ways[index])
            for line, ways, index in zip(self.order.lines, self.ways, choice, strict=True)
        )


def never() -> bool:
    return False


class _Found:
    """The best plan so far; ``report`` is told each that is better than the last."""

    def __init__(self, report: Report) -> None:
        self._report = report
        self.best: CuttingPlan | None = None

    def take(self, plan: CuttingPlan) -> None:
        if self.best is None or _rank(plan) < _rank(self.best):
            self.best = plan
            self._report(plan)


def work_out(
    order: SheetOrder, stop: Stop = never, report: Report = lambda plan: None
) -> CuttingPlan:
    """The best plan found for the order; ``report`` is told each that is better than the last.

    The order has at least one line and one whole sheet on offer. Ends early when ``stop`` says
    True. What is on no sheet is in the plan's ``missing``; what cannot be made, in ``unmade``.
    """
    offer = order.offer
    is_joining = offer.join_cost is not None
    ways = [
        ways_of(line.blanks_for, offer.sizes, join=is_joining, stop=stop) for line in order.lines
    ]
    table, found = _Table(order, tuple(ways)), _Found(report)
    tried = _trials(table, stop, found)
    choice = min(tried, key=lambda one: _rank(tried[one]))
    best = tried[choice]
    if not stop():
        final = _cut(table.made(choice), offer, offer.seconds, stop, found.take)
        best = min(best, final, key=_rank)
    return replace(best, trials=_as_trials(tried, choice))


def _trials(table: _Table, stop: Stop, found: _Found) -> dict[Choice, CuttingPlan]:
    """Plans cut quickly, by choice; at least one, in the order in which they were tried."""
    offer = table.order.offer
    seconds = min(TRIAL_SECONDS, TRIAL_SHARE * offer.seconds / MOST_TRIALS)
    tried: dict[Choice, CuttingPlan] = {}

    def attempt(choice: Choice) -> None:
        if choice in tried or len(tried) == MOST_TRIALS or (tried and stop()):
            return
        # The first is not stopped, so that there is a plan however little time there was.
        ask = stop if tried else never
        tried[choice] = _cut(table.made(choice), offer, seconds, ask, lambda plan: None)
        found.take(tried[choice])

    for choice in _uniform_choices(table):
        attempt(choice)
    start = min(tried, key=lambda one: _rank(tried[one]))
    for choice in _one_line_changed(table, start):
        attempt(choice)
    return tried


def _uniform_choices(table: _Table) -> Iterator[Choice]:
    """Every line in its way with the fewest joins; then all made for one size, for each size."""
    yield (0,) * len(table.ways)
    sizes = {way.sheet: None for ways in table.ways for way in ways}
    for size in sizes:
        yield tuple(_made_for(ways, size) for ways in table.ways)


def _made_for(ways: tuple[Way, ...], size: SheetSize) -> int:
    return next((index for index, way in enumerate(ways) if way.sheet == size), 0)


def _one_line_changed(table: _Table, start: Choice) -> Iterator[Choice]:
    for line, ways in enumerate(table.ways):
        for index in range(len(ways)):
            yield (*start[:line], index, *start[line + 1 :])


def _rank(plan: CuttingPlan) -> tuple[int, Decimal, int, int, int]:
    """What cannot be cut first, then cost with its joins; of equals, the largest offcut."""
    offcuts = [one.offcut.area for one in plan.offcuts_to_keep]
    return (
        sum(one.quantity for one in plan.plan.unplaced),
        plan.plan.cost + plan.joins * (plan.offer.join_cost or 0),
        plan.joins,
        len(plan.plan.sheets),
        -max(offcuts, default=0),
    )


def _as_trials(tried: dict[Choice, CuttingPlan], taken: Choice) -> tuple[Trial, ...]:
    """The ways that were weighed, in the order in which they were tried."""
    return tuple(
        Trial(
            sheets_for=tuple(one.sheet for one in plan.made),
            cost=plan.plan.cost,
            sheets=len(plan.plan.sheets),
            joins=plan.joins,
            unplaced=sum(one.quantity for one in plan.plan.unplaced),
            is_taken=choice == taken,
        )
        for choice, plan in tried.items()
    )


def _made(line: OrderLine, way: Way) -> MadeLine:
    return MadeLine(
        design=line.design,
        code=line.code,
        count=line.count,
        who_for=line.who_for,
        sheet=way.sheet,
        blanks=way.blanks.blanks,
        joins=way.joins,
        tape_mm=way.blanks.tape_mm,
        unmade=way.blanks.unmade,
    )


def _cut(
    made: tuple[MadeLine, ...], offer: SheetOffer, seconds: float, stop: Stop, report: Report
) -> CuttingPlan:
    """The plan for blanks made so; ``report`` is told each better one on the way."""
    wanted = _wanted(made)
    if not wanted:
        return CuttingPlan(made, offer, Layout((), Decimal(0), Decimal(0), True, ()))
    kinds = {str(number): shape for number, shape in enumerate(wanted, start=1)}
    queues = {kind: wanted[shape] for kind, shape in kinds.items()}
    job = _job(kinds, queues, offer, seconds)

    def named(plan: Layout) -> CuttingPlan:
        return CuttingPlan(made, offer, _named(plan, queues))

    return named(cut(job, stop, report=lambda plan: report(named(plan))))


def _job(
    kinds: dict[str, Shape], queues: dict[str, list[Wanted]], offer: SheetOffer, seconds: float
) -> Job:
    return Job(
        pieces=tuple(
            WantedPiece(kind, shape.width_mm, shape.height_mm, _count(queues[kind]), shape.turnable)
            for kind, shape in kinds.items()
        ),
        stock=tuple(one.stock for one in offer.stock),
        kerf=offer.kerf,
        trim=offer.trim,
        stages=offer.stages,
        seconds=seconds,
        least_offcut=offer.least_offcut,
    )


def _count(wanted: Iterable[Wanted]) -> int:
    return sum(quantity for _piece, quantity in wanted)


def _wanted(made: tuple[MadeLine, ...]) -> dict[Shape, list[Wanted]]:
    """Who wants pieces of which shape, build by build."""
    wanted: dict[Shape, list[Wanted]] = {}
    number = 0
    for one in made:
        for _copy in range(one.count):
            number += 1
            for index, blank in enumerate(one.blanks, start=1):
                want = (f"{number}.{index}", blank.quantity)
                wanted.setdefault(shape_of(blank), []).append(want)
    return wanted


def _named(plan: Layout, queues: dict[str, list[Wanted]]) -> Layout:
    """The plan with each piece given to a build: the first sheets serve the first builds."""
    waiting = {
        kind: deque(piece for piece, quantity in queue for _one in range(quantity))
        for kind, queue in queues.items()
    }
    sheets = tuple(
        replace(sheet, placements=tuple(_given(one, waiting) for one in sheet.placements))
        for sheet in plan.sheets
    )
    unplaced = tuple(one for left in plan.unplaced for one in _left(left, waiting))
    return replace(plan, sheets=sheets, unplaced=unplaced)


def _given(placement: PiecePlacement, waiting: dict[str, deque[str]]) -> PiecePlacement:
    return replace(placement, piece=waiting[placement.piece].popleft())


def _left(left: Unplaced, waiting: dict[str, deque[str]]) -> list[Unplaced]:
    pieces = [waiting[left.piece].popleft() for _one in range(left.quantity)]
    return [Unplaced(piece, pieces.count(piece), left.reason) for piece in dict.fromkeys(pieces)]


def sheets_alike(sheets: Iterable[CutSheet]) -> dict[CutSheet, list[int]]:
    """Numbers of the sheets that are cut alike, by the first of them, whoever they are for."""
    numbers: dict[CutSheet, list[int]] = {}
    firsts: dict[CutSheet, CutSheet] = {}
    for number, sheet in enumerate(sheets, start=1):
        pattern = replace(
            sheet, placements=tuple(replace(one, piece="") for one in sheet.placements)
        )
        numbers.setdefault(firsts.setdefault(pattern, sheet), []).append(number)
    return numbers
