"""A blank to mark out: outline, slits, scores and holes with their places from one corner."""

from collections.abc import Iterable, Sequence
from itertools import pairwise

from builds.drawing.dimension import ROW, Lengths, dimension, running, scale_bar
from builds.drawing.legend import LINE, legend
from builds.drawing.room import PRINTED_BLANK, STEP_BLANK, WORDS_WIDTH, PictureRoom
from builds.making.blank import Blank, Flute, Line
from builds.making.lying import LyingBlank, SideUp, lying
from builds.making.seam_marks import seam_marks
from habitats.drawing.pen import Anchor, BoundsPen, Pen, Point, Scaled, width_of
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import finished
from habitats.wording import counted, joined, message

CARD = PictureRoom(390.0, 390.0)
LARGEST_SCALE = 0.8
FLUTE_MARK = 64.0  # from tip to tip
# Words are measured in English and may be told in a language that takes longer.
WORDS_ROOM = 1.3

INSIDE_WORDS = message("this side becomes the inside")
OUTSIDE_WORDS = message("turned over: the outside is up")


def blank_picture(blank: Blank, *, lengths: Lengths) -> str:
    """The blank to scale, with running positions on two sides, legend and scale bar.

    Flutes are marked where they are settled: a wish is no mark to work by.
    """
    return finished(
        lambda pen: draw_blank(pen, blank, lengths),
        message("Blank: %(name)s", name=blank.name),
        describe_blank(blank, lengths),
        kind="blank",
    )


def describe_blank(blank: Blank, lengths: Lengths) -> str:
    """What there is to cut, in words."""
    given = {
        "width": lengths(blank.width_mm),
        "height": lengths(blank.height_mm),
        "folds": _folds(blank),
    }
    sentences = [
        message(
            "Cut %(width)s by %(height)s, flutes %(way)s; %(folds)s.",
            **given,
            way=flute_way(blank),
        )
        if blank.settled_flute
        else message("Cut %(width)s by %(height)s; %(folds)s.", **given),
        message("Positions are counted from the top left corner."),
        message("The side shown becomes the inside."),
    ]
    return joined(" ", sentences)


def printed_step_picture(blank: Blank, title: str, *, lengths: Lengths) -> str:
    """The blank as the step that cuts it shows it on paper, where it is larger than on a phone."""
    return finished(
        lambda pen: draw_small_blank(pen, blank, lengths, PRINTED_BLANK),
        title,
        describe_blank(blank, lengths),
        kind="step",
    )


def turned_picture(blank: Blank, *, lengths: Lengths) -> str:
    """The blank with its outside up, as in a mirror: what is scored there, and nothing else."""
    return finished(
        lambda pen: draw_turned(pen, blank, lengths),
        message("Turned over: %(name)s", name=blank.name),
        joined(
            " ",
            [
                message("The outside is up: left and right are changed, as in a mirror."),
                counted(
                    "%(count)d score on this side. Positions are counted from the top left corner.",
                    "%(count)d scores on this side. Positions are counted from the top left "
                    "corner.",
                    len(blank.scores) - len(blank.flap_scores),
                ),
            ],
        ),
        kind="blank",
    )


def _folds(blank: Blank) -> str:
    parts = [
        counted("%(count)d slit", "%(count)d slits", len(blank.slits)),
        counted("%(count)d score", "%(count)d scores", len(blank.scores)),
        counted("%(count)d hole", "%(count)d holes", len(blank.holes)),
    ]
    return joined(", ", [one for one in parts if one.number]) or message("no folds")


def flute_way(blank: Blank) -> str | None:
    """How the flutes run on the drawing, in words; None while the piece may be turned."""
    return _WAYS[blank.settled_flute] if blank.settled_flute else None


_WAYS = {Flute.WIDTH: message("from left to right"), Flute.HEIGHT: message("from top to bottom")}


def draw_blank(pen: Pen, blank: Blank, lengths: Lengths) -> None:
    mm = Scaled(pen, _scale(blank, CARD))
    _inside_up(mm, blank)
    _measures(pen, mm, blank, marked_positions(blank), lengths)
    _words(pen, mm, blank)
    _foot(pen, mm, blank, _entries(blank), lengths)


def draw_small_blank(
    pen: Pen, blank: Blank, lengths: Lengths, room: PictureRoom = STEP_BLANK
) -> None:
    """For the step that cuts it, which says its name, and that the inside is up."""
    scale = _scale(blank, room)

    def piece(on: Pen) -> None:
        mm = Scaled(on, scale)
        _inside_up(mm, blank)
        # The last of the positions is the whole length, so that no other line says it.
        _positions(on, mm, marked_positions(blank), lengths)

    piece(pen)
    if blank.settled_flute:
        x1, y1, x2, y2 = _middle_part(blank)
        middle = ((x1 + x2) / 2 * scale, (y1 + y2) / 2 * scale)
        flute_mark(pen, middle, along_x=blank.settled_flute is Flute.WIDTH)
    bounds = BoundsPen()
    piece(bounds)
    left, _top, _right, bottom = bounds.box or (0.0, 0.0, 0.0, 0.0)
    entries = [
        (style, _BRIEF.get(style, words))
        for style, words in _entries(blank)
        if style is not Style.CUT  # what a full line round a piece means needs no words
    ]
    legend(pen, (left, bottom + LINE - 2), entries, width=WORDS_WIDTH)


