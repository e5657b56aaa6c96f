"""Putting panels up: the steps of every kind of part, by the table in ``kinds``."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from builds.making import cautions as warn
from builds.making import instructions as say
from builds.making import times, tools
from builds.making.bench import MEASURE, file_doorway_id
from builds.making.facts import panel_facts
from builds.making.groups import PanelGroup
from builds.making.instructions import Words
from builds.making.kinds import KINDS, Hold, Kind, When, roles_when
from builds.making.names import level_key
from builds.making.part_names import CLIP, CONNECTOR, DOORWAY_PANEL, PLAIN_PANEL, TIE
from builds.making.site import Placement, Site
from builds.making.step import Added, Step
from builds.making.step_keys import Facts
from builds.making.ties import hung_panels
from builds.making.tools import Tool
from habitats.structure.lattice import (
    Cell,
    PanelPlace,
    Side,
    joints_of,
    outer_edges,
    wall_place,
)
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure

LINERS = "lay-liners"


def put_up(site: Site, structure: Structure, when: When, z: int) -> None:
    """All of this rank at one height, level by level; what stands already is left out."""
    levels = structure.design.levels
    reaching = [index for index, level in enumerate(levels) if level.z <= z < level.top]
    for role in roles_when(when):
        if not KINDS[role].by_level:
            _put_up(site, structure, role, None, z)
            continue
        for index in reaching:
            _put_up(site, structure, role, index, z)


def _put_up(site: Site, structure: Structure, role: str, level: int | None, z: int) -> None:
    own = [
        panel.place
        for panel in structure.with_role(role)
        if panel.place.z == z and level in (None, panel.level)
    ]
    if not own:
        return
    kind, standing = KINDS[role], site.standing
    left = [place for place in own if place not in standing]
    tier = 1 if level is None else z - structure.design.levels[level].z + 1
    stem = f"{role}-height-{z}" if level is None else f"{role}-{level_key(level)}"
    stem += f"-tier-{tier}" if tier > 1 else ""
    groups = kind.groups(structure, level or 0, left, standing)
    for number, group in enumerate(groups, start=1):
        _add(site, structure, kind, group, f"{stem}-{number}", level, tier)


class _Raising(NamedTuple):
    """What raising a group of panels comes to. ``trays``: steps that go before it; ``cuts``: into
    the wall of a tray."""

    placement: Placement
    doorways: list[Ramp]
    trays: list[str]
    cuts: bool
    held: bool
    clips: int


def _raising(
    site: Site,
    structure: Structure,
    kind: Kind,
    group: PanelGroup,
    level: int | None,
    tier: int,
) -> _Raising:
    trays = [*_trays_round(site, structure, group.places)] if kind.tray_cut else []
    meets = tier > 1 or _meets_tray_wall(structure, level or 0, group.places)
    cuts = bool(trays) and meets
    if kind.tray_cut and level is not None:
        trays.append(site.tray_step(level))
    return _Raising(
        placement=site.place(group.places),
        doorways=_doorways_among(structure, group.places),
        trays=trays,
        cuts=cuts,
        held=_is_held(site, kind, group),
        clips=kind.clips * _closed(structure, group.places) if kind.clips else 0,
    )


def _add(
    site: Site,
    structure: Structure,
    kind: Kind,
    group: PanelGroup,
    step_id: str,
    level: int | None,
    tier: int,
) -> None:
    one = _raising(site, structure, kind, group, level, tier)
    words = say.panel_words(
        kind,
        one.placement,
        structure,
        group,
        level=level,
        tier=tier,
        doorways=one.doorways,
        cuts=one.cuts,
        held=one.held,
        clips=one.clips,
    )
    site.add(_step(site, structure, kind, one, step_id, words))


def _step(
    site: Site, structure: Structure, kind: Kind, one: _Raising, step_id: str, words: Words
) -> Step:
    placement = one.placement
    tie_tools = (tools.EYES, _tie_cutters(structure)) if placement.ties else ()
    return Step(
        id=step_id,
        title=words.title,
        instructions=words.instructions,
        needs=(
            *(file_doorway_id(ramp) for ramp in one.doorways),
            *_closed_over(site, structure, placement.places),
            *one.trays,
            *((LINERS,) if kind.when is When.LAST else ()),
            MEASURE,
        ),
        adds=_added(placement, len(one.doorways), one.clips),
        tools=(tools.GLOVES, *((tools.KNIFE,) if one.cuts else ()), *tie_tools),
        cautions=_cautions(kind, placement, held=one.held, cuts=one.cuts),
        minutes=_minutes(placement),
        people=2 if one.held else 1,
        places=placement.places,
        joints=placement.joints,
        facts=(*panel_facts(kind.task, structure, placement), one.clips, *_cut_facts(kind, one)),
    )


def _cut_facts(kind: Kind, one: _Raising) -> Facts:
    """Whether a tray's wall is cut, which nothing else in the facts tells."""
    return (int(one.cuts),) if kind.tray_cut else ()


