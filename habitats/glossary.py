"""The words of the trade, once: the help page and the packet's glossary come from this list.

A term is explained as the code uses it. Whoever changes what a word stands for changes it here.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum


class Topic(StrEnum):
    """What terms are listed under, in the order of the page."""

    ENCLOSURES = "Enclosures"
    SHEET = "Sheet and trays"
    ANIMALS = "Animals and space"
    LINENS = "Linens"
    BUILDS = "Builds"
    STORE = "Store"
    KITS = "Adoption kits"


@dataclass(frozen=True, slots=True)
class Term:
    """``key`` is its anchor and is never changed; ``forms`` are how else it stands in a text.

    ``picture`` is the line or area that drawings mark it with, a name of
    ``habitats.drawing.styles``; empty where they have none of its own.
    """

    key: str
    topic: Topic
    term: str
    explanation: str
    forms: tuple[str, ...] = ()
    picture: str = ""

    def is_in(self, text: str) -> bool:
        """Whether the text has it as a word, in the singular or the plural."""
        forms = "|".join(map(re.escape, (self.term, *self.forms)))
        return re.search(rf"\b(?:{forms})(?:s|es)?\b", text, re.IGNORECASE) is not None


def terms_in(text: str) -> tuple[Term, ...]:
    """The terms that a text uses, in the order of the list."""
    return tuple(term for term in TERMS if term.is_in(text))


def by_topic(terms: Iterable[Term]) -> tuple[tuple[Topic, tuple[Term, ...]], ...]:
    """Topics that have terms, each with its own in alphabetical order."""
    ordered = sorted(terms, key=lambda one: one.term.lower())
    listed = ((topic, tuple(one for one in ordered if one.topic is topic)) for topic in Topic)
    return tuple((topic, found) for topic, found in listed if found)


_ENCLOSURES = (
    Term(
        "enclosure",
        Topic.ENCLOSURES,
        "Enclosure",
        "What the animals live in: walls of wire panels around one or more floors. Each floor has "
        "a tray with liners.",
    ),
    Term(
        "wire-panel",
        Topic.ENCLOSURES,
        "Wire panel",
        "A square of wire mesh. All panels of an enclosure are the same size.",
        forms=("panel",),
    ),
    Term(
        "connector",
        Topic.ENCLOSURES,
        "Connector",
        "A disc that holds panels together at their corners. Panels slot into its rim, and into "
        "the ribs on one face; the other face is smooth.",
    ),
    Term(
        "cable-tie",
        Topic.ENCLOSURES,
        "Cable tie",
        "A strap that is pulled tight around panels where connectors alone do not hold them. Its "
        "tail is cut flush, because a cut tail is sharp.",
        forms=("tie",),
    ),
    Term(
        "cell",
        Topic.ENCLOSURES,
        "Cell",
        "One square of the plan, as wide as one panel. Cells are told by their row and column.",
    ),
    Term(
        "level",
        Topic.ENCLOSURES,
        "Level",
        "One floor of an enclosure. The lowest is the ground; level 1 is the next one above it.",
    ),
    Term(
        "ramp",
        Topic.ENCLOSURES,
        "Ramp",
        "A channel of bent panels that leads from a doorway down to the floor below. A strip of "
        "sheet and a folded towel lie in it.",
    ),
    Term(
        "doorway",
        Topic.ENCLOSURES,
        "Doorway",
        "The opening that is cut into a wall panel at the top of a ramp.",
    ),
    Term(
        "guard",
        Topic.ENCLOSURES,
        "Guard",
        "An extra panel on top of a wall beside a ramp. It stands where the ramp brings an animal "
        "close to the top of that wall.",
        picture="GUARD",
    ),
    Term(
        "divider",
        Topic.ENCLOSURES,
        "Divider",
        "A panel across a floor that separates one part of it from the other.",
    ),
    Term(
        "lid",
        Topic.ENCLOSURES,
        "Lid",
        "Panels that lie over the top. Cable ties hinge each one along one side, and clips that "
        "open by hand hold the opposite side.",
    ),
)

_SHEET = (
    Term(
        "corrugated-sheet",
        Topic.SHEET,
        "Sheet",
        "Corrugated plastic: two thin skins with ribs between them. Trays and the strips in ramps "
        "are cut from it.",
        forms=("corrugated",),
    ),
    Term(
        "flute",
        Topic.SHEET,
        "Flute",
        "One of the hollow channels between the skins of a sheet. All flutes of a sheet run the "
        "same way.",
    ),
    Term(
        "tray",
        Topic.SHEET,
        "Tray",
        "The floor of a level with its low walls, folded from sheet. Large trays are taped "
        "together from several pieces.",
    ),
    Term(
        "blank",
        Topic.SHEET,
        "Blank",
        "A flat piece of sheet, cut to its outline and not yet folded.",
    ),
    Term(
        "score",
        Topic.SHEET,
        "Score",
        "A line along which the sheet folds. Only one skin is cut or creased.",
        picture="SCORE",
    ),
    Term(
        "slit",
        Topic.SHEET,
        "Slit",
        "A cut through both skins of the sheet, between parts of a blank that fold separately.",
        picture="SLIT",
    ),
    Term(
        "flap",
        Topic.SHEET,
        "Flap",
        "A part of a blank that folds away from its wall. Corner flaps lie outside the next wall; "
        "the flap of a doorway folds out and down.",
        picture="FLAP_SCORE",
    ),
    Term(
        "tab",
        Topic.SHEET,
        "Tab",
        "A strip at the edge of a piece that lies under the floor of the next piece.",
    ),
    Term(
        "lap",
        Topic.SHEET,
        "Lap",
        "The end of a wall that lies outside the wall of the next piece and is taped to it.",
    ),
    Term(
        "seam",
        Topic.SHEET,
        "Seam",
        "A line along which two pieces of sheet, or two panels, meet.",
    ),
    Term(
        "sheet-plan",
        Topic.SHEET,
        "Sheet plan",
        "A drawing of one stock sheet with its pieces and its cuts. The cuts are numbered in the "
        "order of work.",
        forms=("cutting plan",),
    ),
    Term(
        "offcut",
        Topic.SHEET,
        "Offcut",
        "What is left of a sheet and is large enough to keep. In the store each one has a label "
        "of its own.",
        picture="OFFCUT",
    ),
)

_ANIMALS = (
    Term(
        "home",
        Topic.ANIMALS,
        "Home",
        "A place where enclosures stand: a foster household, or a depot of the rescue.",
    ),
    Term(
        "group",
        Topic.ANIMALS,
        "Group",
        "Animals that live together. An animal is in one group at a time, and a group in one "
        "enclosure.",
    ),
    Term(
        "quarantine",
        Topic.ANIMALS,
        "Quarantine",
        "Days that an animal spends apart from others, at intake or because of an illness. What a "
        "vet says comes first.",
    ),
    Term(
        "space-standard",
        Topic.ANIMALS,
        "Space standard",
        "A published rule for the floor and the height that animals need. The rescue chooses one "
        "for each species, and each enclosure is checked against it. Files call it a rule set.",
        forms=("rule set",),
    ),
    Term(
        "floor-area",
        Topic.ANIMALS,
        "Floor area",
        "The area inside the trays. The space standard says whether upper levels count.",
        forms=("floor",),
    ),
    Term(
        "contact-tracing",
        Topic.ANIMALS,
        "Contact tracing",
        "A list of the animals, enclosures and linens that a suspected infection may have "
        "reached. Only recorded contacts are in it.",
        forms=("trace",),
    ),
)

_LINENS = (
    Term(
        "linen",
        Topic.LINENS,
        "Linen",
        "A liner or towel with a label. Its states are clean, in use, soiled, washing and drying.",
    ),
    Term(
        "liner",
        Topic.LINENS,
        "Liner",
        "A rectangle of cloth that covers the floor of a tray, or part of it.",
    ),
    Term(
        "fleece",
        Topic.LINENS,
        "Fleece",
        "A soft synthetic cloth that liners are made of.",
    ),
    Term(
        "spot-clean",
        Topic.LINENS,
        "Spot clean",
        "To pick up droppings and wipe between two changes of linens. It does not move the day of "
        "the next change.",
        forms=("spot cleaned", "spot cleaning"),
    ),
    Term(
        "pool",
        Topic.LINENS,
        "Pool",
        "Linens that share one laundry and one cupboard. Each home takes its linens from one pool.",
    ),
    Term(
        "load",
        Topic.LINENS,
        "Load",
        "Linens that are washed together in one run of the machine.",
    ),
    Term(
        "programme",
        Topic.LINENS,
        "Programme",
        "One run of a machine at a temperature, for a number of minutes.",
    ),
    Term(
        "par",
        Topic.LINENS,
        "Par",
        "The fewest linens of a size, those in use included, with which no change waits for a "
        "clean one.",
    ),
    Term(
        "set-aside",
        Topic.LINENS,
        "Set aside",
        "Kept out of use because of a suspected infection, until the washes that release it are "
        "done.",
    ),
)

_BUILDS = (
    Term(
        "design",
        Topic.BUILDS,
        "Design",
        "The drawing of an enclosure. Each change is kept as a new revision.",
    ),
    Term(
        "packet",
        Topic.BUILDS,
        "Packet",
        "The printed instructions of a design: plans, parts, sheet plans, steps and inspection.",
    ),
    Term(
        "build",
        Topic.BUILDS,
        "Build",
        "The work of making one enclosure from a design, or of altering one that stands.",
    ),
    Term(
        "inspection",
        Topic.BUILDS,
        "Inspection",
        "The list of points that are checked before an enclosure is handed over. Each point that "
        "fails is repaired first.",
    ),
    Term(
        "batch",
        Topic.BUILDS,
        "Batch",
        "Builds that are cut together, so that they share sheets.",
        forms=("batches",),
    ),
    Term(
        "alteration",
        Topic.BUILDS,
        "Alteration",
        "A build that changes an enclosure into another design. What stays is left in place.",
    ),
)

_STORE = (
    Term(
        "pull",
        Topic.STORE,
        "Pull",
        "The list of what a builder takes from the store for one build.",
    ),
    Term(
        "reserved",
        Topic.STORE,
        "Reserved",
        "In the store and promised to a build or a cutting job. Other builds do not count on it.",
    ),
    Term(
        "short",
        Topic.STORE,
        "Short",
        "Needed by a build and not there to reserve. What is short goes on the buying list.",
        forms=("shortage",),
    ),
    Term(
        "stocktake",
        Topic.STORE,
        "Stocktake",
        "A count of what lies in one place of the store. Differences are recorded and corrected.",
    ),
)

_KITS = (
    Term(
        "kit",
        Topic.KITS,
        "Kit",
        "An enclosure that an adopter takes home in parts, with its linens and instructions.",
    ),
    Term(
        "adopter",
        Topic.KITS,
        "Adopter",
        "A person who takes animals and a kit home. Adopters open their kit by a link, without an "
        "account.",
    ),
    Term(
        "follow-up",
        Topic.KITS,
        "Follow-up",
        "A day after the handover on which the rescue asks the adopter how things are.",
    ),
)

TERMS = (*_ENCLOSURES, *_SHEET, *_ANIMALS, *_LINENS, *_BUILDS, *_STORE, *_KITS)
BY_KEY = {term.key: term for term in TERMS}
