"""The short link of a design as a QR code, drawn in one path."""

import segno

# Error correction M mends about 15 % of the code (ISO/IEC 18004): dirt of a garage, a fold.
ERROR_LEVEL = "m"
QUIET_ZONE = 4  # modules of white on each side that ISO/IEC 18004 asks for


def qr_picture(link: str, code: str) -> str:
    """An inline SVG without a size of its own; its title is its alternative in words."""
    made = segno.make(link, error=ERROR_LEVEL, boost_error=False, micro=False)
    drawn: str = made.svg_inline(
        border=QUIET_ZONE,
        omitsize=True,
        title=f"QR code that opens {link}",
        svgid=None,
        svgclass="qr",
        lineclass=None,
        light="#ffffff",
    )
    return drawn.replace("<svg ", f'<svg role="img" aria-label="QR code of design {code}" ', 1)