# For a narrow legend.
_BRIEF = {
    Style.FLAP_SCORE: message("doorway score: one skin, on this side"),
    Style.HIDDEN: message("mark: the next piece ends here"),
}


def _inside_up(mm: Scaled, blank: Blank) -> None:
    seen = lying(blank, SideUp.INSIDE)
    styled = (
        (Style.SCORE, seen.far_scores),
        (Style.FLAP_SCORE, seen.near_scores),
        (Style.SLIT, seen.slits),
        (Style.HIDDEN, seen.marks),
    )
    _lines(mm, seen, styled)


def draw_turned(pen: Pen, blank: Blank, lengths: Lengths) -> None:
    """Slits and holes are there by now: they show how the piece lies, and have no measures."""
    seen = lying(blank, SideUp.OUTSIDE)
    mm = Scaled(pen, _scale(blank, PRINTED_BLANK))
    _lines(mm, seen, ((Style.HIDDEN, seen.slits), (Style.SCORE, seen.near_scores)))
    points = [*seen.outline, *_ends(seen.near_scores)]
    _measures(pen, mm, blank, _distinct(points), lengths)
    is_written = _write_on_the_back(pen, mm, blank)
    entries: list[tuple[Style, str]] = [
        (Style.SCORE, message("score: one skin, on this side")),
        *([(Style.HIDDEN, message("slit, cut already"))] if seen.slits else []),
    ]
    _foot(pen, mm, blank, entries, lengths, said="" if is_written else OUTSIDE_WORDS)


def _write_on_the_back(pen: Pen, mm: Scaled, blank: Blank) -> bool:
    """Which side is up, in the middle of the floor; False if that is too small for the words."""
    x1, y1, x2, y2 = _middle_part(blank)
    middle = mm.at((blank.width_mm - (x1 + x2) / 2, (y1 + y2) / 2))
    wide, high = mm.at((x2 - x1, y2 - y1))
    longest = width_of(OUTSIDE_WORDS, Letter.NOTE) * WORDS_ROOM
    for turn, along, across in ((0, wide, high), (-90, high, wide)):
        if longest <= along and across >= LINE:
            pen.text(middle, OUTSIDE_WORDS, Letter.NOTE, turn=turn)
            return True
    return False


def _scale(blank: Blank, room: PictureRoom) -> float:
    return min(LARGEST_SCALE, room.width / blank.width_mm, room.height / blank.height_mm)


def _lines(mm: Scaled, seen: LyingBlank, styled: Sequence[tuple[Style, Sequence[Line]]]) -> None:
    mm.area([seen.outline], Style.PIECE)
    for style, lines in styled:
        for line in lines:
            mm.line([(line.x1, line.y1), (line.x2, line.y2)], style)
    for hole in seen.holes:
        mm.circle((hole.x, hole.y), max(hole.diameter / 2, 2 / mm.scale), Style.JOINT)


def _foot(
    pen: Pen,
    mm: Scaled,
    blank: Blank,
    entries: Sequence[tuple[Style, str]],
    lengths: Lengths,
    said: str = "",
) -> None:
    """What is ``said`` of the piece, legend and scale bar, below it."""
    width, height = mm.at((blank.width_mm, blank.height_mm))
    top = height + 2 * ROW
    if said:
        pen.text((0, top + 4), said, Letter.NOTE, Anchor.START)
        top += LINE
    used = legend(pen, (0, top), entries, width=max(width, 260.0))
    scale_bar(pen, (0, top + used), mm.scale, lengths)


def _measures(
    pen: Pen, mm: Scaled, blank: Blank, marked: tuple[list[int], list[int]], lengths: Lengths
) -> None:
    """Every marked place along the top and down the left side; the whole below and right."""
    width, height = mm.at((blank.width_mm, blank.height_mm))
    dimension(pen, (0, height), (width, height), -ROW, lengths(blank.width_mm))
    dimension(pen, (width, height), (width, 0), -ROW, lengths(blank.height_mm))
    _positions(pen, mm, marked, lengths)


def _positions(pen: Pen, mm: Scaled, marked: tuple[list[int], list[int]], lengths: Lengths) -> None:
    xs, ys = marked
    east = [(x * mm.scale, lengths(x)) for x in xs]
    running(pen, (0, 0), (1, 0), east, ROW / 2)
    south = [(y * mm.scale, lengths(y)) for y in ys]
    running(pen, (0, 0), (0, 1), south, -ROW / 2)


