"""The printed set of a kit, in the order of its use: receipt, box, what to do at home, care, card.

page = kit_page(facts, packet, structure)    # HTML for paper, and its pictures
pdf = pdf_from(page)
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from django.template.loader import render_to_string

from builds.kits.models.follow_ups import OUR_OWN, SUGGESTED, FollowUpNow
from builds.making.advice import PRACTICE, Advice
from builds.making.cautions import LAW, NO_ANIMALS, VET
from builds.making.step import Step
from builds.making.tools import TOOLS, Tool
from builds.packet.paper import Packet, Section
from builds.packing import PackingLine, ShortLine, days_at_home, enclosure_care, linen_care
from builds.packing.lines import Cloth
from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage, lift_pictures
from habitats.common.qr import qr_image
from habitats.structure.structure import Structure
from habitats.wording import message

STYLE_SHEETS = ("css/print.css", "css/packet.css", "css/packet-print.css", "css/kits-print.css")
# Of the packet what is not on another leaf: the box has the parts, the care sheet the care.
SECTIONS = frozenset(
    {Section.CAUTIONS, Section.PLANS, Section.STEPS, Section.INSPECTION, Section.GLOSSARY}
)


class Leaf(StrEnum):
    """A part of the set that can be left out, in the order in which they are printed."""

    RECEIPT = "receipt"
    BOX = "box"
    PACKET = "packet"
    LINENS = "linens"
    CARD = "card"

    @property
    def heading(self) -> str:
        return _HEADINGS[self]

    @property
    def template(self) -> str:
        return f"kits/_print_{self.value}.html"


_HEADINGS = {
    Leaf.RECEIPT: message("Receipt"),
    Leaf.BOX: message("Contents of the box"),
    Leaf.PACKET: message("Putting it up"),
    Leaf.LINENS: message("Care and wash sheet"),
    Leaf.CARD: message("Card and dates"),
}


@dataclass(frozen=True, slots=True)
class Signed:
    """What the receipt says; empty words where it is signed by hand. No address stands on it."""

    received_by: str = ""
    handed_by: str = ""
    on: date | None = None
    signed: str = ""
    missing: tuple[str, ...] = ()
    note: str = ""


@dataclass(frozen=True, slots=True)
class KitSet:
    """Everything but the packet. ``rescue`` is what we call ourselves, empty if nothing;
    ``contacts``: where an adopter asks. ``tools`` are those that are needed at home.
    """

    name: str
    rescue: str
    contacts: tuple[str, ...]
    tools: tuple[Tool, ...]
    lines: tuple[PackingLine, ...]
    missing: tuple[ShortLine, ...]
    cloths: tuple[Cloth, ...]
    signed: Signed
    follow_ups: tuple[FollowUpNow, ...]
    leaves: frozenset[Leaf]

    @property
    def linens(self) -> tuple[PackingLine, ...]:
        return tuple(line for line in self.lines if line.is_linen)

    @property
    def liners(self) -> tuple[PackingLine, ...]:
        return tuple(line for line in self.linens if not line.is_towel)

    @property
    def linen_care(self) -> tuple[Advice, ...]:
        return linen_care(self.cloths, has_linens=bool(self.linens))

    @property
    def enclosure_care(self) -> tuple[Advice, ...]:
        return enclosure_care(has_linens=bool(self.linens))

    @property
    def groups(self) -> list[tuple[str, list[PackingLine]]]:
        """Lines by what they are stored as, in the order of the list."""
        found: dict[str, list[PackingLine]] = {}
        for line in self.lines:
            found.setdefault(line.heading, []).append(line)
        return list(found.items())

    @property
    def printed(self) -> tuple[Leaf, ...]:
        return tuple(one for one in Leaf if one in self.leaves)


def kit_page(kit: KitSet, packet: Packet, structure: Structure) -> PrintedPage:
    """The set to print. The packet's sections are those its own options ask for."""
    link = packet.label.link
    qr = picture_address("qr.png") if link else ""
    context = {
        "kit": kit,
        "packet": packet,
        "first_days": days_at_home(structure, has_linens=bool(kit.linens)),
        "has_ramps": bool(structure.ramps),
        "cautions": (LAW, VET, NO_ANIMALS),
        "no_source": PRACTICE,
        "our_own": OUR_OWN,
        "suggested": SUGGESTED,
        "on_paper": True,
        "qr": qr,
        "units": packet.options.units,
        "style_sheets": [address_of(path) for path in STYLE_SHEETS],
    }
    html, pictures = lift_pictures(render_to_string("kits/print.html", context))
    return PrintedPage(html, {qr: qr_image(link), **pictures} if link else pictures)


def tools_for_steps(steps: Sequence[Step]) -> tuple[Tool, ...]:
    """What these steps take, protection first."""
    wanted = {tool.code for step in steps for tool in step.tools}
    return tuple(tool for tool in TOOLS if tool.code in wanted)
