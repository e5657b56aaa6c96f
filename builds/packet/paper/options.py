"""What a packet is asked to be: its paper, its sections, and for whom it is printed."""

from dataclasses import dataclass
from enum import StrEnum

from builds.common.paper import Paper
from habitats.measures import METRIC, length


class Section(StrEnum):
    """A part of the packet that can be left out, in the order in which they are printed."""

    COVER = "cover"
    CAUTIONS = "cautions"
    PLANS = "plans"
    PARTS = "parts"
    SHEETS = "sheets"
    BLANKS = "blanks"
    RAMPS = "ramps"
    STEPS = "steps"
    FIRST_USE = "first-use"
    CARE = "care"
    INSPECTION = "inspection"
    GLOSSARY = "glossary"

    @property
    def heading(self) -> str:
        return _HEADINGS[self]

    @property
    def template(self) -> str:
        return f"packet/_{self.value}.html"


_HEADINGS = {
    Section.COVER: "Cover",
    Section.CAUTIONS: "Cautions",
    Section.PLANS: "Plans",
    Section.PARTS: "Tools and parts",
    Section.SHEETS: "Sheet plans",
    Section.BLANKS: "Blanks",
    Section.RAMPS: "Ramp",
    Section.STEPS: "Steps",
    Section.FIRST_USE: "First use",
    Section.CARE: "Care sheet",
    Section.INSPECTION: "Inspection",
    Section.GLOSSARY: "Glossary",
}


@dataclass(frozen=True, slots=True)
class Options:
    """How one packet is printed. ``who_for`` is empty for nobody in particular."""

    paper: Paper = Paper.A4
    units: str = METRIC
    who_for: str = ""
    sections: frozenset[Section] = frozenset(Section)
    steps_a_page: int = 2
    colour: bool = True

    def lengths(self, mm: int) -> str:
        """A length as the reader wants it, for pictures."""
        return length(mm, self.units)
