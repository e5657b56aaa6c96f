"""Likely slips of a digit: a weight that was read right and typed wrong.

The kinds of slip are Damerau's ("A technique for computer detection and correction of spelling
errors", Communications of the ACM 7, 1964; from memory): one sign left out, one too many, one
wrong, two neighbours exchanged. A slip is only asked about, never corrected: a fall can be real.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from habitats.measures import grams
from habitats.welfare.companion import Companion, DatedWeight, in_time
from habitats.welfare.growth import weight_ahead
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.values import Species
from habitats.welfare.words import day_words
from habitats.wording import message

# A change this large is rarely real, beyond the growth that is allowed for. A sow that carries a
# litter, or bore one, changes by more. Common practice, no source.
LARGE_FALL, LARGE_RISE = 0.70, 1.30
LARGE_FALL_OF_A_LITTER, LARGE_RISE_OF_A_LITTER = 0.55, 1.60
# What the number would be without the slip lies so near to the weight before. Two digits that are
# exchanged change little, so there it has to lie nearer. Common practice, no source.
NEAR, NEAR_EXCHANGED = 0.10, 0.03
# No rabbit gains more in a day, the large breeds included; it grows for so long at most.
# Common practice, no source.
RABBIT_GAIN_A_DAY_G, RABBIT_GROWS_DAYS = 50, 365
DIGITS = "0123456789"


class Slip(NamedTuple):
    """``now`` may have been typed wrong; ``before`` is what it was compared with."""

    before: DatedWeight
    now: DatedWeight

    @property
    def question(self) -> str:
        return message(
            "%(now)s now, %(before)s on %(day)s. A digit may be wrong. Correct the number, or save "
            "%(now)s if the scales show it.",
            now=grams(self.now.grams),
            before=grams(self.before.grams),
            day=day_words(self.before.day),
        )


class _Range(NamedTuple):
    """What the animal may weigh without growth, and with as much of it as there can be."""

    least: float
    most: float

    def widened(self, fall: float, rise: float) -> "_Range":
        return _Range(self.least * fall, self.most * rise)

    def near(self, share: float) -> "_Range":
        return self.widened(1 - share, 1 + share)

    def __contains__(self, amount: object) -> bool:
        return isinstance(amount, int) and self.least <= amount <= self.most


def likely_slip(
    animal: Companion, now: DatedWeight, limits: WelfareLimits = DEFAULTS
) -> Slip | None:
    """The slip of one digit that explains an unlikely change; None where nothing need be asked.

    ``animal.weighings`` are those of before, of any days; ``now`` is not one of them. It is
    compared with the last day before, and with the same day only where there is no day before.
    """
    before = _compared_with(animal.weighings, now.day)
    if before is None:
        return None
    expected = _expected(animal, before, now.day)
    typed = str(now.grams)
    is_large = now.grams not in expected.widened(*_large(animal, before))
    if is_large and any(one in expected.near(NEAR) for one in _numbers(_one_digit_apart(typed))):
        return Slip(before, now)
    # A smaller fall, that would send to a vet, is asked about where two digits explain it.
    is_fall = now.grams <= before.grams * (1 - limits.fall_percent / 100)
    near = expected.near(NEAR_EXCHANGED)
    if is_fall and any(one in near for one in _numbers(_exchanged(typed))):
        return Slip(before, now)
    return None


def _compared_with(weighings: Iterable[DatedWeight], day: date) -> DatedWeight | None:
    known = [one for one in weighings if one.day <= day]
    earlier = in_time([one for one in known if one.day < day] or known)
    return earlier[-1] if earlier else None


def _expected(animal: Companion, before: DatedWeight, day: date) -> _Range:
    if animal.species is Species.RABBIT:
        born = animal.born
        is_growing = born is None or born.youngest(before.day) < RABBIT_GROWS_DAYS
        days = (day - before.day).days if is_growing else 0
        return _Range(before.grams, before.grams + days * RABBIT_GAIN_A_DAY_G)
    ahead = weight_ahead(replace(animal, weighings=(before,)), day)
    return _Range(before.grams, max(before.grams, ahead.grams if ahead else 0))


def _large(animal: Companion, before: DatedWeight) -> tuple[float, float]:
    bore = animal.gave_birth_on is not None and animal.gave_birth_on >= before.day
    if animal.contacts or bore:
        return LARGE_FALL_OF_A_LITTER, LARGE_RISE_OF_A_LITTER
    return LARGE_FALL, LARGE_RISE


def _one_digit_apart(typed: str) -> Iterator[str]:
    """What may have been meant: with a digit more, one less, another one, two exchanged."""
    for place in range(len(typed) + 1):
        head, tail = typed[:place], typed[place:]
        yield from (head + digit + tail for digit in DIGITS)
        if tail:
            yield head + tail[1:]
            yield from (head + digit + tail[1:] for digit in DIGITS)
    yield from _exchanged(typed)


def _exchanged(typed: str) -> Iterator[str]:
    for place in range(len(typed) - 1):
        yield typed[:place] + typed[place + 1] + typed[place] + typed[place + 2 :]


def _numbers(texts: Iterable[str]) -> Iterator[int]:
    return (int(text) for text in texts if text)
