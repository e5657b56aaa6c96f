"""Labels to stick on, on sheets of labels; those of offcuts among them.

They fall on common label sheets, three across: 24 of 70 × 37 mm on A4, 30 of 2⅝ × 1 in on Letter
(sizes from memory, common practice); on plain paper the thin lines are there to cut along.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from django.http import Http404, HttpResponse
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.common.paper import Paper, Print, shown
from builds.store.models.offcuts import Offcut
from habitats.common.addresses import address_of
from habitats.common.kept_prints import kept_pdf_from
from habitats.common.page import PrintedPage
from habitats.measures import lengths_in, size

STYLE_SHEETS = ("css/print.css", "css/store-print.css")
A_PAGE = {Paper.A4: 24, Paper.LETTER: 30}
ACROSS = 3


class Sticker(NamedTuple):
    """One label: the large mark, beside it what it is, and lines below."""

    mark: str
    title: str
    lines: tuple[str, ...]


def sticker_of(offcut: Offcut, units: str) -> Sticker:
    """The label of an offcut loaded ``with_place()``."""
    lengths = lengths_in(units)
    day = date_format(timezone.localdate(offcut.made_at), _("j M Y"))
    where = ", ".join(part for part in (str(offcut.place or ""), day) if part)
    return Sticker(
        mark=offcut.label,
        title=offcut.place.code if offcut.place else "",
        # The size has a line to itself: in inches it is longer than what fits beside the mark.
        lines=(
            size((offcut.width_mm, offcut.height_mm), lengths),
            _("Flutes along %(length)s") % {"length": lengths(offcut.height_mm)},
            offcut.kind.name,
            where,
        ),
    )


def labels(stickers: Sequence[Sticker], title: str, how: Print, name: str) -> HttpResponse:
    """Labels as PDF. Raises ``Http404`` where there is nothing to label."""
    if not stickers:
        raise Http404(_("There is nothing to label."))
    return shown(kept_pdf_from(labels_page(title, stickers, how.paper)), name)


def labels_page(title: str, stickers: Sequence[Sticker], paper: Paper) -> PrintedPage:
    context = {
        "title": title,
        "paper": paper.value,
        "pages": [list(_rows(page)) for page in _parts(stickers, A_PAGE[paper])],
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string("store/labels.html", context), {})


def _rows(page: Sequence[Sticker]) -> Iterable[list[Sticker | None]]:
    for row in _parts(page, ACROSS):
        yield [*row, *[None] * (ACROSS - len(row))]


def _parts(items: Sequence[Sticker], size: int) -> Iterable[Sequence[Sticker]]:
    return (items[start : start + size] for start in range(0, len(items), size))
