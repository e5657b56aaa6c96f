"""What is said of several animals in the same words, but for the name, is said once."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Sequence
from datetime import date
from typing import NamedTuple

from django.utils.translation import gettext as _

from habitats.welfare.companion import Companion
from habitats.welfare.litters import litter_words
from habitats.wording import by_number, listed


class SaidOfOne(NamedTuple):
    """A sentence about the animal of that name; what differs in ``about`` is told apart."""

    name: str
    sentence: str
    about: Hashable = None


def told_once(said: Iterable[SaidOfOne]) -> list[str]:
    """In the order in which each is said first; of those alike, the first name stands for all."""
    return [_for_all(some) for some in _alike(said).values()]


def litters_told(animals: Iterable[Companion], day: date) -> list[str]:
    """Which of them may have a litter, and up to when."""
    said = ((one.name, litter_words(one, day)) for one in animals)
    return told_once(SaidOfOne(name, words) for name, words in said if words)


def _alike(said: Iterable[SaidOfOne]) -> dict[Hashable, list[SaidOfOne]]:
    found: dict[Hashable, list[SaidOfOne]] = defaultdict(list)
    for one in said:
        words = one.sentence.replace(one.name, "") if one.name else one.sentence
        found[one.about, words].append(one)
    return found


def _for_all(alike: Sequence[SaidOfOne]) -> str:
    first, *others = sorted(alike, key=lambda one: by_number(one.name))
    if not others:
        return first.sentence
    names = listed([one.name for one in others])
    return f"{first.sentence} {_('This also applies to %(names)s.') % {'names': names}}"
