"""The packet as the HTML page that is turned into paper, with its pictures beside it.

On the screen pictures stand in the page. For paper they are lifted out and put in as images:
WeasyPrint then reads them as pictures, and not mark by mark as elements of the page to be styled,
which takes a third of the time.
"""

import re
from dataclasses import dataclass
from html import unescape

from django.template.loader import render_to_string
from django.utils.html import format_html

from builds.packet.addresses import address_of, picture_address
from builds.packet.values import Packet

STYLE_SHEETS = ("css/packet.css", "css/print.css")
PICTURE = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
NAME = re.compile(r'\baria-label="([^"]*)"')


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A whole HTML page, and the pictures it shows by their addresses."""

    html: str
    pictures: dict[str, str]


def printed(packet: Packet) -> PrintedPage:
    context = {
        "packet": packet,
        "on_paper": True,
        "units": packet.options.units,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    return lift_pictures(render_to_string("packet/print.html", context))


def lift_pictures(html: str) -> PrintedPage:
    """A page of HTML with its pictures beside it."""
    pictures: dict[str, str] = {}

    def lift(found: re.Match[str]) -> str:
        picture = found[0]
        address = picture_address(len(pictures) + 1)
        pictures[address] = picture
        return format_html('<img src="{}" alt="{}">', address, _name_of(picture))

    return PrintedPage(PICTURE.sub(lift, html), pictures)


def _name_of(picture: str) -> str:
    """What the picture is called; the drawings write it as they write XML."""
    named = NAME.search(picture)
    return unescape(named[1]) if named else ""
