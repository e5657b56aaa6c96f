"""How good the cutting engine is: `python tests/benchmarks/cutting.py [turned] [locked] ...`

Each line sums one set of jobs. The published ones are described in `tests/cutting/data/README.md`;
the everyday jobs and the batches are drawn at random under set seeds, and nothing in the engine is
tuned to them. Every plan goes through the independent checker. The clock counts processor time,
because other work on the machine is no fault of the engine's.
"""

import json
import sys
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path
from random import Random
from statistics import mean, median
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from builds.cutting import Job, Piece, Plan, Stock, cut, faults_in  # noqa: E402

DATA = ROOT / "tests" / "cutting" / "data"
SHEETS = ((1220, 2440, 24), (1220, 1220, 13), (1000, 2000, 17))


class Case(NamedTuple):
    job: Job
    best_known: Decimal | None


class Outcome(NamedTuple):
    case: Case
    plan: Plan
    seconds: float
    first: float  # seconds to the first plan


def one_size(turn: bool) -> Iterator[Case]:
    way = "turned" if turn else "locked"
    for instance in json.loads((DATA / "one_size_50.json").read_text()):
        pieces = tuple(
            Piece(f"p{number}", width, height, 1, turn)
            for number, (width, height) in enumerate(instance["pieces"])
        )
        job = Job(pieces, (Stock("sheet", *instance["sheet"], None, Decimal(1)),))
        yield Case(job, Decimal(instance["best_known"][f"{way}_guillotine"]))


def three_sizes() -> Iterator[Case]:
    for instance in json.loads((DATA / "three_sizes_6.json").read_text()):
        pieces = tuple(
            Piece(f"p{n}", p["width"], p["height"], p["quantity"])
            for n, p in enumerate(instance["pieces"])
        )
        stock = tuple(
            Stock(f"s{n}", s["width"], s["height"], None, Decimal(s["cost"]))
            for n, s in enumerate(instance["stock"])
        )
        best_known = Decimal(instance["best_known_two_stage"]["turned"])
        yield Case(Job(pieces, stock, seconds=10), best_known)


def everyday(count: int = 20) -> Iterator[Case]:
    """Up to 12 kinds of pieces, up to 30 of each, three sizes of sheets, ten offcuts."""
    for seed in range(count):
        random = Random(seed)
        kinds = range(random.randint(1, 12))
        yield Case(_random_job(random, [random.randint(1, 30) for _ in kinds], seconds=1), None)


def batches(count: int = 5) -> Iterator[Case]:
    """400 pieces of 40 kinds, as many builds would bring together."""
    for seed in range(count):
        yield Case(_random_job(Random(1000 + seed), [10] * 40, seconds=5), None)


def _random_job(random: Random, quantities: list[int], seconds: float) -> Job:
    pieces = tuple(
        Piece(
            f"p{number}",
            random.randint(100, 900),
            random.randint(100, 1200),
            quantity,
            random.random() < 0.7,
        )
        for number, quantity in enumerate(quantities)
    )
    offcuts = tuple(
        Stock(f"rest{n}", random.randint(200, 900), random.randint(200, 1200), 1, Decimal(0))
        for n in range(10)
    )
    sheets = tuple(
        Stock(f"{width}x{height}", width, height, None, Decimal(cost))
        for width, height, cost in SHEETS
    )
    return Job(pieces, (*sheets, *offcuts), kerf=random.choice((0, 0, 3)), seconds=seconds)


def outcome(case: Case) -> Outcome:
    start = time.process_time()
    firsts: list[float] = []

    def stop() -> bool:
        return time.process_time() - start >= case.job.seconds

    def first(plan: Plan) -> None:
        firsts.append(time.process_time() - start)

    plan = cut(case.job, stop, report=first)
    seconds = time.process_time() - start
    assert faults_in(case.job, plan) == []
    return Outcome(case, plan, seconds, min([*firsts, seconds]))


def steps_above_bound(outcome: Outcome) -> Decimal:
    """How many of the cheapest sheets the plan costs more than its bound."""
    cheapest = min(stock.cost for stock in outcome.case.job.stock if stock.cost)
    return (outcome.plan.cost - outcome.plan.lower_bound) / cheapest


def gap(outcome: Outcome) -> float:
    plan = outcome.plan
    return float((plan.cost - plan.lower_bound) / plan.lower_bound) if plan.lower_bound else 0.0


def row(name: str, outcomes: list[Outcome]) -> str:
    cost = sum(outcome.plan.cost for outcome in outcomes)
    known = [(o.plan.cost, o.case.best_known) for o in outcomes if o.case.best_known]
    ratio = mean(float(cost / best) for cost, best in known) if known else None
    near = mean(steps_above_bound(outcome) <= 1 for outcome in outcomes)
    return (
        f"{name:12} {len(outcomes):4} {cost:12} "
        f"{sum(best for _, best in known) or '-':>12} "
        f"{f'{ratio:.4f}' if ratio else '-':>8} "
        f"{mean(o.plan.optimal for o in outcomes):7.0%} {near:7.0%} "
        f"{mean(gap(o) for o in outcomes):7.2%} "
        f"{median(o.seconds for o in outcomes):6.2f} {max(o.seconds for o in outcomes):6.2f} "
        f"{max(o.first for o in outcomes):6.2f}"
    )


SETS: dict[str, Callable[[], Iterator[Case]]] = {
    "turned": lambda: one_size(True),
    "locked": lambda: one_size(False),
    "three_sizes": three_sizes,
    "everyday": everyday,
    "batches": batches,
}


def main(names: list[str]) -> None:
    print(
        f"{'set':12} jobs {'cost':>12} {'best known':>12} {'ratio':>8} "
        f"{'proved':>7} {'near':>7} {'gap':>7} {'median':>6} {'most':>6} {'first':>6}"
    )
    for name in names or list(SETS):
        print(row(name, [outcome(case) for case in SETS[name]()]), flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
