"""A leaflet as values: its sentences, the words of the screen in them, its pictures.

A word of the screen is quoted by what the screen itself translates, so that both are alike in every
language; `tests/support/quoted.py` looks for each on the page that it is said to stand on.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from builds.making.advice import Advice
from habitats.glossary import BY_KEY, Term
from habitats.people.models.people import Person
from habitats.welfare.rule_set import RuleSet
from habitats.wording import Message

_PLACES = re.compile(r"%\((\w+)\)s")


class OnScreen(NamedTuple):
    """Words of a button, a link or a heading.

    ``at``: the name of an address at which the role reads them; empty where a page has them only
    at times.
    """

    words: Message
    at: str = ""


class SentencePart(NamedTuple):
    words: str
    is_on_screen: bool


class Told(NamedTuple):
    """A sentence, and the words of the screen that stand at its places."""

    sentence: Message
    shown: Mapping[str, OnScreen]

    @property
    def parts(self) -> list[SentencePart]:
        """As the reader is told it, from one word of the screen to the next."""
        pieces = _PLACES.split(str(self.sentence))
        return [
            SentencePart(str(self.shown[piece].words) if number % 2 else piece, bool(number % 2))
            for number, piece in enumerate(pieces)
        ]


def told(sentence: Message, /, **shown: OnScreen) -> Told:
    return Told(sentence, shown)


@dataclass(frozen=True, slots=True)
class Sketching:
    """What pictures hang on: how the reader measures, and the rescue's rules for guinea pigs."""

    units: str
    rules: RuleSet


class LeafletPicture(NamedTuple):
    """A finished SVG, and what to see in it."""

    picture: str
    caption: Message


@dataclass(frozen=True, slots=True)
class Leaflet:
    """``opening`` draws what stands beside the role's part, ``reading`` the pictures overleaf.

    ``seldom``: what is done now and then, overleaf too.
    """

    role: Person.Role
    part: tuple[Message, ...]
    week: tuple[Told, ...]
    watch: tuple[Advice, ...]
    words: tuple[str, ...]
    more: tuple[Told, ...]
    opening: Callable[[Sketching], LeafletPicture]
    reading: Callable[[Sketching], tuple[LeafletPicture, ...]]
    seldom: tuple[Told, ...] = ()

    @property
    def terms(self) -> list[Term]:
        """Its words of the glossary, in the reader's alphabetical order."""
        return sorted((BY_KEY[key] for key in self.words), key=lambda one: str(one.term).lower())

    @property
    def quoted(self) -> set[OnScreen]:
        return {one for said in self.all_told for one in said.shown.values()}

    @property
    def all_told(self) -> tuple[Told, ...]:
        """Every sentence with words of the screen."""
        return (*self.week, *self.seldom, *self.more)
