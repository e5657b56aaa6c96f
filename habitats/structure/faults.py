"""What is wrong with a design, and where."""

from typing import NamedTuple


class Fault(NamedTuple):
    """One fault: the place in the file and a sentence with what was given and what is allowed."""

    place: str
    message: str

    def __str__(self) -> str:
        return f"{self.place}: {self.message}" if self.place else self.message


class BadDesign(ValueError):
    """The design cannot stand as given; ``faults`` names every reason found."""

    def __init__(self, faults: list[Fault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = tuple(faults)
