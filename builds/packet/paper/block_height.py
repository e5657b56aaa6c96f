"""How high a block of the work is on paper, by how high its picture is.

Lengths are millimetres, as static/css/packet-print.css sets them.
"""

from collections.abc import Iterator, Sequence
from math import ceil

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.packet.paper.text_size import lines_of
from builds.packet.paper.values import Block, SheetCard, StepCard
from habitats.drawing.styles import Letter
from habitats.drawing.svg import has_figures, size_of

WIDTH = 182.0  # of a page of A4; Letter has more
# Heights of pictures that there are rules for.
LEAST_PICTURE, MOST_PICTURE, RULE = 40, 120, 4
PICTURE_WIDTH, BETWEEN = 80.0, 4.0  # beside its words
# Two pictures stand side by side, with the words below them: a piece and the same turned over, a
# step and the ramp that it sets.
OF_A_PIECE, OF_A_RAMP = (89.0, 89.0), (70.0, 109.0)
SHEET_WIDTH, PLAN_WIDTH = 126.0, 136.0
# Figures are 2 mm high at least, and capitals 1.5 mm (common practice, no source): seven tenths
# of the letters.
FIGURE_MM, CAPITAL_MM = 2.0, 1.5
CAPITAL_UNITS = 0.7 * Letter.FIGURE.size

CHAPTER, INTRO, PLAN_NAME = 12.0, 13.0, 5.0
SHEET_HEADING, CUT, CUTS_HEAD = 9.0, 15.0, 6.0
TITLE_LINE, TITLE_WIDTH, TITLE_POINTS = 6.1, 138.0, 13.5
FACTS_LINE, FACTS_POINTS = 4.8, 10.0
TEXT_LINE, TEXT_POINTS = 5.55, 12.0
CAUTION_LINE, CAUTION_BOX, CAUTION_WIDTH = 5.3, 5.0, 176.0
INDENT, BETWEEN_POINTS = 7.0, 1.3
CAPTION = 8.0


class BlockHeight:
    """A block with what its height hangs on."""

    def __init__(self, block: Block) -> None:
        self.block = block
        intro = INTRO if block.sheet or block.plan else 0.0
        self._above = CHAPTER + intro if block.chapter else 0.0
        self._beside = self._below = 0.0
        self._pictures: list[tuple[float, float]] = []  # least and most height of each
        if block.sheet:
            self._above += _sheet(block.sheet)
        elif block.plan:
            self._above += PLAN_NAME
            self._pictures = [_bounds(block.plan.picture, PLAN_WIDTH)]
        elif block.step:
            self._measure(block.step)

    def _measure(self, card: StepCard) -> None:
        self._above += _above(card)
        if card.second_picture:
            widths = OF_A_RAMP if card.ramp else OF_A_PIECE
            pictures = (card.picture, card.second_picture)
            self._pictures = [*map(_bounds, pictures, widths)]
            self._below = CAPTION + _words(card, WIDTH)
        else:
            self._pictures = [_bounds(card.picture, PICTURE_WIDTH)]
            self._beside = _words(card, WIDTH - PICTURE_WIDTH - BETWEEN)

    def picture_mm(self, wished: int) -> int:
        """As wished, but so high that it can be read, and no higher than its width allows."""
        heights = [min(max(wished, least), most) for least, most in self._pictures]
        ruled = ceil(max(heights, default=0) / RULE) * RULE
        return min(MOST_PICTURE, max(LEAST_PICTURE, ruled))

    def with_picture(self, wished: int) -> float:
        """The whole height, with a picture as high as wished where it can be so."""
        picture = self.picture_mm(wished) if self._pictures else 0
        return self._above + max(picture, self._beside) + self._below


def _bounds(picture: str, width_mm: float) -> tuple[float, float]:
    """How high a picture is at least, to be read, and at most, at this width."""
    width, height = size_of(picture)
    most = height * width_mm / width
    least = height * (FIGURE_MM if has_figures(picture) else CAPITAL_MM) / CAPITAL_UNITS
    return min(least, most), most


def _sheet(card: SheetCard) -> float:
    """Its cuts stand beside the drawing, two lines each."""
    width, height = size_of(card.picture)
    return SHEET_HEADING + max(SHEET_WIDTH * height / width, CUTS_HEAD + CUT * len(card.cuts))


def _above(card: StepCard) -> float:
    """Title, facts and cautions."""
    step = card.step
    title = lines_of(step.title, TITLE_WIDTH, TITLE_POINTS) * TITLE_LINE + 1
    told = ["00 min"]
    if step.people > 1:
        told.append(_people(step.people))
    told.append(", ".join(str(tool.what) for tool in step.tools))
    if card.needs:
        told.append(_after(card.needs))
    facts = lines_of(" · ".join(told), WIDTH, FACTS_POINTS)
    height = title + facts * FACTS_LINE + 2
    if step.cautions:
        caution = " ".join([_("Caution:"), *map(str, step.cautions)])
        height += lines_of(caution, CAUTION_WIDTH, TEXT_POINTS) * CAUTION_LINE + CAUTION_BOX
    return height


def _people(number: int) -> str:
    return ngettext("%(number)s person", "%(number)s people", number) % {"number": number}


def _after(needs: Sequence[int]) -> str:
    numbers = ", ".join(map(str, needs))
    told = ngettext("after step %(numbers)s", "after steps %(numbers)s", len(needs))
    return told % {"numbers": numbers}


def _words(card: StepCard, width: float) -> float:
    """What is told beside or below the picture."""
    step, height = card.step, 0.0
    for label, parts in ((_("Comes off:"), step.removes), (_("Take:"), step.adds)):
        if parts:
            told = f"{label} " + ", ".join(f"{one.count} × {one.name}" for one in parts)
            height += lines_of(told, width, TEXT_POINTS) * TEXT_LINE + 2
    for point in card.told:
        height += lines_of(point, width - INDENT, TEXT_POINTS) * TEXT_LINE + BETWEEN_POINTS
    for note in _notes(card):
        height += lines_of(note, width, FACTS_POINTS) * FACTS_LINE + 1
    return height


def _notes(card: StepCard) -> Iterator[str]:
    """About as long as those of templates/packet/_step_notes.html."""
    if card.blank:
        told = [
            _("Piece %(piece)s of sheet %(number)s") % {"piece": "00", "number": "00 (page 00)."}
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
