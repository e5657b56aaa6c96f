"""An HTML page that is turned into paper, with its pictures beside it.

On the screen pictures stand in the page. For paper they are lifted out and put in as images:
WeasyPrint then reads them as pictures, and not mark by mark as elements of the page to be styled,
which takes a third of the time.
"""

import re
from dataclasses import dataclass
from html import unescape

from django.utils.html import format_html

from habitats.common.addresses import picture_address

PICTURE = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
NAME = re.compile(r'\baria-label="([^"]*)"')


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A whole HTML page, and the pictures it shows by their addresses."""

    html: str
    pictures: dict[str, bytes]


def lift_pictures(html: str) -> tuple[str, dict[str, bytes]]:
    """The page with an image for each picture that stood in it, and those pictures."""
    pictures: dict[str, bytes] = {}

    def lift(found: re.Match[str]) -> str:
        picture = found[0]
        address = picture_address(f"{len(pictures) + 1}.svg")
        pictures[address] = picture.encode()
        return format_html('<img src="{}" alt="{}">', address, _name_of(picture))

    return PICTURE.sub(lift, html), pictures


def _name_of(picture: str) -> str:
    """What the picture is called; the drawings write it as they write XML."""
    named = NAME.search(picture)
    return unescape(named[1]) if named else ""
