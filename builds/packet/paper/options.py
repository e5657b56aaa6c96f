"""Options of a packet: its paper, its sections, and the name on its cover."""

from dataclasses import dataclass
from enum import StrEnum

from builds.common.paper import Paper
from habitats.measures import METRIC, length
from habitats.wording import message, message_in


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
    INSPECTION = "inspection"
    FIRST_USE = "first-use"
    GLOSSARY = "glossary"
    CARE = "care"

    @property
    def heading(self) -> str:
        return _HEADINGS[self]

    @property
    def template(self) -> str:
        return f"packet/_{self.value}.html"


_HEADINGS = {
    Section.COVER: message_in("of a packet", "Cover"),
    Section.CAUTIONS: message("Cautions"),
    Section.PLANS: message("Plans"),
    Section.PARTS: message("Tools and parts"),
    Section.SHEETS: message("Sheet plans"),
    Section.BLANKS: message("Blanks"),
    Section.RAMPS: message("Ramp"),
    Section.STEPS: message("Steps"),
    Section.INSPECTION: message("Inspection"),
    Section.FIRST_USE: message("First use"),
    Section.GLOSSARY: message("Glossary"),
    Section.CARE: message("Care sheet"),
}


# What stands beside the steps that use it, where steps are printed.
WITHIN_STEPS = frozenset((Section.PLANS, Section.SHEETS, Section.BLANKS, Section.RAMPS))


@dataclass(frozen=True, slots=True)
class Options:
    """How one packet is printed. ``who_for`` is a name on the cover, or empty."""

    paper: Paper = Paper.A4
    units: str = METRIC
    who_for: str = ""
    sections: frozenset[Section] = frozenset(Section)
    steps_a_page: int = 2
    colour: bool = True

    def lengths(self, mm: int) -> str:
        """A length as the reader wants it, for pictures."""
        return length(mm, self.units)
