"""How steps share pages: pictures as large as the words beside and above them leave room for.

Lengths are millimetres on paper, as static/css/packet-print.css sets them. The estimate errs on the
safe side; where it fails, the second step of a page goes to the next one, and nothing is lost.
"""

from collections.abc import Sequence
from math import ceil

from django.utils.translation import gettext as _

from builds.common.paper import Paper
from builds.packet.paper.values import StepCard, StepPage
from habitats.drawing.styles import Letter
from habitats.drawing.svg import has_figures, height_of

ROOM = {Paper.A4: 244.0, Paper.LETTER: 226.0}
PICTURES = (84, 76, 68, 60, 52)  # heights there are rules for
# Figures are 2 mm high at least, and capitals 1.5 mm (common practice, no source): seven tenths
# of the letters.
FIGURE_MM, CAPITAL_MM = 2.0, 1.5
CAPITAL_UNITS = 0.7 * Letter.FIGURE.size

HEAD = 14.0  # title and facts
CAUTION_BOX, CAUTION_LINE, CAUTION_CHARACTERS = 5.0, 5.3, 86
TEXT_LINE, TEXT_CHARACTERS, BETWEEN_POINTS = 5.6, 36, 1.3
TICK = 11.0
BETWEEN_STEPS = 6.5
FIRST_HEADING = 8.0


def step_pages(cards: Sequence[StepCard], each: int, paper: Paper) -> tuple[StepPage, ...]:
    """So many steps to a page, in order."""
    groups = (tuple(cards[i : i + each]) for i in range(0, len(cards), each))
    return tuple(StepPage(group, _picture_mm(group, paper)) for group in groups)


def _picture_mm(cards: Sequence[StepCard], paper: Paper) -> int:
    """The largest height of pictures with which all steps of the page fit."""
    heading = FIRST_HEADING if cards[0].number == 1 else 0.0

    def fits(picture_mm: int) -> bool:
        needed = sum(_height(card, picture_mm) for card in cards)
        return heading + needed + (len(cards) - 1) * BETWEEN_STEPS <= ROOM[paper]

    least = max(map(_least_mm, cards))
    legible = [one for one in PICTURES if one >= least] or [PICTURES[0]]
    return next((one for one in legible if fits(one)), legible[-1])


def _least_mm(card: StepCard) -> float:
    """How high its picture is where what is written in it can just be read."""
    least = FIGURE_MM if has_figures(card.picture) else CAPITAL_MM
    return height_of(card.picture) * least / CAPITAL_UNITS


def _height(card: StepCard, picture_mm: int) -> float:
    step = card.step
    caution = _("Caution:") + " ".join(["", *map(str, step.cautions)])
    lines = ceil(len(caution) / CAUTION_CHARACTERS)
    above = CAUTION_BOX + lines * CAUTION_LINE if step.cautions else 0.0
    return HEAD + above + max(picture_mm + TICK, _text_height(card))


def _text_height(card: StepCard) -> float:
    """Height of the words beside the picture."""
    step = card.step
    take = _("Take:") + " " + ", ".join(f"{one.count} × {one.name}" for one in step.adds)
    points = (take, *card.told) if step.adds else card.told
    lines = sum(ceil(len(str(point)) / TEXT_CHARACTERS) for point in points)
    return lines * TEXT_LINE + len(points) * BETWEEN_POINTS
