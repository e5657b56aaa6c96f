"""Jobs to measure the cutting engine by: published ones, and ones drawn anew under set seeds.

The published ones are described in `tests/cutting/data/README.md`. Each can be asked for again in
another order of its pieces, and the classes that they were drawn from can be drawn from again: so
that nothing is found by one lucky order, or tuned to the fifty that everybody knows.
"""

import json
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from random import Random
from typing import Any, NamedTuple

from builds.cutting import Job, StockSheet, WantedPiece

DATA = Path(__file__).parents[1] / "cutting" / "data"
SHEETS = ((1220, 2440, 24), (1220, 1220, 13), (1000, 2000, 17))
SIZES_OF_INSTANCES = (20, 40, 60, 80, 100)

# Berkey and Wang, Journal of the Operational Research Society 38 (1987) 423-429, from memory:
# both sides from 1 to so many, and the sheet's side.
BERKEY_WANG = ((10, 10), (10, 30), (35, 40), (35, 100), (100, 100), (100, 300))
# Martello and Vigo, Management Science 44 (1998) 388-399, from memory: wide, high, large and small
# pieces for sheets of 100 x 100; each class has seven in ten of one sort, one in ten of the others.
MARTELLO_VIGO = (
    ((67, 100), (1, 50)),
    ((1, 50), (67, 100)),
    ((50, 100), (50, 100)),
    ((1, 50), (1, 50)),
)


class Case(NamedTuple):
    """A job, and what the cheapest plan known for it costs; None if nobody has said."""

    name: str
    job: Job
    best_known: Decimal | None = None

    def in_order(self, seed: int) -> "Case":
        """The same job with its pieces shuffled; seed 0 leaves them as they are."""
        if not seed:
            return self
        pieces = list(self.job.pieces)
        Random(seed).shuffle(pieces)
        return self._replace(job=replace(self.job, pieces=tuple(pieces)))


def published(turn: bool) -> Iterator[Case]:
    """The fifty one-size instances."""
    way = "turned_guillotine" if turn else "locked_guillotine"
    for instance in _read("one_size_50.json"):
        job = _one_size_job(instance["sheet"], instance["pieces"], turn)
        yield Case(instance["name"], job, Decimal(instance["best_known"][way]))


def fresh(turn: bool, draw: int) -> Iterator[Case]:
    """Fifty more of the same ten classes; each number of a draw gives others."""
    for number in range(1, 11):
        for count in SIZES_OF_INSTANCES:
            name = f"class {number}, {count} pieces, draw {draw}"
            sheet, pieces = _drawn(number, count, Random(name))
            yield Case(name, _one_size_job(sheet, pieces, turn))


def _drawn(number: int, count: int, random: Random) -> tuple[list[int], list[list[int]]]:
    """Draw the sheet and so many pieces of the class with this number, from 1 to 10."""
    if number <= len(BERKEY_WANG):
        most, side = BERKEY_WANG[number - 1]
        return [side, side], [[random.randint(1, most) for _ in "wh"] for _ in range(count)]
    usual = number - len(BERKEY_WANG) - 1
    weights = [7 if sort == usual else 1 for sort in range(len(MARTELLO_VIGO))]
    sorts = random.choices(MARTELLO_VIGO, weights, k=count)
    return [100, 100], [[random.randint(*span) for span in sort] for sort in sorts]


def _one_size_job(sheet: list[int], pieces: list[list[int]], turn: bool) -> Job:
    return Job(
        tuple(
            WantedPiece(f"p{n}", width, height, 1, turn) for n, (width, height) in enumerate(pieces)
        ),
        (StockSheet("sheet", *sheet, None, Decimal(1)),),
    )


def three_sizes() -> Iterator[Case]:
    """The six with three sizes of sheets and quantities wanted."""
    for instance in _read("three_sizes_6.json"):
        pieces = tuple(
            WantedPiece(f"p{n}", p["width"], p["height"], p["quantity"])
            for n, p in enumerate(instance["pieces"])
        )
        stock = tuple(
            StockSheet(f"s{n}", s["width"], s["height"], None, Decimal(s["cost"]))
            for n, s in enumerate(instance["stock"])
        )
        best_known = Decimal(instance["best_known_two_stage"]["turned"])
        yield Case(instance["name"], Job(pieces, stock, seconds=10), best_known)


def everyday(draw: int, count: int = 20) -> Iterator[Case]:
    """Up to 12 kinds of pieces, up to 30 of each, three sizes of sheets, ten offcuts."""
    for number in range(count):
        random = Random(f"everyday {draw}.{number}")
        quantities = [random.randint(1, 30) for _ in range(random.randint(1, 12))]
        yield Case(f"everyday {number}", _stocked_job(random, quantities, seconds=1))


def batches(draw: int, count: int = 5) -> Iterator[Case]:
    """400 pieces, as sixty builds bring together: some kinds in all of them, some in one."""
    for number in range(count):
        random = Random(f"batch {draw}.{number}")
        kinds = random.randint(20, 60)
        wanted = random.choices(range(kinds), [random.random() for _ in range(kinds)], k=400)
        quantities = [wanted.count(kind) for kind in range(kinds)]
        yield Case(f"batch {number}", _stocked_job(random, list(filter(None, quantities)), 5))


def _stocked_job(random: Random, quantities: list[int], seconds: float) -> Job:
    pieces = tuple(
        WantedPiece(
            f"p{number}",
            random.randint(100, 900),
            random.randint(100, 1200),
            quantity,
            random.random() < 0.7,
        )
        for number, quantity in enumerate(quantities)
    )
    offcuts = tuple(
        StockSheet(f"rest{n}", random.randint(200, 900), random.randint(200, 1200), 1, Decimal(0))
        for n in range(10)
    )
    sheets = tuple(
        StockSheet(f"{width}x{height}", width, height, None, Decimal(cost))
        for width, height, cost in SHEETS
    )
    return Job(pieces, (*sheets, *offcuts), kerf=random.choice((0, 0, 3)), seconds=seconds)


def _read(name: str) -> list[dict[str, Any]]:
    instances: list[dict[str, Any]] = json.loads((DATA / name).read_text())
    return instances
