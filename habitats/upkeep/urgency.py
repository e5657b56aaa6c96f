"""How urgent a fault is, and what is done about it."""

from enum import StrEnum

from habitats.source import PRACTICE, Source

SOURCE: Source = PRACTICE

OUT_OF_REACH = (
    "Take the animals out of its reach now: into another enclosure, a carrier, or a part that is "
    "closed off from it. Is one hurt, ring a vet first."
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
    def meaning(self) -> str:
        """Which faults are so urgent, for whoever has to choose."""
        return _MEANINGS[self]


_WORDS = {
    FaultUrgency.UNSAFE: "Unsafe now",
    FaultUrgency.SOON: "Mend soon",
    FaultUrgency.CONVENIENT: "When convenient",
}
_MEANINGS = {
    FaultUrgency.UNSAFE: "an animal can be hurt, get out or get stuck today",
    FaultUrgency.SOON: "nothing can happen today, and it gets worse",
    FaultUrgency.CONVENIENT: "it is worn or ugly, and stays as it is",
}
