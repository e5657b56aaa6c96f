"""Short links as QR codes."""

from functools import lru_cache
from io import BytesIO

import segno
from django.utils.html import escape
from django.utils.translation import gettext as _

# Error correction M mends about 15 % of the code (ISO/IEC 18004): dirt of a garage, a fold.
ERROR_LEVEL = "m"
QUIET_ZONE = 4  # modules of white on each side that ISO/IEC 18004 asks for
DOTS_A_MODULE = 10  # of the picture for paper: sharp even where a viewer smooths it


def qr_picture(link: str, code: str, kind: str = "design") -> str:
    """An inline SVG without a size of its own; its title is its alternative in words.

    ``kind`` says what the code is the code of.
    """
    drawn = _drawn(link, _("QR code that opens %(link)s") % {"link": link})
    return _with_name(drawn, _named(code, kind))


def qr_of_a_secret(content: str, name: str) -> str:
    """An inline SVG of what only its reader's camera may know: no title tells it."""
    drawn: str = _made(content).svg_inline(
        border=QUIET_ZONE, omitsize=True, svgid=None, svgclass="qr", lineclass=None, light="#ffffff"
    )
    return _with_name(drawn, name)


def _with_name(drawn: str, name: str) -> str:
    return drawn.replace("<svg ", f'<svg role="img" aria-label="{escape(name)}" ', 1)


def _named(code: str, kind: str) -> str:
    if kind == "build":
        return _("QR code of build %(code)s") % {"code": code}
    return _("QR code of design %(code)s") % {"code": code}


def qr_image(link: str) -> bytes:
    """The same as a PNG. A PDF holds it once for all its pages, and a drawing once a page."""
    written = BytesIO()
    _made(link).save(written, kind="png", border=QUIET_ZONE, scale=DOTS_A_MODULE)
    return written.getvalue()


def modules_of(link: str) -> tuple[tuple[int, ...], ...]:
    """The code's modules by rows, 1 for dark, without the quiet zone."""
    return tuple(tuple(row) for row in _made(link).matrix)


def _made(link: str) -> segno.QRCode:
    return segno.make(link, error=ERROR_LEVEL, boost_error=False, micro=False)


@lru_cache(maxsize=256)
def _drawn(link: str, title: str) -> str:
    """Of what a page shows each time; never of a secret."""
    drawn: str = _made(link).svg_inline(
        border=QUIET_ZONE,
        omitsize=True,
        title=title,
        svgid=None,
        svgclass="qr",
        lineclass=None,
        light="#ffffff",
    )
    return drawn