def marked_positions(blank: Blank) -> tuple[list[int], list[int]]:
    """All distinct x and all distinct y of the outline, slits, scores and holes, in order."""
    points = [
        *blank.outline,
        *_ends(blank.slits),
        *_ends(blank.scores),
        *_ends(seam_marks(blank)),
        *((hole.x, hole.y) for hole in blank.holes),
    ]
    return _distinct(points)


def _distinct(points: Sequence[tuple[int, int]]) -> tuple[list[int], list[int]]:
    return sorted({x for x, _y in points}), sorted({y for _x, y in points})


def _ends(lines: Iterable[Line]) -> list[tuple[int, int]]:
    return [end for line in lines for end in ((line.x1, line.y1), (line.x2, line.y2))]


def _words(pen: Pen, mm: Scaled, blank: Blank) -> None:
    """Name, the side shown and the flutes, in the middle of the floor, along its longer way."""
    x1, y1, x2, y2 = _middle_part(blank)
    (left, top), (right, bottom) = mm.at((x1, y1)), mm.at((x2, y2))
    centre = ((left + right) / 2, (top + bottom) / 2)
    upright = right - left < max(bottom - top, width_of(INSIDE_WORDS, Letter.NOTE) + 10)
    length, room = (bottom - top, right - left) if upright else (right - left, bottom - top)

    def spot(along: float, across: float) -> Point:
        """From the middle, along the words and down from one row to the next."""
        dx, dy = (across, -along) if upright else (along, across)
        return centre[0] + dx, centre[1] + dy

    turn = -90 if upright else 0
    pen.text(spot(0, -13 if room > 90 else -2), blank.name, Letter.NAME, turn=turn)
    if room > 30:
        pen.text(spot(0, 4 if room > 90 else 13), INSIDE_WORDS, Letter.NOTE, turn=turn)
    if blank.settled_flute is None:
        return
    along_x = blank.settled_flute is Flute.WIDTH
    # Below the words where there is room, else before them on the same line.
    below, enough = (28, 90) if along_x != upright else (46, 160)
    longest = max(width_of(blank.name, Letter.NAME), width_of(INSIDE_WORDS, Letter.NOTE))
    before = max(length * 0.36, longest / 2 + FLUTE_MARK / 2 + 4)
    flute_mark(pen, spot(0, below) if room > enough else spot(-before, 0), along_x=along_x)


def _middle_part(blank: Blank) -> tuple[int, int, int, int]:
    """The floor of a tray; of a strip, the part between its scores."""
    if blank.base:
        x, y = blank.base.offset_x, blank.base.offset_y
        return x, y, x + blank.base.x2 - blank.base.x1, y + blank.base.y2 - blank.base.y1
    upright = [line.x1 for line in blank.scores if line.x1 == line.x2]
    level = [line.y1 for line in blank.scores if line.y1 == line.y2]
    left, right = _widest_between([0, *upright, blank.width_mm])
    top, bottom = _widest_between([0, *level, blank.height_mm])
    return left, top, right, bottom


def _widest_between(stops: list[int]) -> tuple[int, int]:
    return max(pairwise(sorted(stops)), key=lambda pair: pair[1] - pair[0])


def flute_mark(pen: Pen, at: Point, *, along_x: bool) -> None:
    """Three parallel strokes with an arrow at both ends, and the word."""
    x, y = at
    half = FLUTE_MARK / 2 - 6

    def spot(along: float, across: float) -> Point:
        return (x + along, y + across) if along_x else (x + across, y + along)

    for across in (-3.0, 0.0, 3.0):
        pen.line([spot(-half, across), spot(half, across)], Style.THIN)
    for end in (-1, 1):
        tip = end * FLUTE_MARK / 2
        pen.area([[spot(tip, 0), spot(tip - end * 8, -4), spot(tip - end * 8, 4)]], Style.SOLID)
    turn, at = (0, (x, y + 16)) if along_x else (-90, (x - 8, y))
    pen.text(at, message("flutes"), Letter.NOTE, turn=turn)


def _entries(blank: Blank) -> list[tuple[Style, str]]:
    entries: list[tuple[Style, str]] = [(Style.CUT, message("cut edge"))]
    if blank.slits:
        entries.append((Style.SLIT, message("slit: cut through")))
    if blank.scores:
        entries.append((Style.SCORE, message("score: one skin, on the other side")))
    if blank.flap_scores:
        entries.append((Style.FLAP_SCORE, message("doorway's score: one skin, on this side")))
    if seam_marks(blank):
        entries.append((Style.HIDDEN, message("tab or lap: mark; the next piece ends here")))
    return entries