def _added(placement: Placement, doorways: int, clips: int) -> tuple[Added, ...]:
    counts = (
        (PLAIN_PANEL, len(placement.places) - doorways),
        (DOORWAY_PANEL, doorways),
        (CONNECTOR, len(placement.joints)),
        (TIE, placement.ties),
        (CLIP, clips),
    )
    return tuple(Added(what, count) for what, count in counts if count)


def _cautions(kind: Kind, placement: Placement, *, held: bool, cuts: bool) -> tuple[str, ...]:
    cautions = (
        *kind.cautions,
        *((kind.held,) if held and kind.held else ()),
        *((warn.KNIFE,) if cuts else ()),
        *((warn.TIE_TAILS,) if placement.ties else ()),
    )
    return tuple(one.sentence for one in cautions)


def _minutes(placement: Placement) -> int:
    return times.minutes(
        (len(placement.places), times.PANEL),
        (len(placement.joints), times.CONNECTOR),
        (placement.ties, times.TIE),
    )


def _doorways_among(structure: Structure, places: Iterable[PanelPlace]) -> list[Ramp]:
    now = set(places)
    return [
        ramp
        for ramp in structure.ramps
        if wall_place(ramp.cell, ramp.side, structure.design.levels[ramp.level].z) in now
    ]


def _closed(structure: Structure, places: Iterable[PanelPlace]) -> int:
    """How many of these panels are closed with clips: all that something holds there."""
    now = set(places)
    return sum(one.clips is not None for one in hung_panels(structure) if one.panel.place in now)


def _is_held(site: Site, kind: Kind, group: PanelGroup) -> bool:
    """Whether a second person holds the panels of one step."""
    if kind.hold is Hold.ALONE:
        return _stands_alone(site, group)
    return kind.hold is Hold.SEVERAL and len(group.places) > 1


def _stands_alone(site: Site, group: PanelGroup) -> bool:
    """Whether all is one straight wall that no wall standing at right angles holds up."""
    faces = {place.face for place in group.places}
    corners = {joint for place in group.places for joint in place.corners}
    return len(faces) == 1 and not any(
        place.is_upright and place.face not in faces and len(corners & {*place.corners}) == 2
        for place in site.standing
    )


def _closed_over(site: Site, structure: Structure, places: Iterable[PanelPlace]) -> Iterator[str]:
    """Steps on trays and ramps that nobody reaches any more once these panels lie over them."""
    levels = structure.design.levels
    for flat in (place for place in places if not place.is_upright):
        cell = Cell(flat.row, flat.col)
        for index, level in enumerate(levels):
            if level.z < flat.z and cell in level.cells:
                yield site.tray_step(index)
        for index, ramp in enumerate(structure.ramps):
            if levels[ramp.level].z < flat.z and cell in (*ramp.lane, ramp.cell):
                yield site.ramp_step(index)


def _trays_round(site: Site, structure: Structure, places: Iterable[PanelPlace]) -> Iterator[str]:
    """Steps that lay trays which these panels, once they stand, would keep out.

    A divider of several tiers may go up through an upper floor, with its tray on both sides.
    """
    for index, level in enumerate(structure.design.levels):
        edges = {
            wall_place(cell, side, level.z)
            for cell in level.cells
            for side in Side
            if cell.beyond(side) in level.cells
        }
        if not edges.isdisjoint(places):
            yield site.tray_step(index)


def _meets_tray_wall(structure: Structure, level: int, places: Iterable[PanelPlace]) -> bool:
    """Whether an end of one of these panels comes to the edge of the level's floor."""
    stands = structure.design.levels[level]
    edge = joints_of(wall_place(*one, stands.z) for one in outer_edges(stands.cells))
    return not edge.isdisjoint(joints_of(places))


def _tie_cutters(structure: Structure) -> Tool:
    return tools.CUTTERS if structure.ramps else tools.TIE_CUTTERS
