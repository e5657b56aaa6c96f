"""What is wrong with a design, and where."""

from typing import NamedTuple


class FileFault(NamedTuple):
    """One fault: the place in the file and a sentence with what was given and what is allowed.

    ``on_screen`` is the sentence for who draws, where ``message`` names keys of the file; empty
    where the two are the same.
    """

    place: str
    message: str
    on_screen: str = ""

    @property
    def sentence(self) -> str:
        """The sentence for who reads a page."""
        return self.on_screen or self.message

    def __str__(self) -> str:
        return f"{self.place}: {self.message}" if self.place else self.message


class BadDesign(ValueError):
    """The design cannot stand as given; ``faults`` names every reason found."""

    def __init__(self, faults: list[FileFault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = tuple(faults)
