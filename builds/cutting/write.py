"""A plan as plain values for JSON, in the words of the `cut` command."""

from decimal import Decimal

from builds.cutting.values import CutSheet, Layout, Offcut, PiecePlacement, Unplaced


def plan_as_json(plan: Layout) -> dict[str, object]:
    """Turn a plan into what `json.dumps` takes; costs become plain numbers."""
    return {
        "sheets": [_sheet(sheet) for sheet in plan.sheets],
        "cost": _number(plan.cost),
        "lower_bound": _number(plan.lower_bound),
        "optimal": plan.optimal,
        "used_fraction": round(plan.used_fraction, 6),
        "unplaced": [_unplaced(unplaced) for unplaced in plan.unplaced],
    }


def _sheet(sheet: CutSheet) -> dict[str, object]:
    return {
        "stock": sheet.stock.id,
        "placements": [_placement(placement) for placement in sheet.placements],
        "offcuts": [_offcut(offcut) for offcut in sheet.offcuts],
    }


def _placement(placement: PiecePlacement) -> dict[str, object]:
    return {
        "piece": placement.piece,
        "x": placement.x,
        "y": placement.y,
        "width": placement.width,
        "height": placement.height,
        "rotated": placement.rotated,
    }


def _offcut(offcut: Offcut) -> dict[str, object]:
    return {"x": offcut.x, "y": offcut.y, "width": offcut.width, "height": offcut.height}


def _unplaced(unplaced: Unplaced) -> dict[str, object]:
    return {"piece": unplaced.piece, "quantity": unplaced.quantity, "reason": unplaced.reason}


def _number(cost: Decimal) -> int | float:
    return int(cost) if cost == int(cost) else float(cost)
