"""Labels to stick on pieces, one for each that is cut."""

from django.utils.translation import gettext as _

from builds.batches.paper.cards import build_name
from builds.drawing.dimension import Lengths
from builds.making.blank import Blank, Flute
from builds.sheets import CutPiece, CuttingPlan
from builds.store.paper import Sticker
from habitats.measures import size

TITLE_LETTERS = 20  # of usual width, beside the mark


def piece_stickers(plan: CuttingPlan, code: str, lengths: Lengths) -> tuple[Sticker, ...]:
    """Labels of all pieces, in the order in which they come off the sheets."""
    return tuple(
        _piece_sticker(piece, plan.name_of(piece.placement.piece), code, lengths)
        for piece in plan.pieces
    )


def _piece_sticker(piece: CutPiece, name: str, code: str, lengths: Lengths) -> Sticker:
    blank = piece.blank
    given = {"sheet": piece.sheet, "cut": piece.cut, "code": code}
    where = (
        _("Sheet %(sheet)d, cut %(cut)d. Job %(code)s")
        if piece.cut
        else _("Sheet %(sheet)d, whole. Job %(code)s")
    )
    return Sticker(
        mark=str(piece.build.number),
        title=_short(build_name(piece.build)),
        lines=(
            str(name),
            size((blank.width_mm, blank.height_mm), lengths),
            _flutes(blank, lengths),
            where % given,
        ),
    )


def _flutes(blank: Blank, lengths: Lengths) -> str:
    """Which of its measures they run along, in the piece as it was cut."""
    if blank.width_mm == blank.height_mm:
        return _("Flutes as drawn")
    along = blank.width_mm if blank.settled_flute is Flute.WIDTH else blank.height_mm
    return _("Flutes along %(length)s") % {"length": lengths(along)}


def _short(title: str) -> str:
    """Cut here and not by the style sheet, which takes twice as long."""
    return title if len(title) <= TITLE_LETTERS else f"{title[: TITLE_LETTERS - 1]}…"
