"""A word of the trade with its explanation, and the topics under which words are listed."""

import re
from dataclasses import dataclass
from enum import StrEnum

from habitats.wording import message


class Topic(StrEnum):
    """What terms are listed under, in the order of the page."""

    ENCLOSURES = "enclosures"
    SHEET = "sheet"
    ANIMALS = "animals"
    LINENS = "linens"
    BUILDS = "builds"
    STORE = "store"
    KITS = "kits"
    RECORDS = "records"

    @property
    def words(self) -> str:
        return _TOPICS[self]


_TOPICS = {
    Topic.ENCLOSURES: message("Enclosures"),
    Topic.SHEET: message("Sheet and trays"),
    Topic.ANIMALS: message("Animals and space"),
    Topic.LINENS: message("Linens"),
    Topic.BUILDS: message("Builds"),
    Topic.STORE: message("Store"),
    Topic.KITS: message("Adoption and kits"),
    Topic.RECORDS: message("Records"),
}


@dataclass(frozen=True, slots=True)
class Term:
    """``key`` is its anchor and is never changed; ``forms`` are how else it stands in a text.

    ``picture`` is the line or area that drawings mark it with, a name of
    ``habitats.drawing.styles``; empty where they have none of its own.
    """

    key: str
    topic: Topic
    term: str
    explanation: str
    forms: tuple[str, ...] = ()
    picture: str = ""

    def is_in(self, text: str) -> bool:
        """Whether an English text has it as a word, in the singular or the plural."""
        forms = "|".join(map(re.escape, (self.term, *self.forms)))
        return re.search(rf"\b(?:{forms})(?:s|es)?\b", text, re.IGNORECASE) is not None
