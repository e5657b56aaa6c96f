"""Labels of linens on label sheets, each with the code that a phone's camera opens."""

from collections.abc import Sequence

from django.template.loader import render_to_string

from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage
from habitats.common.qr import modules_of
from habitats.drawing.label_sheets import CodeSticker, LabelGrid, sheets_of

STYLE_SHEETS = ("css/print.css", "css/linens-print.css")


def sticker(mark: str, lines: tuple[str, ...], link: str) -> CodeSticker:
    return CodeSticker(mark, lines, modules_of(link))


def linen_labels_page(
    stickers: Sequence[CodeSticker], grid: LabelGrid, *, first: int, shift: tuple[int, int]
) -> PrintedPage:
    pages = sheets_of(stickers, grid, first=first, shift=shift)
    pictures = {
        picture_address(f"{page}.svg"): svg.encode() for page, svg in enumerate(pages, start=1)
    }
    marks = ", ".join(one.mark for one in stickers)
    context = {
        "paper": grid.paper,
        "marks": marks,
        "pages": list(pictures),
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string("linens/labels_print.html", context), pictures)
