"""Published instances; where they are from is said in data/README.md.

No plan may beat what is proved or, on these well-searched instances, the best known; and every
bound has to stay below the best known.
"""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from builds.cutting import Job, Layout, StockSheet, WantedPiece, cut, faults_in

DATA = Path(__file__).parent / "data"
ONE_SIZE = [
    instance
    for instance in json.loads((DATA / "one_size_50.json").read_text())
    if len(instance["pieces"]) <= 40
]
THREE_SIZES = json.loads((DATA / "three_sizes_6.json").read_text())


def one_size_job(instance: dict[str, Any], turn: bool) -> Job:
    pieces = tuple(
        WantedPiece(f"p{number}", width, height, 1, turn)
        for number, (width, height) in enumerate(instance["pieces"])
    )
    return Job(pieces, (StockSheet("sheet", *instance["sheet"], None, Decimal(1)),))


def three_sizes_job(instance: dict[str, Any], turn: bool) -> Job:
    pieces = tuple(
        WantedPiece(f"p{n}", p["width"], p["height"], p["quantity"], turn)
        for n, p in enumerate(instance["pieces"])
    )
    stock = tuple(
        StockSheet(f"s{n}", s["width"], s["height"], None, Decimal(s["cost"]))
        for n, s in enumerate(instance["stock"])
    )
    return Job(pieces, stock)


def assert_sound(job: Job, plan: Layout, best_known: int) -> None:
    assert faults_in(job, plan) == []
    assert plan.unplaced == ()
    assert plan.lower_bound <= best_known


@pytest.mark.parametrize("way", ["turned", "locked"])
@pytest.mark.parametrize("instance", ONE_SIZE, ids=lambda instance: instance["name"])
def test_a_plan_lies_between_published_bound_and_a_little_above_the_best_known(
    instance: dict[str, Any], way: str
) -> None:
    job, best_known = (
        one_size_job(instance, way == "turned"),
        instance["best_known"][f"{way}_guillotine"],
    )

    plan = cut(job, work=4_000)

    assert_sound(job, plan, best_known)
    assert best_known <= plan.cost <= best_known + 1
    assert plan.cost >= instance["lower_bound"][way]


@pytest.mark.parametrize("way", ["turned", "locked"])
@pytest.mark.parametrize("instance", THREE_SIZES[:2], ids=lambda instance: instance["name"])
def test_several_sizes_stay_within_a_fiftieth_of_the_best_known(
    instance: dict[str, Any], way: str
) -> None:
    job = three_sizes_job(instance, way == "turned")
    best_known = instance["best_known_two_stage"][way]

    plan = cut(job, work=20_000)

    assert_sound(job, plan, best_known)
    assert plan.cost <= best_known * Decimal("1.02")
