"""How good the cutting engine is: `python -m tests.benchmarks.cutting [turned] [fresh_locked] ...`

Each line sums one set of jobs, asked for in several orders of their pieces: `cost` is the median of
the sums, with the least and the most. What is drawn at random is drawn under set seeds (`--draw 7`
for others), and nothing in the engine is tuned to it. Every plan goes through the independent
checker. The clock counts processor time, because other work on the machine is no fault of the
engine's; `--wall` counts what the clock on the wall does.
"""

import argparse
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import islice
from statistics import mean, median
from typing import NamedTuple

from builds.cutting import Job, Layout, cut, faults_in
from tests.benchmarks import instances
from tests.benchmarks.instances import Case

Clock = Callable[[], float]

SETS: dict[str, Callable[[int], Iterator[Case]]] = {
    "turned": lambda draw: instances.published(True),
    "locked": lambda draw: instances.published(False),
    "fresh_turned": lambda draw: instances.fresh(True, draw),
    "fresh_locked": lambda draw: instances.fresh(False, draw),
    "three_sizes": lambda draw: instances.three_sizes(),
    "everyday": instances.everyday,
    "batches": instances.batches,
}
CUTS: dict[str, Callable[[Job], Job]] = {
    "three": lambda job: job,
    "deep": lambda job: replace(job, stages=None),
    "free": lambda job: replace(job, guillotine=False, stages=None),
}


class Outcome(NamedTuple):
    case: Case
    plan: Layout
    seconds: float
    first: float  # seconds to the first plan

    @property
    def over(self) -> float:
        """Seconds past the deadline; below zero if it was done sooner."""
        return self.seconds - self.case.job.seconds

    @property
    def gap(self) -> float:
        bound = self.plan.lower_bound
        return float((self.plan.cost - bound) / bound) if bound else 0.0

    @property
    def near(self) -> bool:
        """Whether the cost is no more than one cheapest sheet above the bound."""
        cheapest = min(stock.cost for stock in self.case.job.stock if stock.cost)
        return self.plan.cost - self.plan.lower_bound <= cheapest


def outcome(case: Case, work: int | None, clock: Clock) -> Outcome:
    start = clock()
    firsts: list[float] = []

    def stop() -> bool:
        return work is None and clock() - start >= case.job.seconds

    def first(plan: Layout) -> None:
        firsts.append(clock() - start)

    plan = cut(case.job, stop, work=work, report=first)
    seconds = clock() - start
    assert faults_in(case.job, plan) == []
    return Outcome(case, plan, seconds, min([*firsts, seconds]))


def row(name: str, by_order: list[list[Outcome]]) -> str:
    """One line for a set; `by_order` has a list of outcomes for each order of the pieces."""
    costs = [sum((o.plan.cost for o in outcomes), Decimal(0)) for outcomes in by_order]
    every = [outcome for outcomes in by_order for outcome in outcomes]
    known = [(o.plan.cost, o.case.best_known) for o in every if o.case.best_known]
    ratio = f"{mean(float(cost / best) for cost, best in known):.4f}" if known else "-"
    best_known = sum((best for _, best in known), Decimal(0)) / len(by_order) if known else "-"
    bound = median(sum(o.plan.lower_bound for o in outcomes) for outcomes in by_order)
    return (
        f"{name:12} {len(by_order[0]):4} {median(costs):9} {f'{min(costs)}-{max(costs)}':>13} "
        f"{best_known!s:>10} {ratio:>7} {bound:9.0f} "
        f"{mean(o.plan.optimal for o in every):7.1%} {mean(o.near for o in every):6.1%} "
        f"{mean(o.gap for o in every):7.2%} {median(o.seconds for o in every):6.2f} "
        f"{max(o.over for o in every):6.2f} {max(o.first for o in every):6.2f}"
    )


HEAD = (
    f"{'set':12} jobs {'cost':>9} {'least-most':>13} {'best known':>10} {'ratio':>7} {'bound':>9} "
    f"{'proved':>7} {'near':>6} {'gap':>7} {'median':>6} {'over':>6} {'first':>6}"
)


def measured(cases: Iterable[Case], args: argparse.Namespace) -> list[Outcome]:
    clock = time.perf_counter if args.wall else time.process_time
    outcomes = []
    for case in cases:
        outcomes.append(outcome(case, args.work, clock))
        if args.each:
            plan, seconds = outcomes[-1].plan, outcomes[-1].seconds
            print(f"  {case.name:40} {plan.cost:8} {plan.lower_bound:8.2f} {seconds:6.2f}")
    return outcomes


def beside_peer(name: str, cases: list[Case], outcomes: list[Outcome]) -> str:
    from tests.benchmarks.peers import fewest_by_rectpack

    pairs = [(o.plan.cost, fewest_by_rectpack(c.job)) for c, o in zip(cases, outcomes, strict=True)]
    worse = sum(ours > theirs for ours, theirs in pairs)
    ours, theirs = (sum(side) for side in zip(*pairs, strict=True))
    return f"{name:12} {ours} sheets, rectpack's best settings {theirs}; worse in {worse} jobs"


def asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description="Measure the cutting engine.")
    parser.add_argument("sets", nargs="*", help=f"of {', '.join(SETS)}; none is all")
    parser.add_argument("--orders", type=int, default=1, help="orders of the pieces to try")
    parser.add_argument("--draw", type=int, default=1, help="number of the random draw")
    parser.add_argument("--take", type=int, help="only so many jobs of a set")
    parser.add_argument("--every", type=int, default=1, help="only each so manieth job of a set")
    parser.add_argument("--cuts", choices=CUTS, default="three", help="stages, or free cutting")
    parser.add_argument("--work", type=int, help="a work limit instead of the deadline")
    parser.add_argument("--seconds", type=float, help="another deadline")
    parser.add_argument("--wall", action="store_true", help="count time on the wall")
    parser.add_argument("--each", action="store_true", help="tell of each job")
    parser.add_argument("--peer", action="store_true", help="compare with rectpack (slow)")
    args = parser.parse_args()
    if unknown := set(args.sets) - set(SETS):
        parser.error(f"{', '.join(sorted(unknown))}: no such set; there are {', '.join(SETS)}")
    return args


def cases_of(name: str, args: argparse.Namespace) -> list[Case]:
    cases = islice(SETS[name](args.draw), 0, args.take, args.every)
    changes = {"seconds": args.seconds} if args.seconds else {}
    return [case._replace(job=replace(CUTS[args.cuts](case.job), **changes)) for case in cases]


def main() -> None:
    args = asked()
    print(HEAD)
    for name in args.sets or SETS:
        cases = cases_of(name, args)
        by_order = [
            measured((case.in_order(seed) for case in cases), args) for seed in range(args.orders)
        ]
        print(row(name, by_order), flush=True)
        if args.peer:
            print(beside_peer(name, cases, by_order[0]), flush=True)


if __name__ == "__main__":
    main()
