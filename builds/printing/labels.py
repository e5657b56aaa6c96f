"""Labels to stick on: one for each piece that is cut, and one for each offcut that is kept.

They fall on common label sheets, three across: 24 of 70 × 37 mm on A4, 30 of 2⅝ × 1 in on Letter
(sizes from memory, common practice); on plain paper the thin lines are there to cut along.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from django.template.loader import render_to_string

from builds.making.blank import Blank, Flute
from builds.packet import Paper
from builds.printing.cards import Lengths, build_name
from builds.sheets import CutPiece, CuttingPlan
from habitats.printing import PrintedPage
from habitats.printing.addresses import address_of

STYLE_SHEETS = ("css/labels.css",)
A_PAGE = {Paper.A4: 24, Paper.LETTER: 30}
ACROSS = 3
TITLE_LETTERS = 20  # of usual width, beside the mark


class Sticker(NamedTuple):
    """One label: the large mark, beside it what it is, and lines below."""

    mark: str
    title: str
    lines: tuple[str, ...]


def piece_stickers(plan: CuttingPlan, code: str, lengths: Lengths) -> tuple[Sticker, ...]:
    """Labels of all pieces, in the order in which they come off the sheets."""
    return tuple(_piece_sticker(piece, code, lengths) for piece in plan.pieces)


def _piece_sticker(piece: CutPiece, code: str, lengths: Lengths) -> Sticker:
    blank = piece.blank
    cut = f"cut {piece.cut}" if piece.cut else "whole"
    return Sticker(
        mark=str(piece.build.number),
        title=_short(build_name(piece.build)),
        lines=(
            blank.name,
            f"{lengths(blank.width_mm)} × {lengths(blank.height_mm)}",
            _flutes(blank, lengths),
            f"Sheet {piece.sheet}, {cut}. Job {code}",
        ),
    )


def _flutes(blank: Blank, lengths: Lengths) -> str:
    """Which of its measures they run along, in the piece as it was cut."""
    if blank.width_mm == blank.height_mm:
        return "Flutes as drawn"
    along = blank.width_mm if blank.settled_flute is Flute.WIDTH else blank.height_mm
    return f"Flutes along {lengths(along)}"


def _short(title: str) -> str:
    """Cut here and not by the style sheet, which takes twice as long."""
    return title if len(title) <= TITLE_LETTERS else f"{title[: TITLE_LETTERS - 1]}…"


def offcut_sticker(
    label: str, size_mm: tuple[int, int], sheet: str, day: str, place: str, lengths: Lengths
) -> Sticker:
    width, height = (lengths(one) for one in size_mm)
    return Sticker(
        mark=label,
        title=f"{width} × {height}",
        lines=(f"Flutes along {height}", sheet, ", ".join(part for part in (place, day) if part)),
    )


def labels_page(title: str, stickers: Sequence[Sticker], paper: Paper) -> PrintedPage:
    context = {
        "title": title,
        "paper": paper.value,
        "pages": [list(_rows(page)) for page in _parts(stickers, A_PAGE[paper])],
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string("sheets/labels.html", context), {})


def _rows(page: Sequence[Sticker]) -> Iterable[list[Sticker | None]]:
    for row in _parts(page, ACROSS):
        yield [*row, *[None] * (ACROSS - len(row))]


def _parts(items: Sequence[Sticker], size: int) -> Iterable[Sequence[Sticker]]:
    return (items[start : start + size] for start in range(0, len(items), size))
