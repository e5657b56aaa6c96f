"""How much of a JPEG has to be held while it is decoded, told from its markers (ITU-T T.81).

Most have one scan, and are decoded a few rows at a time. One whose parts come in several scans
(progressive, or colour by colour) is held whole, as coefficients of two bytes, however small it is
wanted; and each scan goes over all of them again.
"""

from typing import NamedTuple

START, SCAN = b"\xff\xd8", b"\xff\xda"
# Baseline and extended sequential, progressive (T.81, table B.1). No camera writes another.
SEQUENTIAL, PROGRESSIVE = (0xC0, 0xC1), 0xC2
OTHER_FRAMES = frozenset(range(0xC3, 0xD0)) - {0xC4, 0xC8, 0xCC}
BLOCK = 8
COEFFICIENT_BYTES = 2


class NoScans(ValueError):
    """The markers cannot be followed, or are of a process that is not taken."""


class Scans(NamedTuple):
    """``held``: bytes of coefficients, 0 for a picture of one scan; ``passes``: scans at most."""

    held: int
    passes: int


class JpegFrame(NamedTuple):
    """``parts``: for each component how many samples across and down it has, to one of others."""

    process: int
    width: int
    height: int
    parts: tuple[tuple[int, int], ...]


def scans_of(jpeg: bytes) -> Scans:
    """Raises ``NoScans``."""
    at, frame = len(START), None
    while True:
        marker, body, at = _segment(jpeg, at)
        if marker == SCAN[1]:
            break
        if marker in OTHER_FRAMES:
            raise NoScans("This kind of JPEG is not taken.")
        if marker in (*SEQUENTIAL, PROGRESSIVE):
            frame = _frame(marker, body)
    if frame is None or not body:
        raise NoScans("The JPEG has no frame.")
    if frame.process in SEQUENTIAL and body[0] == len(frame.parts):
        return Scans(0, 1)
    return Scans(_held(frame), jpeg.count(SCAN))


def _segment(jpeg: bytes, at: int) -> tuple[int, bytes, int]:
    """The marker there, what belongs to it, and where the next one is."""
    while jpeg[at : at + 2] == b"\xff\xff":
        at += 1
    if len(jpeg) < at + 4 or jpeg[at] != 0xFF:
        raise NoScans("The JPEG breaks off, or is no JPEG.")
    length = int.from_bytes(jpeg[at + 2 : at + 4], "big")
    end = at + 2 + length
    if length < 2 or len(jpeg) < end:
        raise NoScans("The JPEG breaks off.")
    return jpeg[at + 1], jpeg[at + 4 : end], end


def _frame(process: int, body: bytes) -> JpegFrame:
    if len(body) < 6 or len(body) < 6 + 3 * body[5]:
        raise NoScans("The JPEG has a broken frame.")
    parts = tuple((one >> 4, one & 15) for one in body[7 : 6 + 3 * body[5] : 3])
    if not parts or not all(across and down for across, down in parts):
        raise NoScans("The JPEG has a broken frame.")
    height, width = (int.from_bytes(body[place : place + 2], "big") for place in (1, 3))
    return JpegFrame(process, width, height, parts)


def _held(frame: JpegFrame) -> int:
    most_across, most_down = (max(one) for one in zip(*frame.parts, strict=True))
    samples = sum(
        _in_blocks(frame.width * across, most_across) * _in_blocks(frame.height * down, most_down)
        for across, down in frame.parts
    )
    return samples * COEFFICIENT_BYTES


def _in_blocks(samples: int, share: int) -> int:
    return -(-samples // (share * BLOCK)) * BLOCK
