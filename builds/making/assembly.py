"""The assembly order, worked out from the structure.

Work at the bench comes first. Then the enclosure grows from the ground up, one height after the
other: floor panels at that height, walls, the tray while it still can be dropped in from above,
what stands in it, ramps whose two trays are laid, and what stands on walls; ``kinds`` says when
each kind comes. Cloth, furniture, lid, pup set, wall anchors and inspection end it. What a
step needs comes from what its panels and connectors stand on, so the list is a dependency graph and
its own order one that keeps to it.
"""

from builds.making import cautions as warn
from builds.making import instructions as say
from builds.making import times, tools
from builds.making.anchoring import anchor_step, anchors_of
from builds.making.bench import (
    bench_steps,
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
    whole_facts,
)
from builds.making.feet import ties_joined, wall_beside_foot
from builds.making.furnishing import FURNISH, furnish_step, furniture_of
from builds.making.inspection import inspection_list
from builds.making.instructions import Lengths
from builds.making.kinds import TIES_AT_FOOT, TIES_AT_HEAD, When, roles_when
from builds.making.names import doorway_key, level_key, ramp_name, the_level
from builds.making.part_names import TIE, part_name, towel_code
from builds.making.parts import PartList, coded_liners
from builds.making.pup_set import pup_step, pups_of
from builds.making.raising import LINERS, put_up
from builds.making.site import Site
from builds.making.step import Added, Step, Task
from habitats.measures import length
from habitats.structure.kinds import Role
from habitats.structure.lattice import PanelPlace, wall_place
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray

INSPECT = "inspect"


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
    _lay_liners(site, structure, lengths)
    if furniture := furniture_of(structure):
        site.add(furnish_step(furniture, (LINERS,)))
        site.first = (FURNISH,)
    close_up(site, structure)
    if pups := pups_of(structure):
        site.add(pup_step(structure, pups, site.last_steps(), lengths))
    if anchors := anchors_of(structure):
        site.add(anchor_step(structure, anchors, site.last_steps()))
    inspect(site, structure)
    return tuple(site.steps)


def build_up(site: Site, structure: Structure, lengths: Lengths) -> None:
    """Everything but cloth and lid, from the ground up; what stands on the site is left out."""
    for z in range(_top(structure)):
        _build_height(site, structure, z, lengths)


def _top(structure: Structure) -> int:
    """Height above all panels but those that come last of all."""
    last = roles_when(When.LAST)
    return 1 + max(panel.place.z for panel in structure.panels if panel.role not in last)


def _build_height(site: Site, structure: Structure, z: int, lengths: Lengths) -> None:
    levels = structure.design.levels
    put_up(site, structure, When.FLOOR, z)
    put_up(site, structure, When.WALLS, z)
    for index, level in enumerate(levels):
        if level.z == z and not site.has_tray(index):
            _lay_tray(site, structure, structure.trays[index])
    put_up(site, structure, When.IN_TRAY, z)
    for index, ramp in enumerate(structure.ramps):
        if levels[ramp.level].z == z and not site.has_ramp(index):
            _set_ramp(site, structure, index, lengths)
    put_up(site, structure, When.ON_WALLS, z)


def close_up(site: Site, structure: Structure) -> None:
    """The lid, over the cloth; what lies already is left out."""
    last = roles_when(When.LAST)
    for z in sorted({panel.place.z for panel in structure.panels if panel.role in last}):
        put_up(site, structure, When.LAST, z)


# --- Trays, ramps, cloth, inspection ---


def _walls_of(structure: Structure, level: int) -> list[PanelPlace]:
    """The lowest tier of walls round a level: its tray has to fit between them."""
    z = structure.design.levels[level].z
    rings = structure.trays[level].rings
    return [wall_place(cell, w.side, z) for ring in rings for w in ring for cell in w.cells]


def _lay_tray(site: Site, structure: Structure, tray: Tray) -> None:
    """The tray, on its whole floor and between all its walls."""
    floor = [one.place for one in structure.with_role(Role.FLOOR) if one.level == tray.level]
    fitting = [*floor, *_walls_of(structure, tray.level)]
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
    foot_wall, joined = wall_beside_foot(structure, ramp), ties_joined(structure, ramp)
    words = say.hang_ramp_words(name, ramp, the_level(ramp.landing), foot_wall, joined, lengths)
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
            adds=(
                Added(TIE, TIES_AT_HEAD + TIES_AT_FOOT * joined),
                Added(towel_code(structure, index), 1),
            ),
            tools=(
                tools.GLOVES,
                tools.EYES,
                tools.CUTTERS,
                tools.MEASURE,
                tools.PEG,
            ),
            cautions=(warn.TIE_TAILS.sentence, warn.RAMP_ANIMALS.sentence),
            minutes=times.minutes((1, times.HUNG_RAMP)),
            people=2,
            ramps=(index,),
            facts=(Task.SET_RAMP, *hung_ramp_facts(structure, ramp, foot_wall)),
        )
    )


def _lay_liners(site: Site, structure: Structure, lengths: Lengths) -> None:
    liners = [(code, liner.size) for code, liner in coded_liners(structure)]
    words = say.liner_words(
        [(part_name(code), size) for code, size in liners], len(structure.ramps), lengths
    )
    site.add(
        Step(
            id=LINERS,
            title=words.title,
            instructions=words.instructions,
            needs=tuple(site.last_steps()),
            adds=tuple(Added(code, 1) for code, _size in liners),
            minutes=times.minutes((len(liners), times.LAID_LINER)),
            facts=(Task.LINERS, *liner_facts(structure)),
        )
    )


def inspect(site: Site, structure: Structure, *, inside: bool = False) -> None:
    """The inspection, after all else; ``inside``: the animals stayed in it."""
    points = inspection_list(structure)
    words = say.inspection_words(len(points), inside=inside)
    site.add(
        Step(
            id=INSPECT,
            title=words.title,
            instructions=words.instructions,
            needs=site.last_steps(),
            tools=(tools.GLOVES,),
            cautions=(
                *(() if inside else (warn.NO_ANIMALS.sentence,)),
                warn.WIRE_ENDS.sentence,
            ),
            minutes=times.minutes((len(points), times.INSPECTED_POINT)),
            facts=(Task.INSPECT, *whole_facts(structure)),
        )
    )
