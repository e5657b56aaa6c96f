"""A pull on paper: items to take, place by place, with boxes to tick."""

from django.template.loader import render_to_string

from builds.common.paper import Label, Print
from builds.pulls.models.pull_sheet import PullSheet
from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage
from habitats.common.qr import qr_image

STYLE_SHEETS = ("css/print.css", "css/packet.css", "css/packet-print.css", "css/pulls-print.css")


def pull_page(sheet: PullSheet, label: Label, how: Print, *, kind: str) -> PrintedPage:
    """``kind`` says what the label's code is the code of."""
    qr = picture_address("qr.png")
    context = {
        "sheet": sheet,
        "label": label,
        "kind": kind,
        "qr": qr,
        "how": how,
        "units": how.units,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return PrintedPage(render_to_string("pulls/print.html", context), {qr: qr_image(label.link)})
