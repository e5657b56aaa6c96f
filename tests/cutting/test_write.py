"""The plan's JSON has exactly the keys that the `cut` command promises."""

import json
from collections.abc import Callable
from decimal import Decimal

from builds.cutting import Job, StockSheet, WantedPiece, cut, plan_as_json


def test_a_plan_is_written_with_its_keys(make_job: Callable[..., Job]) -> None:
    pieces = (WantedPiece("side", 40, 30, 1, rotate=False), WantedPiece("wall", 300, 20))
    stock = (StockSheet("sheet", 40, 60, None, Decimal("2.50")),)

    written = json.loads(json.dumps(plan_as_json(cut(make_job(pieces=pieces, stock=stock)))))

    reason = written["unplaced"][0].pop("reason")
    assert reason.startswith("300 x 20 mm is larger than every sheet")
    assert written == {
        "sheets": [
            {
                "stock": "sheet",
                "placements": [
                    {"piece": "side", "x": 0, "y": 0, "width": 40, "height": 30, "rotated": False}
                ],
                "offcuts": [{"x": 0, "y": 30, "width": 40, "height": 30}],
            }
        ],
        "cost": 2.5,
        "lower_bound": 2.5,
        "optimal": True,
        "used_fraction": 0.5,
        "unplaced": [{"piece": "wall", "quantity": 1}],
    }


def test_a_whole_cost_is_written_whole(make_job: Callable[..., Job]) -> None:
    assert json.dumps(plan_as_json(cut(make_job()))["cost"]) == "10"
