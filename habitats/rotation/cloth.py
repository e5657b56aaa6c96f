"""Cloth: what to cut so that it fits after the first wash, how much it shrinks, what it weighs.

Sizes are whole millimetres, (width, length): across and along the cloth. New cloth is cut oversize
and fitted after the first wash, since it shrinks; how much is measured before and after, dry, laid
flat and at ease. Shrinkage is counted in tenths of a percent: 50 is 5.0 %, and below 0 it grows.
"""

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, floor
from typing import NamedTuple

from habitats.decimals import MINUS, NO_BREAK, fixed
from habitats.measures import with_unit
from habitats.structure.ramp import TOWEL_LAYERS, Ramp
from habitats.wording import joined, message

Size = tuple[int, int]

WHOLE = 1000  # tenths of a percent
MM2_PER_M2 = 1_000_000

# Wider than any goods for linens, so that only slips of the hand are refused: before and after
# exchanged, a figure left out. Common practice, no source.
LEAST_SHRINKAGE, MOST_SHRINKAGE = -100, 300

# ISO 5077:2007, 6.2: three specimens where possible, one or two where there is not enough.
ENOUGH_PIECES = 3


class BadMeasure(ValueError):
    """No cloth measures this; says in one sentence what was given, what is allowed, what to do."""


class Shrinkage(NamedTuple):
    """How much of its size cloth loses in the first wash, in tenths of a percent.

    ``pieces``: how many were measured for it, 0 if it is only expected of such goods.
    """

    width: int
    length: int
    pieces: int = 0

    @property
    def basis(self) -> str:
        """How the figures are known, in words."""
        if not self.pieces:
            return message("typical of such cloth, not measured: measure your own")
        if self.pieces < ENOUGH_PIECES:
            return message(
                "%(pieces)d measured; %(enough)d tell more (ISO 5077)",
                pieces=self.pieces,
                enough=ENOUGH_PIECES,
            )
        return message("mean of %(pieces)d measured (ISO 5077)", pieces=self.pieces)


class Measurement(NamedTuple):
    """One piece before its first wash and after it, both (width, length) in millimetres."""

    before: Size
    after: Size


# Where nothing is known of the goods: a weak default from memory (cotton terry 3 to 7 %, polyester
# fleece 0 to 2 %). Common practice is to measure the real ones.
EXPECTED = Shrinkage(50, 50)


def cut_mm(finished_mm: int, shrinkage: int) -> int:
    """The least length to cut so that, shrunk by so many tenths of a percent, it is long enough.

    ``finished / (1 - shrinkage)``, rounded up. Raises ``BadMeasure`` for what no goods shrink by.
    """
    if not LEAST_SHRINKAGE <= shrinkage <= MOST_SHRINKAGE:
        raise BadMeasure(_out_of_bounds(-shrinkage))
    return ceil(Fraction(finished_mm * WHOLE, WHOLE - shrinkage))


def cut_size(finished: Size, shrinkage: Shrinkage = EXPECTED) -> Size:
    """What to cut of new cloth so that the finished size is left after the first wash.

    Cloth that grows is cut smaller. Raises ``BadMeasure`` as ``cut_mm`` does.
    """
    width, length = finished
    return cut_mm(width, shrinkage.width), cut_mm(length, shrinkage.length)


def before_folding(ramp: Ramp) -> Size:
    """The cloth of a ramp's towel, folded twice along its length into four layers."""
    width, length = ramp.towel
    return width * TOWEL_LAYERS, length


def oversize_by(finished: Size, cut: Size) -> Size:
    """How much wider and longer than its finished size a linen is until its first wash.

    Below 0 for cloth that is expected to grow.
    """
    return cut[0] - finished[0], cut[1] - finished[1]


def dimensional_change(before_mm: int, after_mm: int) -> int:
    """The change of a length in tenths of a percent of what it was; below 0 where it shrank.

    ISO 5077: ``(after - before) / before x 100``, for length and width apart. Rounded to the
    nearest tenth, halves away from 0. Raises ``BadMeasure`` unless both are above 0.
    """
    if before_mm <= 0 or after_mm <= 0:
        raise BadMeasure(_not_above_0(before_mm, after_mm))
    change = Fraction((after_mm - before_mm) * WHOLE, before_mm)
    size = floor(abs(change) + Fraction(1, 2))
    return size if change > 0 else -size


def change_words(change: int) -> str:
    """A dimensional change as people read it, with its sign: ``−5.0 %``."""
    sign = MINUS if change < 0 else "+" if change > 0 else ""
    return joined("", [sign, with_unit(fixed(abs(change), 1), "%")])


def measure_fault(before_mm: int, after_mm: int) -> str | None:
    """One sentence if no cloth changes so in a wash; None if it may."""
    if before_mm <= 0 or after_mm <= 0:
        return _not_above_0(before_mm, after_mm)
    change = dimensional_change(before_mm, after_mm)
    return None if -MOST_SHRINKAGE <= change <= -LEAST_SHRINKAGE else _out_of_bounds(change)


def shrinkage_from(measurements: Sequence[Measurement]) -> Shrinkage:
    """What to reckon with for the next cut: the mean of the pieces, for width and length apart.

    Any number of pieces will do, and says so in its ``basis``. The mean is rounded up to the next
    tenth of a percent: what is cut too large can be trimmed. Raises ``BadMeasure`` for none, and
    for a piece that no cloth measures.
    """
    if not measurements:
        raise BadMeasure(
            message("No piece was measured. Measure at least one before and after its wash.")
        )
    width, length = (
        _mean_shrinkage([(one.before[way], one.after[way]) for one in measurements])
        for way in (0, 1)
    )
    return Shrinkage(width, length, len(measurements))


def mass_g(width_mm: int, length_mm: int, layers: int, grams_per_m2: int) -> int:
    """What a dry linen weighs in grams, rounded up; ``grams_per_m2`` is of one layer."""
    return -(-width_mm * length_mm * layers * grams_per_m2 // MM2_PER_M2)


def _mean_shrinkage(pairs: Sequence[tuple[int, int]]) -> int:
    for before, after in pairs:
        if fault := measure_fault(before, after):
            raise BadMeasure(fault)
    lost = sum((Fraction(before - after, before) for before, after in pairs), Fraction(0))
    return ceil(lost * WHOLE / len(pairs))


def _not_above_0(before_mm: int, after_mm: int) -> str:
    return message(
        "%(mm)s is not a length of cloth: it has to be above 0. Measure the dry linen laid flat "
        "and enter what the tape says.",
        mm=f"{min(before_mm, after_mm)}{NO_BREAK}mm",
    )


def _out_of_bounds(change: int) -> str:
    return message(
        "A change of %(change)s is more than cloth for linens shows in a wash. Allowed are "
        "%(least)s to %(most)s. Measure again, dry and flat, and check that before and after are "
        "not swapped.",
        change=change_words(change),
        least=change_words(-MOST_SHRINKAGE),
        most=change_words(-LEAST_SHRINKAGE),
    )
