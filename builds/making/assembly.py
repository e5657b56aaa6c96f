"""The assembly order, worked out from the structure.

Work at the bench comes first. Then the enclosure grows from the ground up, one height after the
other: floor panels at that height, walls, the tray while it still can be dropped in from above,
dividers that stand in it, ramps whose two trays are laid, and guards. Cloth, lid and inspection
end it. What a step needs comes from what its panels and connectors stand on, so the list is a
dependency graph and its own order one that keeps to it.
"""

from collections.abc import Iterable, Iterator

from builds.making import cautions as warn
from builds.making import instructions as say
from builds.making import times, tools
from builds.making.bench import (
    MEASURE,
    bench_steps,
    file_doorway_id,
    fold_strip_id,
    fold_tray_id,
    tie_ramp_id,
)
from builds.making.blank import BlankSet
from builds.making.facts import (
    doorway_place,
    hung_ramp_facts,
    laid_tray_facts,
    liner_facts,
    panel_facts,
    whole_facts,
)
from builds.making.groups import (
    WallGroup,
    split_evenly,
    spread,
    straight_runs,
    wall_groups,
)
from builds.making.inspection import inspection_list
from builds.making.instructions import Lengths, Words
from builds.making.names import (
    CLIP,
    CONNECTOR,
    DOORWAY_PANEL,
    PLAIN_PANEL,
    TIE,
    doorway_key,
    level_key,
    ramp_name,
    the_level,
    towel_name,
)
from builds.making.parts import PartList
from builds.making.site import Placement, Site
from builds.making.step import Added, Step, Task
from builds.making.ties import (
    CLIPS_ON_A_LID_PANEL,
    TIES_AT_FOOT,
    TIES_AT_HEAD,
    lid_seams,
)
from habitats.measures import length
from habitats.structure.kinds import Role
from habitats.structure.lattice import Cell, Place, Side, wall_place
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray

INSPECT = "inspect"
LINERS = "lay-liners"


def order_of_work(
    structure: Structure, blanks: BlankSet, parts: PartList, *, lengths: Lengths = length
) -> tuple[Step, ...]:
    """Every step from sorting the parts to the signed inspection, in an order that stands.

    ``lengths`` formats millimetres for the reader; metric if not given. The same structure gives
    the same steps with the same ids.
    """
    site = Site(parts.ties)
    for step in bench_steps(structure, blanks, parts, lengths):
        site.add(step)
    build_up(site, structure, lengths)
    _lay_liners(site, structure, parts, lengths)
    lay_lid(site, structure)
    inspect(site, structure)
    return tuple(site.steps)


def build_up(site: Site, structure: Structure, lengths: Lengths) -> None:
    """Everything but cloth and lid, from the ground up; what stands on the site is left out."""
    for z in range(_top(structure)):
        _build_height(site, structure, z, lengths)


def _top(structure: Structure) -> int:
    """Height above all panels that stand upright or carry animals."""
    return 1 + max(panel.place.z for panel in structure.panels if panel.role != Role.LID)


def _build_height(site: Site, structure: Structure, z: int, lengths: Lengths) -> None:
    levels = structure.design.levels
    starting = [index for index, level in enumerate(levels) if level.z == z]
    reaching = [index for index, level in enumerate(levels) if level.z <= z < level.top]
    for index in starting:
        _lay_floor(site, structure, index)
    for index in reaching:
        _raise_walls(site, structure, index, z)
    for index in starting:
        if not site.has_tray(index):
            _lay_tray(site, structure, structure.trays[index])
    for index in reaching:
        _stand_dividers(site, structure, index, z)
    for index, ramp in enumerate(structure.ramps):
        if levels[ramp.level].z == z and not site.has_ramp(index):
            _set_ramp(site, structure, index, lengths)
    _stand_guards(site, structure, z)


# --- Panels ---


def _lay_floor(site: Site, structure: Structure, level: int) -> None:
    floor = [place for place in _floor_of(structure, level) if place not in site.standing]
    for number, places in enumerate(spread(floor, site.standing), start=1):
        placement = site.place(places)
        _add_panels(
            site,
            structure,
            Task.FLOOR,
            f"floor-{level_key(level)}-{number}",
            say.floor_words(placement, structure, level=level),
            placement,
            needs=_closed_over(site, structure, places),
            cautions=(
                warn.LIFT_FLOOR.sentence,
                *((warn.HOLD_FLOOR.sentence,) if len(places) > 1 else ()),
            ),
            people=2 if len(places) > 1 else 1,
        )


def _floor_of(structure: Structure, level: int) -> list[Place]:
    return [one.place for one in structure.with_role(Role.FLOOR) if one.level == level]


def _closed_over(site: Site, structure: Structure, flats: Iterable[Place]) -> Iterator[str]:
    """Steps on trays and ramps that nobody reaches any more once these flat panels lie."""
    levels = structure.design.levels
    for flat in flats:
        cell = Cell(flat.row, flat.col)
        for index, level in enumerate(levels):
            if level.z < flat.z and cell in level.cells:
                yield site.tray_step(index)
        for index, ramp in enumerate(structure.ramps):
            if levels[ramp.level].z < flat.z and cell in (*ramp.lane, ramp.cell):
                yield site.ramp_step(index)


