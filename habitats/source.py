"""Where a figure is from, and how well it is known."""

from enum import StrEnum
from typing import NamedTuple

from habitats.wording import Said, message


class Known(StrEnum):
    """How a figure is known."""

    PRIMARY = "primary"
    SECOND_HAND = "second_hand"
    MEMORY = "memory"
    PRACTICE = "practice"
    RECKONED = "reckoned"
    OWN = "own"

    @property
    def words(self) -> str:
        return KNOWN_WORDS[self]


KNOWN_WORDS = {
    Known.PRIMARY: message("the source itself was read"),
    Known.SECOND_HAND: message("second-hand quotations agree; the source itself was not read"),
    Known.MEMORY: message("from memory, not checked"),
    Known.PRACTICE: message("common practice, no source"),
    Known.RECKONED: message("worked out from sourced values"),
    Known.OWN: message("set by your rescue"),
}


class Source(NamedTuple):
    """``text`` names the publication; for common practice it says what is meant by it."""

    text: str
    known: Known

    @property
    def words(self) -> str:
        if not self.text:
            return self.known.words
        return message("%(source)s (%(known)s)", source=self.text, known=self.known.words)

    @property
    def is_name(self) -> bool:
        """Of a publication in English, as it is, and not words of ours in the reader's language."""
        return not isinstance(self.text, Said)

    def __str__(self) -> str:
        return str(self.words)


PRACTICE = Source("", Known.PRACTICE)


class CitedFigure(NamedTuple):
    """A figure that the product works by, as the page of sources lists it.

    ``code`` never changes: links lead to it. ``values`` are lines for people, in their units.
    """

    code: str
    what: str
    values: tuple[str, ...]
    source: Source


def cited(code: str, what: str, source: Source, *values: str) -> CitedFigure:
    return CitedFigure(code, what, values, source)
