"""Pure: blanks on sheets. Orders weighed, plans told back in the names of builds and parts.

plan = work_out(SheetOrder(lines, offer))  # a CuttingPlan over all builds
plan.shares                                # what it holds for each build
document_of(plan); plan_from(document)     # to JSON and back, whole
sheet_plan(blanks)                         # one design from one kind of sheet, for its packet
plan_of(design, lay=as_cut)                # a design told with its pieces as that plan has them cut
"""

from builds.sheets.as_cut import alteration_as_cut, as_cut, piece_as_cut
from builds.sheets.document import document_of, offer_document, offer_from, plan_from
from builds.sheets.order import Altered, OfferedSheet, OrderLine, SheetOffer, SheetOrder
from builds.sheets.pieces import lies_turned, shape_of
from builds.sheets.plan import (
    CutPiece,
    CuttingPlan,
    Kept,
    MadeLine,
    Missing,
    Share,
    SheetBuild,
    Trial,
)
from builds.sheets.single import WORK, SheetPlan, sheet_plan
from builds.sheets.together import InPlan, PieceInPlan, in_plan
from builds.sheets.ways import Way, ways_of
from builds.sheets.weighing import sheets_alike, work_out

__all__ = [
    "WORK",
    "Altered",
    "CutPiece",
    "CuttingPlan",
    "InPlan",
    "Kept",
    "MadeLine",
    "Missing",
    "OfferedSheet",
    "OrderLine",
    "PieceInPlan",
    "Share",
    "SheetBuild",
    "SheetOffer",
    "SheetOrder",
    "SheetPlan",
    "Trial",
    "Way",
    "alteration_as_cut",
    "as_cut",
    "document_of",
    "in_plan",
    "lies_turned",
    "offer_document",
    "offer_from",
    "piece_as_cut",
    "plan_from",
    "shape_of",
    "sheet_plan",
    "sheets_alike",
    "ways_of",
    "work_out",
]