def _raise_walls(site: Site, structure: Structure, level: int, z: int) -> None:
    tier = z - structure.design.levels[level].z + 1
    stem = f"wall-{level_key(level)}" + (f"-tier-{tier}" if tier > 1 else "")
    groups = wall_groups(structure, level, z, without=site.standing)
    for number, group in enumerate(groups, start=1):
        placement = site.place(group.places)
        doorways = _doorways_among(structure, group.places)
        alone = _stands_alone(site, group)
        words = say.wall_words(
            placement, structure, group, level=level, tier=tier, doorways=doorways, alone=alone
        )
        hold = (warn.HOLD_WALL.sentence,) if alone else ()
        _add_panels(
            site,
            structure,
            Task.WALL,
            f"{stem}-{number}",
            words,
            placement,
            needs=[file_doorway_id(ramp) for ramp in doorways],
            cautions=(warn.PINCH.sentence, *hold),
            people=2 if alone else 1,
        )


def _doorways_among(structure: Structure, places: Iterable[Place]) -> list[Ramp]:
    now = set(places)
    return [
        ramp
        for ramp in structure.ramps
        if wall_place(ramp.cell, ramp.side, structure.design.levels[ramp.level].z) in now
    ]


def _stands_alone(site: Site, group: WallGroup) -> bool:
    """Whether all is one straight wall that no wall standing at right angles holds up."""
    faces = {place.face for place in group.places}
    corners = {joint for place in group.places for joint in place.corners}
    return len(faces) == 1 and not any(
        place.is_upright and place.face not in faces and len(corners & {*place.corners}) == 2
        for place in site.standing
    )


def _stand_dividers(site: Site, structure: Structure, level: int, z: int) -> None:
    tier = z - structure.design.levels[level].z + 1
    stem = f"divider-{level_key(level)}" + (f"-tier-{tier}" if tier > 1 else "")
    own = [
        panel.place
        for panel in structure.with_role(Role.DIVIDER)
        if panel.level == level and panel.place.z == z and panel.place not in site.standing
    ]
    for number, places in enumerate(straight_runs(own), start=1):
        placement = site.place(places)
        through = [*_trays_round(site, structure, places)]
        cuts = tier == 1 or bool(through)
        words = say.divider_words(placement, structure, level=level, tier=tier, cuts=cuts)
        _add_panels(
            site,
            structure,
            Task.DIVIDER,
            f"{stem}-{number}",
            words,
            placement,
            needs=[site.tray_step(level), *through],
            cautions=(warn.PINCH.sentence, *((warn.KNIFE.sentence,) if cuts else ())),
            more_tools=(tools.KNIFE.what,) if cuts else (),
        )


def _trays_round(site: Site, structure: Structure, places: Iterable[Place]) -> Iterator[str]:
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


def _stand_guards(site: Site, structure: Structure, z: int) -> None:
    standing = site.standing
    guards = [
        one.place
        for one in structure.with_role(Role.GUARD)
        if one.place.z == z and one.place not in standing
    ]
    for number, places in enumerate(split_evenly(guards), start=1):
        placement = site.place(places)
        _add_panels(
            site,
            structure,
            Task.GUARD,
            f"guard-height-{z}-{number}",
            say.guard_words(placement, structure),
            placement,
            cautions=(warn.PINCH.sentence,),
        )


def lay_lid(site: Site, structure: Structure) -> None:
    """The lid, over the cloth; what lies already is left out."""
    standing = site.standing
    hung = {one.panel.place: one for one in lid_seams(structure) if one.panel.place not in standing}
    for z in sorted({place.z for place in hung}):
        level_lid = [place for place in hung if place.z == z]
        for number, places in enumerate(spread(level_lid, site.standing), start=1):
            placement = site.place(places)
            held = [place for place in places if hung[place].clips is not None]
            clips = CLIPS_ON_A_LID_PANEL * len(held)
            _add_panels(
                site,
                structure,
                Task.LID,
                f"lid-height-{z}-{number}",
                say.lid_words(placement, structure, clips),
                placement,
                needs=[LINERS, *_closed_over(site, structure, places)],
                adds=(Added(CLIP, clips),) if clips else (),
                cautions=(warn.LID_FALLS.sentence,),
                people=2 if len(places) > 1 else 1,
            )


def _add_panels(
    site: Site,
    structure: Structure,
    task: Task,
    step_id: str,
    words: Words,
    placement: Placement,
    *,
    needs: Iterable[str] = (),
    adds: tuple[Added, ...] = (),
    cautions: tuple[str, ...] = (),
    more_tools: tuple[str, ...] = (),
    people: int = 1,
) -> None:
    doorways = len(_doorways_among(structure, placement.places))
    counts = (
        (PLAIN_PANEL, len(placement.places) - doorways),
        (DOORWAY_PANEL, doorways),
        (CONNECTOR, len(placement.joints)),
        (TIE, placement.ties),
    )
    cutters = (tools.EYES.what, _tie_cutters(structure)) if placement.ties else ()
    tails = (warn.TIE_TAILS.sentence,) if placement.ties else ()
    site.add(
        Step(
            id=step_id,
            title=words.title,
            instructions=words.instructions,
            needs=(*needs, MEASURE),
            adds=(*(Added(what, count) for what, count in counts if count), *adds),
            tools=(tools.GLOVES.what, *more_tools, *cutters),
            cautions=(*cautions, *tails),
            minutes=times.minutes(
                (len(placement.places), times.PANEL),
                (len(placement.joints), times.CONNECTOR),
                (placement.ties, times.TIE),
            ),
            people=people,
            places=placement.places,
            joints=placement.joints,
            facts=(*panel_facts(task, structure, placement), sum(one.count for one in adds)),
        )
    )


