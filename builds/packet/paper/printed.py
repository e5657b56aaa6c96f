"""The packet as the HTML page that is turned into paper."""

from django.template.loader import render_to_string

from builds.packet.paper.values import Packet
from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage, lift_pictures
from habitats.common.qr import qr_image

STYLE_SHEETS = ("css/print.css", "css/packet.css", "css/packet-print.css")


def printed(packet: Packet) -> PrintedPage:
    qr = picture_address("qr.png")
    context = {
        "packet": packet,
        "on_paper": True,
        "qr": qr,
        "units": packet.options.units,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    html, pictures = lift_pictures(render_to_string("packet/print.html", context))
    return PrintedPage(html, {qr: qr_image(packet.label.link), **pictures})
