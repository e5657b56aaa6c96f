"""How urgent a fault is, and what is done about it."""

from enum import StrEnum

from habitats.source import PRACTICE, Source
from habitats.wording import message

SOURCE: Source = PRACTICE

OUT_OF_REACH = message(
    "Move the animals out of reach of the fault now: into another enclosure, a carrier, or a part "
    "that is closed off from it. If an animal is hurt, call a vet first."
)


class FaultUrgency(StrEnum):
    """The most urgent first, as lists have them."""

    UNSAFE = "unsafe"
    SOON = "soon"
    CONVENIENT = "convenient"

    @property
    def words(self) -> str:
        return _WORDS[self]

    @property
    def in_sentence(self) -> str:
        return _IN_SENTENCE[self]

    @property
    def meaning(self) -> str:
        """Which faults are so urgent, for the person who has to choose."""
        return _MEANINGS[self]


_WORDS = {
    FaultUrgency.UNSAFE: message("Unsafe now"),
    FaultUrgency.SOON: message("Mend soon"),
    FaultUrgency.CONVENIENT: message("When convenient"),
}
_IN_SENTENCE = {
    FaultUrgency.UNSAFE: message("unsafe now"),
    FaultUrgency.SOON: message("mend soon"),
    FaultUrgency.CONVENIENT: message("when convenient"),
}
_MEANINGS = {
    FaultUrgency.UNSAFE: message("an animal can be hurt, get out or get stuck today"),
    FaultUrgency.SOON: message("no danger today, but it will get worse"),
    FaultUrgency.CONVENIENT: message("it is worn or ugly, and will not get worse"),
}
