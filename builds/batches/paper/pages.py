"""A whole plan on paper: sheets to take, builds, each sheet with its cuts, offcuts to keep."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial

from django.template.loader import render_to_string

from builds.batches.paper.cards import CuttingCard, cards_of
from builds.common.paper import Label, Print
from builds.drawing.dimension import Lengths
from builds.packet.paper.ink import inked
from builds.packet.paper.options import Options
from builds.sheets import CuttingPlan
from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage, lift_pictures
from habitats.common.qr import qr_image
from habitats.measures import length, size

STYLE_SHEETS = ("css/print.css", "css/packet.css", "css/packet-print.css", "css/batches-print.css")


def sheets_page(
    plan: CuttingPlan, label: Label, how: Print, *, sheets: Sequence[int] = (), kind: str = "job"
) -> PrintedPage:
    """The plan to print; only these ``sheets``, by their numbers, if any are named.

    ``kind`` says what the label's code is the code of.
    """
    qr = picture_address("qr.png")
    lengths = partial(length, units=how.units)
    lazy = [one for one in cards_of(plan, lengths) if _is_asked(one.numbers, sheets)]
    context = {
        "plan": plan,
        "cards": [_inked(one.card, how) for one in lazy],
        "is_whole": not sheets,
        "taken": _taken(plan, lengths),
        "label": label,
        "kind": kind,
        "qr": qr,
        "how": how,
        "units": how.units,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    html, pictures = lift_pictures(render_to_string("batches/print.html", context))
    return PrintedPage(html, {qr: qr_image(label.link), **pictures})


def _taken(plan: CuttingPlan, lengths: Lengths) -> list[tuple[str, str, int]]:
    """Name, size and count of each kind of sheet and offcut, as they lie in the store."""
    stock = {one.stock.id: one for one in plan.offer.stock}
    return [
        (
            stock[one].name,
            size((stock[one].stock.width, stock[one].stock.height), lengths),
            count,
        )
        for one, count in plan.taken.items()
    ]


def _is_asked(numbers: Sequence[int], sheets: Sequence[int]) -> bool:
    return not sheets or any(number in sheets for number in numbers)


def _inked(card: CuttingCard, how: Print) -> CuttingCard:
    options = replace(Options(), colour=how.colour)
    return card._replace(picture=inked(card.picture, options))
