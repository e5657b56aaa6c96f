"""Where a figure is from, and how well it is known."""

from enum import StrEnum
from typing import NamedTuple


class Known(StrEnum):
    """How a figure is known; the value is what people read."""

    PRIMARY = "the source itself was read"
    SECOND_HAND = "second-hand quotations agree"
    MEMORY = "from memory, not checked"
    PRACTICE = "common practice, no source"
    RECKONED = "reckoned from sourced values"


class Source(NamedTuple):
    """``text`` names the publication; for common practice it says what is meant by it."""

    text: str
    known: Known

    def __str__(self) -> str:
        return f"{self.text} ({self.known})" if self.text else str(self.known)


PRACTICE = Source("", Known.PRACTICE)
