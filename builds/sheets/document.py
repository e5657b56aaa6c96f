"""A cutting plan as plain values for JSON, and back: whole, so that it stays as it was cut.

Blanks are kept with their outlines and folds. Later versions of the blank maker may make others,
but what was worked out and cut is told and drawn as it was.
"""

from collections.abc import Iterable
from dataclasses import asdict
from decimal import Decimal
from typing import Any

from builds.cutting import CutSheet, Layout, Offcut, PiecePlacement, StockSheet, Unplaced
from builds.making.blank import Base, Blank, Flute, Hole, Line, SheetSize
from builds.making.unmade import Unmade, WhyUnmade
from builds.sheets.order import OfferedSheet, SheetOffer
from builds.sheets.plan import CuttingPlan, MadeLine, Trial

FORMAT = "sheet-plan/1"
Document = dict[str, Any]


def document_of(plan: CuttingPlan) -> Document:
    """The plan as `json.dumps` takes it; costs become text, to stay exact."""
    return {
        "format": FORMAT,
        "made": [_plain(asdict(one)) for one in plan.made],
        "offer": _plain(asdict(plan.offer)),
        "trials": [_plain(asdict(one)) for one in plan.trials],
        "plan": layout_document(plan.plan),
    }


def plan_from(document: Document) -> CuttingPlan:
    """The plan that such a document was made of."""
    offer = offer_from(document["offer"])
    plan = layout_from(document["plan"], [one.stock for one in offer.stock])
    made = tuple(_made_from(one) for one in document["made"])
    return CuttingPlan(made, offer, plan, tuple(_trial_from(one) for one in document["trials"]))


def layout_document(layout: Layout) -> Document:
    """A layout alone; of its stock the ids."""
    return {
        "sheets": [_sheet(sheet) for sheet in layout.sheets],
        "cost": str(layout.cost),
        "lower_bound": str(layout.lower_bound),
        "optimal": layout.optimal,
        "unplaced": [asdict(one) for one in layout.unplaced],
    }


def layout_from(document: Document, stock: Iterable[StockSheet]) -> Layout:
    """The layout that such a document was made of, of the same stock."""
    by_id = {one.id: one for one in stock}
    return Layout(
        sheets=tuple(_sheet_from(one, by_id) for one in document["sheets"]),
        cost=Decimal(document["cost"]),
        lower_bound=Decimal(document["lower_bound"]),
        optimal=document["optimal"],
        unplaced=tuple(Unplaced(**one) for one in document["unplaced"]),
    )


def offer_document(offer: SheetOffer) -> Document:
    plain: Document = _plain(asdict(offer))
    return plain


def offer_from(document: Document) -> SheetOffer:
    stock = tuple(
        OfferedSheet(_stock_from(one["stock"]), one["name"], one["is_offcut"])
        for one in document["stock"]
    )
    join_cost = document["join_cost"]
    return SheetOffer(
        **document
        | {"stock": stock, "join_cost": None if join_cost is None else Decimal(join_cost)}
    )


def _sheet(sheet: CutSheet) -> Document:
    return asdict(sheet) | {"stock": sheet.stock.id}


def _sheet_from(document: Document, stock: dict[str, StockSheet]) -> CutSheet:
    return CutSheet(
        stock=stock[document["stock"]],
        placements=tuple(PiecePlacement(**one) for one in document["placements"]),
        offcuts=tuple(Offcut(**one) for one in document["offcuts"]),
    )


def _stock_from(document: Document) -> StockSheet:
    return StockSheet(**document | {"cost": Decimal(document["cost"])})


def _made_from(document: Document) -> MadeLine:
    return MadeLine(
        **document
        | {
            "sheet": SheetSize(**document["sheet"]),
            "blanks": tuple(_blank_from(one) for one in document["blanks"]),
            "unmade": tuple(
                Unmade(code, WhyUnmade(why), *sizes) for code, why, *sizes in document["unmade"]
            ),
        }
    )


def _blank_from(document: Document) -> Blank:
    lines = {
        kind: tuple(Line(*one) for one in document.get(kind, ()))
        for kind in ("slits", "scores", "flap_scores")
    }
    return Blank(
        **document
        | lines
        | {
            "flute": Flute(document["flute"]),
            "outline": tuple((x, y) for x, y in document["outline"]),
            "holes": tuple(Hole(*one) for one in document["holes"]),
            "base": Base(**document["base"]) if document["base"] else None,
        }
    )


def _trial_from(document: Document) -> Trial:
    sizes = tuple(SheetSize(**one) for one in document["sheets_for"])
    return Trial(**document | {"sheets_for": sizes, "cost": Decimal(document["cost"])})


def _plain(value: Any) -> Any:
    """Tuples as lists, costs as text, as they come back from JSON."""
    if isinstance(value, dict):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return str(value) if isinstance(value, Decimal) else value
