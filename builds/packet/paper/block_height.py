"""How high a block of the work is on paper, by how high its picture is.

Lengths are millimetres, as static/css/packet-print.css sets them.
"""

from collections.abc import Callable, Iterator, Sequence
from math import ceil

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.common.paper import Paper
from builds.packet.paper.text_size import lines_of
from builds.packet.paper.values import Block, CutLine, SheetCard, StepCard
from habitats.drawing.styles import Letter
from habitats.drawing.svg import has_figures, size_of

# Of a page within its margins; a little less in height, since what follows is estimated.
WIDTH = {Paper.A4: 188.0, Paper.LETTER: 193.9}
ROOM = {Paper.A4: 252.0, Paper.LETTER: 234.5}
# Heights of pictures that there are rules for.
LEAST_PICTURE, MOST_PICTURE, RULE = 40, 120, 4
# Beside its words a picture is as wide as it has to be, so that they have the rest of the width.
PICTURE_WIDTH, BETWEEN, WIDTH_RULE = 80, 4, 8
LEAST_WIDTH = 40
# Two pictures stand side by side, with the words below them: a piece and the same turned over, a
# step and the ramp that it sets.
OF_A_PIECE, OF_A_RAMP = (92.0, 92.0), (62.0, 122.0)
SHEET_WIDTH, PLAN_WIDTH = 126.0, 136.0
# Figures are 2 mm high at least, and capitals 1.5 mm (common practice, no source): seven tenths
# of the letters.
FIGURE_MM, CAPITAL_MM = 2.0, 1.5
CAPITAL_UNITS = 0.7 * Letter.FIGURE.size

CHAPTER, PLAN_NAME = 10.7, 8.0
INTRO_LINE, INTRO_POINTS, BELOW_INTRO = 4.9, 11.0, 1.5
SHEET_HEADING, CUTS_HEAD, CUT_LINE, CUT_PADDING = 8.1, 6.0, 4.24, 1.8
CUT_COLUMNS = 20.0  # what is between the drawing and the words of a cut
TITLE_LINE, TICK_WIDTH, TITLE_POINTS = 6.1, 30.0, 13.5
FACTS_LINE, FACTS_POINTS = 4.8, 10.0
TEXT_LINE, TEXT_POINTS = 5.3, 12.0
CAUTION_LINE, CAUTION_BOX, CAUTION_EDGE = 5.3, 4.3, 6.0
INDENT, BETWEEN_POINTS = 7.0, 1.3
CAPTION = 8.0


class BlockHeight:
    """A block with what its height hangs on."""

    def __init__(self, block: Block, paper: Paper) -> None:
        self.block, self._width = block, WIDTH[paper]
        self._known: dict[tuple[Callable[[StepCard, float], float], float], float] = {}
        self._above = CHAPTER + _intro(block, self._width) if block.chapter else 0.0
        self._below = 0.0
        self._pictures: list[tuple[float, float]] = []  # least and most height of each
        if block.sheet:
            self._above += _sheet(block.sheet, self._width)
        elif block.plan:
            self._above += PLAN_NAME
            self._pictures = [_bounds(block.plan.picture, PLAN_WIDTH)]
        elif block.step:
            self._measure(block.step)

    def _measure(self, card: StepCard) -> None:
        self._above += _above(card, self._width)
        if card.second_picture:
            widths = OF_A_RAMP if card.ramp else OF_A_PIECE
            pictures = (card.picture, card.second_picture)
            self._pictures = [*map(_bounds, pictures, widths)]
            self._below = CAPTION + _told(card, self._width) + _notes(card, self._width)
        else:
            self._pictures = [_bounds(card.picture, PICTURE_WIDTH)]

    def picture_mm(self, wished: int) -> int:
        """As wished, but so high that it can be read, and no higher than its width allows."""
        heights = [min(max(wished, least), most) for least, most in self._pictures]
        ruled = ceil(max(heights, default=0) / RULE) * RULE
        return min(MOST_PICTURE, max(LEAST_PICTURE, ruled))

    def with_picture(self, wished: int) -> float:
        """The whole height, with a picture as high as wished where it can be so."""
        picture = self.picture_mm(wished) if self._pictures else 0
        return self._above + self._body(picture) + self._below

    def picture_width(self, height_mm: int) -> int:
        """How wide it is, so high; words beside it have the rest."""
        if not self._has_words_beside:
            return PICTURE_WIDTH
        _least, most = self._pictures[0]
        ruled = ceil(PICTURE_WIDTH * height_mm / most / WIDTH_RULE) * WIDTH_RULE
        return min(PICTURE_WIDTH, max(LEAST_WIDTH, ruled))

    def has_notes_below(self, picture_mm: int) -> bool:
        """Whether notes take less below picture and words than beside the picture."""
        if not self._has_words_beside:
            return False
        return self._with_notes_below(picture_mm) < self._with_notes_beside(picture_mm)

    @property
    def _has_words_beside(self) -> bool:
        card = self.block.step
        return card is not None and not card.second_picture

    def _body(self, picture_mm: int) -> float:
        """A picture that is so high, with the words beside it."""
        if not self._has_words_beside:
            return picture_mm
        return min(self._with_notes_beside(picture_mm), self._with_notes_below(picture_mm))

    def _with_notes_beside(self, picture_mm: int) -> float:
        beside = self._beside(picture_mm)
        return max(picture_mm, self._height_of(_told, beside) + self._height_of(_notes, beside))

    def _with_notes_below(self, picture_mm: int) -> float:
        told = self._height_of(_told, self._beside(picture_mm))
        return max(picture_mm, told) + self._height_of(_notes, self._width)

    def _beside(self, picture_mm: int) -> float:
        return self._width - self.picture_width(picture_mm) - BETWEEN

    def _height_of(self, words: Callable[[StepCard, float], float], width: float) -> float:
        """Asked for again and again of few widths."""
        if (words, width) not in self._known:
            assert self.block.step is not None, "only a step has words"
            self._known[words, width] = words(self.block.step, width)
        return self._known[words, width]


