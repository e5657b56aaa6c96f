"""Pictures as files, made without holding them, as the standard of PNG has them (W3C, 2003)."""

import struct
import zlib

# Colour types of the standard, table 11.1, and how many channels each has.
GREY, RGB, PALETTE, GREY_ALPHA, RGB_ALPHA = 0, 2, 3, 4, 6
CHANNELS = {GREY: 1, RGB: 3, PALETTE: 1, GREY_ALPHA: 2, RGB_ALPHA: 4}
SIGNATURE = b"\x89PNG\r\n\x1a\n"
# The seven passes of an interlaced picture: first column and row, and steps (section 8.2).
ADAM7 = (
    (0, 0, 8, 8),
    (4, 0, 8, 8),
    (0, 4, 4, 8),
    (2, 0, 4, 4),
    (0, 2, 2, 4),
    (1, 0, 2, 2),
    (0, 1, 1, 2),
)


def blank_png(side, colour=RGB_ALPHA, bits=8, *, is_interlaced=False):
    """A square of nothing but zeros: two megabytes for a gigabyte of pixels."""
    packer = zlib.compressobj(1)
    parts = []
    for x, y, across, down in ADAM7 if is_interlaced else ((0, 0, 1, 1),):
        columns, rows = -(-(side - x) // across), -(-(side - y) // down)
        row = bytes(1 + (columns * CHANNELS[colour] * bits + 7) // 8)
        parts += [packer.compress(row) for _ in range(rows)]
    data = b"".join(parts) + packer.flush()
    head = struct.pack(">IIBBBBB", side, side, bits, colour, 0, 0, int(is_interlaced))
    palette = _chunk(b"PLTE", bytes(range(256)) * 3) if colour == PALETTE else b""
    return SIGNATURE + _chunk(b"IHDR", head) + palette + _chunk(b"IDAT", data) + _chunk(b"IEND")


def _chunk(kind, data=b""):
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
