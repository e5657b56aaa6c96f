"""What is wrong with a design, and where."""

import re
from typing import NamedTuple

_SUBJECT = re.compile(r"(?P<what>[a-z]+)(\[(?P<number>\d+)\])?")


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

    @property
    def subject(self) -> tuple[str, int | None]:
        """The key of the file that it is about, and the number of the one in its list.

        Empty where it is about no key, None where the key has no list.
        """
        found = _SUBJECT.match(self.place)
        if found is None:
            return "", None
        return found["what"], None if found["number"] is None else int(found["number"])

    def __str__(self) -> str:
        return f"{self.place}: {self.message}" if self.place else self.message


class BadDesign(ValueError):
    """The design cannot stand as given; ``faults`` names every reason found."""

    def __init__(self, faults: list[FileFault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = tuple(faults)
