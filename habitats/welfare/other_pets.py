"""Pets of a home beside the animals it fosters, and which of them ask for a lid."""

from enum import StrEnum

from habitats.wording import message


class OtherPet(StrEnum):
    """Chosen from this list; what is typed about them decides nothing."""

    DOG = "dog"
    CAT = "cat"
    FERRET = "ferret"
    BIRD = "bird"
    OTHER = "other"

    @property
    def words(self) -> str:
        return _WORDS[self]


_WORDS = {
    OtherPet.DOG: message("dog"),
    OtherPet.CAT: message("cat"),
    OtherPet.FERRET: message("ferret"),
    OtherPet.BIRD: message("bird"),
    OtherPet.OTHER: message("another that could reach in"),
}

# They can reach or jump into an open enclosure, so that each needs a lid. Common practice, no
# source.
REACHES_IN = frozenset({OtherPet.DOG, OtherPet.CAT, OtherPet.FERRET, OtherPet.OTHER})
