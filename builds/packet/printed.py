"""The packet as the HTML page that is turned into paper."""

from django.template.loader import render_to_string

from builds.packet.pdf import address_of
from builds.packet.values import Packet

STYLE_SHEETS = ("css/packet.css", "css/print.css")


def printed(packet: Packet) -> str:
    context = {
        "packet": packet,
        "on_paper": True,
        "units": packet.options.units,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return render_to_string("packet/print.html", context)