def _intro(block: Block, width: float) -> float:
    """As _sheets_intro.html and _plans_intro.html of templates/packet say it."""
    if block.sheet:
        words = [
            _(
                "Make the cuts in the order of their numbers, each straight across the part in "
                "front of you from edge to edge."
            ),
            _(
                "Write its number and name on each piece as it comes free. Measure twice: sheet "
                "cannot be put together again."
            ),
        ]
    elif block.plan:
        words = [
            _("Seen from above, north at the top."),
            _(
                "Steps name a place by its row and column, counted from 1, and by the side of its "
                "cell."
            ),
        ]
    else:
        return 0.0
    return lines_of(" ".join(words), width, INTRO_POINTS) * INTRO_LINE + BELOW_INTRO


def _bounds(picture: str, width_mm: float) -> tuple[float, float]:
    """How high a picture is at least, to be read, and at most, at this width."""
    width, height = size_of(picture)
    most = height * width_mm / width
    least = height * (FIGURE_MM if has_figures(picture) else CAPITAL_MM) / CAPITAL_UNITS
    return min(least, most), most


def _sheet(card: SheetCard, room: float) -> float:
    """Its cuts stand beside the drawing."""
    width, height = size_of(card.picture)
    beside = room - SHEET_WIDTH - CUT_COLUMNS
    cuts = CUTS_HEAD + sum(_cut(cut, beside) for cut in card.cuts)
    return SHEET_HEADING + max(SHEET_WIDTH * height / width, cuts)


def _cut(cut: CutLine, width: float) -> float:
    """Its place in lines as long as they come in either unit, then its length in one."""
    words = {"length": "0 000 mm"}
    place = (
        _("%(length)s from the left edge of the part")
        if cut.is_down
        else _("%(length)s from the top edge of the part")
    )
    return (1 + lines_of(place % words, width, FACTS_POINTS)) * CUT_LINE + CUT_PADDING


def _above(card: StepCard, width: float) -> float:
    """Title, facts and cautions."""
    step = card.step
    title = lines_of(step.title, width - TICK_WIDTH, TITLE_POINTS) * TITLE_LINE + 1
    told = ["00 min"]
    if step.people > 1:
        told.append(_people(step.people))
    told.append(", ".join(str(tool.what) for tool in step.tools))
    if card.needs:
        told.append(_after(card.needs))
    facts = lines_of(" · ".join(told), width, FACTS_POINTS)
    height = title + facts * FACTS_LINE + 2
    if step.cautions:
        caution = " ".join([_("Caution:"), *map(str, step.cautions)])
        height += lines_of(caution, width - CAUTION_EDGE, TEXT_POINTS) * CAUTION_LINE + CAUTION_BOX
    return height


def _people(number: int) -> str:
    return ngettext("%(number)s person", "%(number)s people", number) % {"number": number}


def _after(needs: Sequence[int]) -> str:
    numbers = ", ".join(map(str, needs))
    told = ngettext("after step %(numbers)s", "after steps %(numbers)s", len(needs))
    return told % {"numbers": numbers}


def _told(card: StepCard, width: float) -> float:
    """What comes off, what to take and the sentences, beside or below the picture."""
    step, height = card.step, 0.0
    for label, parts in ((_("Comes off:"), step.removes), (_("Take:"), step.adds)):
        if parts:
            told = f"{label} " + ", ".join(f"{one.count} × {one.name}" for one in parts)
            height += lines_of(told, width, TEXT_POINTS) * TEXT_LINE + 2
    for point in card.told:
        height += lines_of(point, width - INDENT, TEXT_POINTS) * TEXT_LINE + BETWEEN_POINTS
    return height


def _notes(card: StepCard, width: float) -> float:
    lines = [lines_of(note, width, FACTS_POINTS) for note in _notes_of(card)]
    return sum(FACTS_LINE * count + 1 for count in lines)


def _notes_of(card: StepCard) -> Iterator[str]:
    """About as long as those of templates/packet/_step_notes.html."""
    if card.blank:
        told = [
            card.in_plan
            or _("Piece %(piece)s of sheet %(number)s") % {"piece": "00", "number": "00 (page 00)."}
        ]
        if card.blank.joined_to:
            told.append(_("Taped to %(pieces)s.") % {"pieces": ", ".join(card.blank.joined_to)})
        if card.blank.blank.scores and not card.second_picture:
            told.append(
                _("Turned over, it looks the same: cut the scores there at the same measures.")
            )
        yield " ".join(told)
    if card.ramp:
        yield "0" * 100
    if card.see:
        yield f"{card.see.heading} (page 00)"
