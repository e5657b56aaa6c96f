"""What is said of several animals in the same words, but for the name, is said once."""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterable, Sequence
from datetime import date
from typing import NamedTuple, TypeVar

from django.utils.translation import gettext as _

from habitats.welfare.companion import Companion
from habitats.welfare.litters import litter_words
from habitats.wording import by_number, listed

Said = TypeVar("Said")


class SaidOfOne(NamedTuple):
    """A sentence about the animal of that name; what differs in ``about`` is told apart."""

    name: str
    sentence: str
    about: Hashable = None


def told_once(said: Iterable[SaidOfOne]) -> list[str]:
    """In the order in which each is said first; of those alike, the first name stands for all."""
    return [_for_all(some) for some in alike(said, _kind)]


def litters_told(animals: Iterable[Companion], day: date) -> list[str]:
    """Which of them may have a litter, and up to when."""
    said = ((one.name, litter_words(one, day)) for one in animals)
    return told_once(SaidOfOne(name, words) for name, words in said if words)


def alike(said: Iterable[Said], kind: Callable[[Said], Hashable]) -> list[list[Said]]:
    """Those of one kind together, in the order in which each comes first."""
    found: dict[Hashable, list[Said]] = defaultdict(list)
    for one in said:
        found[kind(one)].append(one)
    return list(found.values())


def also_words(names: Iterable[str]) -> str:
    """Of whom else the same is said; empty for nobody."""
    told = listed(sorted(names, key=by_number))
    return _("This also applies to %(names)s.") % {"names": told} if told else ""


def _kind(said: SaidOfOne) -> Hashable:
    words = said.sentence.replace(said.name, "") if said.name else said.sentence
    return said.about, words


def _for_all(some: Sequence[SaidOfOne]) -> str:
    first, *others = sorted(some, key=lambda one: by_number(one.name))
    return " ".join(filter(None, (first.sentence, also_words(one.name for one in others))))