def _tie_cutters(structure: Structure) -> str:
    return tools.CUTTERS.what if structure.ramps else tools.TIE_CUTTERS.what


# --- Trays, ramps, cloth, inspection ---


def _walls_of(structure: Structure, level: int) -> list[Place]:
    """The lowest tier of walls round a level: its tray has to fit between them."""
    z = structure.design.levels[level].z
    rings = structure.trays[level].rings
    return [wall_place(cell, w.side, z) for ring in rings for w in ring for cell in w.cells]


def _lay_tray(site: Site, structure: Structure, tray: Tray) -> None:
    """The tray, on its whole floor and between all its walls."""
    fitting = [*_floor_of(structure, tray.level), *_walls_of(structure, tray.level)]
    words = say.lay_tray_words(tray)
    cells = len(structure.design.levels[tray.level].cells)
    people = 2 if cells > 2 else 1
    site.add(
        Step(
            id=f"lay-tray-{level_key(tray.level)}",
            title=words.title,
            instructions=words.instructions,
            needs=(fold_tray_id(tray.level), *sorted(site.steps_of(fitting))),
            cautions=(warn.LIFT_TRAY.sentence,) if people == 2 else (),
            minutes=times.minutes((1, times.LAID_TRAY)),
            people=people,
            trays=(tray.level,),
            facts=(Task.LAY_TRAY, *laid_tray_facts(structure, tray)),
        )
    )


def _set_ramp(site: Site, structure: Structure, index: int, lengths: Lengths) -> None:
    ramp, name = structure.ramps[index], ramp_name(structure, index)
    foot_wall = _wall_beside_foot(structure, ramp)
    words = say.hang_ramp_words(name, ramp, the_level(ramp.landing), foot_wall, lengths)
    site.add(
        Step(
            id=f"ramp-{doorway_key(ramp)}",
            title=words.title,
            instructions=words.instructions,
            needs=(
                tie_ramp_id(ramp),
                fold_strip_id(ramp),
                site.tray_step(ramp.level),
                site.tray_step(ramp.landing),
                *site.steps_of([doorway_place(structure, ramp)]),
            ),
            adds=(Added(TIE, TIES_AT_HEAD + TIES_AT_FOOT), Added(towel_name(structure, index), 1)),
            tools=(
                tools.GLOVES.what,
                tools.EYES.what,
                tools.CUTTERS.what,
                tools.MEASURE.what,
                tools.PEG.what,
            ),
            cautions=(warn.TIE_TAILS.sentence, warn.RAMP_ANIMALS.sentence),
            minutes=times.minutes((1, times.HUNG_RAMP)),
            people=2,
            ramps=(index,),
            facts=(Task.SET_RAMP, *hung_ramp_facts(structure, ramp, foot_wall)),
        )
    )


def _wall_beside_foot(structure: Structure, ramp: Ramp) -> Side | None:
    """The side of the foot's cell with a panel to tie the foot to; None if it stands free."""
    z = structure.design.levels[ramp.landing].z
    foot = ramp.lane[-1]
    return next(
        (
            side
            for side in (*ramp.side.beside, ramp.side)
            if wall_place(foot, side, z) in structure.places
        ),
        None,
    )


def _lay_liners(site: Site, structure: Structure, parts: PartList, lengths: Lengths) -> None:
    liners = [part for part in parts.parts if part.what.startswith("liner,")]
    words = say.liner_words(
        [(p.what, p.size or (0, 0)) for p in liners], len(structure.ramps), lengths
    )
    site.add(
        Step(
            id=LINERS,
            title=words.title,
            instructions=words.instructions,
            needs=tuple(site.last_steps()),
            adds=tuple(Added(part.what, part.count) for part in liners),
            minutes=times.minutes((len(liners), times.LAID_LINER)),
            facts=(Task.LINERS, *liner_facts(structure)),
        )
    )


def inspect(site: Site, structure: Structure) -> None:
    """The inspection, after all else."""
    points = inspection_list(structure)
    words = say.inspection_words(len(points))
    site.add(
        Step(
            id=INSPECT,
            title=words.title,
            instructions=words.instructions,
            needs=site.last_steps(),
            tools=(tools.GLOVES.what,),
            cautions=(warn.NO_ANIMALS.sentence, warn.WIRE_ENDS.sentence),
            minutes=times.minutes((len(points), times.INSPECTED_POINT)),
            facts=(Task.INSPECT, *whole_facts(structure)),
        )
    )
