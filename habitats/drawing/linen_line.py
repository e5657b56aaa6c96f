"""The linen line: all linens of a pool as they hang side by side, by where they are on their way.

Clean, in use, soiled, washing and drying hang on one line, each as wide as it has linens; what is
set aside is hatched apart in its stretch, and new linens hang beyond a gap in the line. Under the
line stands the day on which it would run dry.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from habitats.drawing.pen import Anchor, Pen, Ring, width_of
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.wording import counted, joined, message

WIDE, NARROW = 940.0, 292.0
HEIGHT = 46.0
GAP = 7.0  # between stretches
BREAK = 26.0  # in the line, before the new linens
BARE = 16.0  # width of a stretch with no linen in it
PEG = 6.0
DROP = 4.0  # from the line to the cloth
BETWEEN_WORDS = 7.0
LEAST_CELL = 9.0  # linens narrower than this are not told apart
ABOVE = 14.0
COUNT_BELOW, WORDS_BELOW, DRY_BELOW = 22.0, 37.0, 62.0


@dataclass(frozen=True, slots=True)
class LineStretch:
    """So many linens in one state; ``apart`` of them are set aside, ``is_new``: beyond the gap."""

    words: str
    count: int
    apart: int
    style: Style
    is_new: bool = False


@dataclass(frozen=True, slots=True)
class LinenLine:
    """What is drawn. ``apart_soiled`` and so on count the set-aside ones among the others.

    ``dry``: the words about the day it would run dry; ``is_dry``: whether it does.
    """

    clean: int = 0
    in_use: int = 0
    soiled: int = 0
    washing: int = 0
    drying: int = 0
    apart_soiled: int = 0
    apart_washing: int = 0
    apart_drying: int = 0
    new: int = 0
    dry: str = ""
    is_dry: bool = False

    @property
    def stretches(self) -> tuple[LineStretch, ...]:
        return (
            LineStretch(message("clean"), self.clean, 0, Style.PAPER),
            LineStretch(message("in use"), self.in_use, 0, Style.LAID),
            LineStretch(message("soiled"), self.soiled, self.apart_soiled, Style.SOILED),
            LineStretch(message("washing"), self.washing, self.apart_washing, Style.WASHED),
            LineStretch(message("drying"), self.drying, self.apart_drying, Style.HUNG),
        )

    @property
    def apart(self) -> int:
        return self.apart_soiled + self.apart_washing + self.apart_drying

    @property
    def total(self) -> int:
        """Those that go round; new ones do not yet."""
        return sum(one.count for one in self.stretches)


class _Hung(NamedTuple):
    """A stretch where it hangs, from left to right, and the width of one linen."""

    stretch: LineStretch
    left: float
    right: float
    cell: float

    @property
    def middle(self) -> float:
        return (self.left + self.right) / 2


def linen_line_picture(line: LinenLine, *, title: str, width: float = WIDE) -> str:
    """SVG of the line, ``WIDE`` for a desk or ``NARROW`` for a phone."""
    kind = "line-narrow" if width == NARROW else "line"
    return finished(lambda pen: draw_line(pen, line, width), title, describe(line), kind=kind)


def describe(line: LinenLine) -> str:
    """The same in words.

    >>> describe(LinenLine(clean=2, soiled=3, apart_soiled=1, dry="Lasts."))
    '5 linens: 2 clean, 0 in use, 3 soiled (1 of them set aside), 0 washing, 0 drying. Lasts.'
    """
    sentences: list[str] = [
        counted(
            "%(count)d linen: %(parts)s.",
            "%(count)d linens: %(parts)s.",
            line.total,
            parts=joined(", ", [*map(_stretch_words, line.stretches)]),
        )
    ]
    if line.new:
        sentences.append(
            counted("Beside them %(count)d new.", "Beside them %(count)d new.", line.new)
        )
    if line.dry:
        sentences.append(line.dry)
    return joined(" ", sentences)


def _stretch_words(one: LineStretch) -> str:
    words = joined(" ", [str(one.count), one.words])
    if not one.apart:
        return words
    return message("%(linens)s (%(apart)d of them set aside)", linens=words, apart=one.apart)


def draw_line(pen: Pen, line: LinenLine, width: float) -> None:
    hung = list(_hang(line, width))
    _draw_rope(pen, hung)
    for one in hung:
        _draw_cloth(pen, one)
    _draw_words(pen, hung[:5], width)
    _draw_above(pen, hung, width)
    if line.dry:
        letter = Letter.ALARM if line.is_dry else Letter.NOTE
        pen.text((0, DROP + HEIGHT + DRY_BELOW), line.dry, letter, Anchor.START)


def _hang(line: LinenLine, width: float) -> Iterator[_Hung]:
    stretches = list(line.stretches)
    room = width - GAP * (len(stretches) - 1)
    if line.new:
        stretches.append(LineStretch("new", line.new, 0, Style.PAPER, is_new=True))
        room -= BREAK
    room -= BARE * sum(not one.count for one in stretches)
    cell = room / max(1, sum(one.count for one in stretches))
    left = 0.0
    for number, one in enumerate(stretches):
        left += (BREAK if number == len(line.stretches) else GAP) if number else 0
        right = left + (one.count * cell or BARE)
        yield _Hung(one, left, right, cell)
        left = right


def _draw_rope(pen: Pen, hung: Sequence[_Hung]) -> None:
    """The line, in two where new linens hang beyond it, and a peg at each corner of the cloth."""
    round_, beyond = hung[:5], hung[5:]
    for part in filter(None, (round_, beyond)):
        pen.line([(part[0].left - GAP, 0), (part[-1].right + GAP, 0)], Style.INK)
    for one in hung:
        if one.stretch.count:
            for x in (one.left, one.right):
                pen.line([(x, -PEG), (x, DROP + 2)], Style.HEAVY)


def _draw_cloth(pen: Pen, one: _Hung) -> None:
    if not one.stretch.count:
        return
    whole = _ring(one.left, one.right)
    pen.area([whole], one.stretch.style)
    if one.stretch.apart:
        pen.area([_ring(one.right - one.stretch.apart * one.cell, one.right)], Style.SET_APART)
    if one.cell >= LEAST_CELL:
        for number in range(1, one.stretch.count):
            x = one.left + number * one.cell
            pen.line([(x, DROP), (x, DROP + HEIGHT)], Style.THIN)
    edge = Style.HIDDEN if one.stretch.is_new else Style.INK
    pen.line([*whole, whole[0]], edge)


def _ring(left: float, right: float) -> Ring:
    bottom = DROP + HEIGHT
    return [(left, DROP), (right, DROP), (right, bottom), (left, bottom)]


def _draw_words(pen: Pen, hung: Sequence[_Hung], width: float) -> None:
    """Under each stretch its count and its name, moved aside where they would meet."""
    bottom = DROP + HEIGHT
    places = spread([one.middle for one in hung], [_width(one.stretch) for one in hung], width)
    for one, x in zip(hung, places, strict=True):
        if one.stretch.count:
            pen.line([(one.middle, bottom), (x, bottom + 8)], Style.THIN)
        pen.text((x, bottom + COUNT_BELOW), str(one.stretch.count), Letter.NAME)
        pen.text((x, bottom + WORDS_BELOW), one.stretch.words, Letter.FIGURE)


def _width(one: LineStretch) -> float:
    """How wide its words come out, count over name."""
    return max(width_of(one.words, Letter.FIGURE), width_of(str(one.count), Letter.NAME))


def _draw_above(pen: Pen, hung: Sequence[_Hung], width: float) -> None:
    """Over the line what is set aside, and what is new."""
    labels = [
        (one.right - one.stretch.apart * one.cell / 2, _apart(one.stretch.apart))
        for one in hung
        if one.stretch.apart
    ] + [(one.middle, _new(one.stretch.count)) for one in hung[5:]]
    widths = [width_of(words, Letter.FIGURE) for _x, words in labels]
    places = spread([x for x, _words in labels], widths, width)
    for (x, words), at in zip(labels, places, strict=True):
        pen.line([(at, -ABOVE), (x, DROP)], Style.THIN)
        pen.text((at, -ABOVE - 4), words, Letter.FIGURE)


def _apart(count: int) -> str:
    return counted("%(count)d set aside", "%(count)d set aside", count)


def _new(count: int) -> str:
    return counted("%(count)d new", "%(count)d new", count)


def spread(wanted: Sequence[float], widths: Sequence[float], most: float) -> list[float]:
    """Middles as near to the wanted ones as they go, in order, without meeting, from 0 to ``most``.

    Where there is not room for all, the last ones keep inside and the first go out.
    """
    found: list[float] = []
    for at, width in zip(wanted, widths, strict=True):
        apart = (widths[len(found) - 1] + width) / 2 + BETWEEN_WORDS
        found.append(max(at, found[-1] + apart if found else width / 2))
    limit = most
    for number in range(len(found) - 1, -1, -1):
        found[number] = min(found[number], limit - widths[number] / 2)
        limit = found[number] - widths[number] / 2 - BETWEEN_WORDS
    return found
