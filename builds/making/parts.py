"""The part list: all that goes into an enclosure, and the tools to make it with.

Consumables carry a stated allowance, shown apart as ``spare``. Sizes are whole millimetres.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum

from builds.making.anchoring import anchors_of
from builds.making.blank import Blank, BlankSet, Flute
from builds.making.furnishing import furniture_of
from builds.making.kinds import KINDS
from builds.making.part_names import (
    ANCHOR,
    CLIP,
    CONNECTOR,
    DOORWAY_PANEL,
    HAY,
    HIDE,
    PLAIN_PANEL,
    PUP_PANEL,
    RAMP_PANEL,
    TAPE,
    TIE,
    WATER,
    liner_code,
    part_name,
    towel_code,
)
from builds.making.pup_set import clips_of, pups_of
from builds.making.ties import TieGroup, count_clips, count_ties, spare, ties_needed
from builds.making.tools import Tool, tools_for
from habitats.rotation.cloth import before_folding, cut_size
from habitats.rotation.liners import Liner, liners_for
from habitats.structure.structure import Panel, Structure
from habitats.wording import listed, message

MM_PER_M = 1000

# Loop tensile strength is declared by IEC 62275; which rating suits is common practice, no source.
TIE_NOTE = message("about 200 mm (8 in) long, loop tensile strength (IEC 62275) 80 N or more")


class StoredAs(StrEnum):
    """What a part is bought and stored as."""

    PANEL = "panel"
    FASTENING = "fastening"
    SHEET = "sheet"
    CLOTH = "cloth"
    FURNITURE = "furniture"


@dataclass(frozen=True, slots=True)
class Part:
    """One line of the part list: ``what`` is a code of ``part_names``.

    ``count`` is what goes in, ``spare`` the allowance on top. ``unit`` is empty for pieces, else
    what is counted (``m`` of tape). ``size`` is the finished (width, length); ``cut`` what to cut
    for it from new cloth, before it is folded or washed. Either is None where it says nothing.
    """

    what: str
    kind: StoredAs
    count: int
    unit: str = ""
    spare: int = 0
    size: tuple[int, int] | None = None
    cut: tuple[int, int] | None = None
    note: str = ""

    @property
    def name(self) -> str:
        return part_name(self.what)


@dataclass(frozen=True, slots=True)
class PanelCount:
    """Panels by the keys of their kinds, doorway panels among the walls; those of ramps, and of
    the pup set.
    """

    of: Mapping[str, int]
    ramp: int
    doorway: int
    pup: int = 0

    @property
    def total(self) -> int:
        return sum(self.of.values()) + self.ramp + self.pup

    @property
    def plain(self) -> int:
        """Panels that are neither cut nor bent, without the pup set."""
        return self.total - self.doorway - self.ramp - self.pup


@dataclass(frozen=True, slots=True)
class PartList:
    """Parts and tools of one enclosure; ``ties`` tells where its cable ties go."""

    parts: tuple[Part, ...]
    tools: tuple[Tool, ...]
    panels: PanelCount
    ties: tuple[TieGroup, ...]

    def count_of(self, what: str) -> int:
        """How many of a part go in, without spares; 0 if it is not on the list."""
        return sum(part.count for part in self.parts if part.what == what)

    def of_kind(self, kind: StoredAs) -> tuple[Part, ...]:
        return tuple(part for part in self.parts if part.kind is kind)


def list_parts(structure: Structure, blanks: BlankSet) -> PartList:
    """All parts and tools, in the order a builder lays them out."""
    panels = count_panels(structure)
    ties = ties_needed(structure)
    parts = (
        *_panel_parts(structure, panels),
        *_fastenings(structure, ties),
        *_sheet_parts(blanks),
        *_cloth_parts(structure),
        *_furniture_parts(structure),
    )
    return PartList(
        parts=tuple(part for part in parts if part.count),
        tools=tools_for(structure),
        panels=panels,
        ties=ties,
    )


def count_panels(structure: Structure) -> PanelCount:
    return PanelCount(
        of=_by_kind(structure.panels),
        ramp=sum(ramp.panels for ramp in structure.ramps),
        doorway=sum(panel.doorway for panel in structure.panels),
        pup=len(pups_of(structure)),
    )


def _by_kind(panels: Iterable[Panel]) -> dict[str, int]:
    """How many there are of every kind, in the order of the table."""
    count = Counter[str](panel.role for panel in panels)
    return {role: count[role] for role in KINDS}


def _panel_parts(structure: Structure, panels: PanelCount) -> Iterator[Part]:
    size = (structure.design.panel.size_mm, structure.design.panel.size_mm)
    yield Part(PLAIN_PANEL, StoredAs.PANEL, panels.plain, size=size, note=_plain_note(structure))
    yield Part(
        DOORWAY_PANEL,
        StoredAs.PANEL,
        panels.doorway,
        size=size,
        note=message("cut from plain panels"),
    )
    yield Part(
        RAMP_PANEL, StoredAs.PANEL, panels.ramp, size=size, note=message("bent for the ramp")
    )
    yield Part(
        PUP_PANEL,
        StoredAs.PANEL,
        panels.pup,
        size=size,
        note=message("plain panels, over the walls of the ground floor while there are young"),
    )


def _plain_note(structure: Structure) -> str:
    plain = _by_kind(panel for panel in structure.panels if not panel.doorway)
    uses = [KINDS[role].note.filled(count=count) for role, count in plain.items() if count]
    return listed(uses or [message("none")])


def _fastenings(structure: Structure, ties: tuple[TieGroup, ...]) -> Iterator[Part]:
    yield Part(
        CONNECTOR,
        StoredAs.FASTENING,
        len(structure.joints),
        note=message("one at each joint"),
        spare=spare(len(structure.joints)),
    )
    count = count_ties(ties)
    yield Part(TIE, StoredAs.FASTENING, count, spare=spare(count), note=TIE_NOTE)
    clips = count_clips(structure) + clips_of(pups_of(structure))
    yield Part(
        CLIP,
        StoredAs.FASTENING,
        clips,
        spare=spare(clips),
        note=message("opens by hand: a clip or a releasable tie"),
    )
    yield Part(
        ANCHOR,
        StoredAs.FASTENING,
        len(anchors_of(structure)),
        note=message("bracket, screw and plug for your kind of wall: choose them there"),
    )


def _sheet_parts(blanks: BlankSet) -> Iterator[Part]:
    for blank in blanks.blanks:
        yield Part(
            blank.code,
            StoredAs.SHEET,
            blank.quantity,
            note=_flute_note(blank),
            size=(blank.width_mm, blank.height_mm),
        )
    yield Part(
        TAPE,
        StoredAs.SHEET,
        -(-blanks.tape_mm // MM_PER_M),
        unit="m",
        note=message("allowance included"),
    )


def _flute_note(blank: Blank) -> str:
    """Of its two measures the first is the width; nothing while the piece may be turned."""
    return _FLUTE_NOTES[blank.settled_flute] if blank.settled_flute else ""


_FLUTE_NOTES = {
    Flute.WIDTH: message("flutes along the width"),
    Flute.HEIGHT: message("flutes along the length"),
}


def _cloth_parts(structure: Structure) -> Iterator[Part]:
    for index, ramp in enumerate(structure.ramps):
        yield Part(
            towel_code(structure, index),
            StoredAs.CLOTH,
            1,
            size=ramp.towel,
            cut=before_folding(ramp),
            note=message("folded into four layers"),
        )
    yield from _liner_parts(structure)


def _liner_parts(structure: Structure) -> Iterable[Part]:
    for code, liner in coded_liners(structure):
        yield Part(
            code,
            StoredAs.CLOTH,
            1,
            size=liner.size,
            cut=cut_size(liner.size),
            note=message("cut new cloth oversize, fit it after the first wash"),
        )


def _furniture_parts(structure: Structure) -> Iterator[Part]:
    notes = {
        HIDE: message("with two ways out, so that no animal is cornered"),
        WATER: message("one to spare, should another be blocked"),
        HAY: message("no wire gap that a head or foot gets caught in"),
    }
    for what, count in furniture_of(structure).items():
        yield Part(what, StoredAs.FURNITURE, count, note=notes[what])


def coded_liners(structure: Structure) -> Iterator[tuple[str, Liner]]:
    """Every liner with its code, from the ground up."""
    liners = liners_for(structure)
    for level in range(len(structure.trays)):
        own = [one for one in liners if one.level == level]
        for number, liner in enumerate(own, start=1):
            yield liner_code(level, number if len(own) > 1 else None), liner
