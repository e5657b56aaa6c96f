"""How much cloth is cut off a roll for rectangular pieces. Whole millimetres."""

from collections.abc import Iterable

Size = tuple[int, int]


def roll_length(pieces: Iterable[Size], roll_mm: int) -> int | None:
    """Length to cut off a roll so wide, so that all pieces come out of it; None if one does not.

    Each piece lies whichever way takes less length; pieces stand side by side in rows across the
    roll, longest first, each in the first row with room (first-fit decreasing height: Coffman,
    Garey, Johnson, Tarjan 1980, at most 1.7 times the least length and one longest piece).
    Cloth may be turned: it has no grain that matters here (common practice, no source).
    """
    lying = [_lying(piece, roll_mm) for piece in pieces]
    if None in lying:
        return None
    rows: list[list[int]] = []  # width left, length
    for width, length in sorted((one for one in lying if one), key=lambda one: (-one[1], -one[0])):
        row = next((one for one in rows if one[0] >= width), None)
        if row is None:
            row = [roll_mm, length]
            rows.append(row)
        row[0] -= width
    return sum(length for _left, length in rows)


def _lying(piece: Size, roll_mm: int) -> Size | None:
    """The piece as (across, along) the roll, the shorter along; None if it fits neither way."""
    shorter, longer = sorted(piece)
    if longer <= roll_mm:
        return longer, shorter
    return (shorter, longer) if shorter <= roll_mm else None
