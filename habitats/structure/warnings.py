"""Warnings: what a design may do but people should know, each with a code and a plain sentence.

None of these is veterinary advice or law. Figures without a published source are marked as
common practice.
"""

from collections.abc import Iterator

from habitats.decimals import tenths
from habitats.measures import length
from habitats.structure.caution import PRACTICE, Caution, Lengths, Rule
from habitats.structure.design import Species
from habitats.structure.guards import GUARD_WITHIN_MM
from habitats.structure.lattice import wall_place
from habitats.structure.pups import PUP_OPENING_MM, asks_for_pup_set, doubled_opening_mm
from habitats.structure.ramp import DOORWAY_HEIGHT_MM, SHORT_LANDING_MM
from habitats.structure.spans import LONGEST_SPAN
from habitats.structure.standing import span_of
from habitats.structure.structure import Structure
from habitats.structure.use_warnings import USE_RULES, load_of_floors
from habitats.wording import message

# Mean slope at which guinea pigs stopped climbing, n = 4: J Exp Anal Behav 118:292 (2022),
# doi 10.1002/jeab.783.
STUDY_SLOPE_DEG = 14.2
# "About 25 degrees" is what builders use. Common practice, no source.
PRACTICE_SLOPE_DEG = 26.0
# Open-top walls: about 30 cm, advice of the Swiss federal veterinary office.
LOW_WALL_MM = 300
# Narrower than this a channel is hard to turn in. Common practice, no source.
NARROW_CHANNEL_MM = 100


def warnings_for(structure: Structure, lengths: Lengths = length) -> tuple[Caution, ...]:
    """Everything people should know about the structure, in a fixed order.

    ``lengths`` writes millimetres in the reader's units; metric if not given.
    """
    return tuple(warning for rule in _RULES for warning in rule(structure, lengths))


def _steep_for_studies(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    steepest = max((ramp.slope_deg for ramp in structure.ramps), default=0.0)
    if steepest > STUDY_SLOPE_DEG:
        yield Caution(
            "slope_above_study",
            message(
                "A ramp slopes %(steepest)s°. In one published study four guinea pigs stopped "
                "climbing at %(study)s° on average; in another, seeing food at the "
                "top made them climb much higher. Introduce the ramp with food in sight and "
                "watch that each animal uses it.",
                steepest=tenths(steepest),
                study=tenths(STUDY_SLOPE_DEG),
            ),
            "J Exp Anal Behav 118:292 (2022), doi 10.1002/jeab.783; Behav Processes (2025), doi "
            "10.1016/j.beproc.2025.105189",
        )


def _steep_for_practice(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    steepest = max((ramp.slope_deg for ramp in structure.ramps), default=0.0)
    if steepest > PRACTICE_SLOPE_DEG:
        yield Caution(
            "slope_above_practice",
            message(
                "A ramp slopes %(steepest)s°; builders use about 25°. Add a panel or overlap "
                "less if there is floor for it.",
                steepest=tenths(steepest),
            ),
            PRACTICE,
        )


def _ramp_through_doorway(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    for ramp in structure.ramps:
        if ramp.seat_mm:
            yield Caution(
                "ramp_longer_than_lane",
                message(
                    "The ramp at %(cell)s is longer than its lane: its head must lie %(seat)s "
                    "through the doorway and its foot ends at the wall. Overlap its panels more or "
                    "give it more floor.",
                    cell=ramp.cell.words,
                    seat=lengths(ramp.seat_mm),
                ),
                PRACTICE,
            )


def _short_landing(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    for ramp in structure.ramps:
        if ramp.landing_mm < SHORT_LANDING_MM:
            yield Caution(
                "short_landing",
                message(
                    "Only %(landing)s of floor are left before the foot of the ramp at %(cell)s; "
                    "animals need about %(short_landing)s to step on. Cut its sides down at the "
                    "foot, or move it.",
                    landing=lengths(ramp.landing_mm),
                    cell=ramp.cell.words,
                    short_landing=lengths(SHORT_LANDING_MM),
                ),
                PRACTICE,
            )


def _narrow_channel(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    pitch = structure.design.panel.pitch_mm
    for ramp in structure.ramps:
        width = ramp.channel_squares * pitch
        if width < NARROW_CHANNEL_MM:
            yield Caution(
                "narrow_ramp",
                message(
                    "The ramp at %(cell)s is only %(width)s wide inside; %(narrow_channel)s are "
                    "usual for guinea pigs. Bend up fewer squares.",
                    cell=ramp.cell.words,
                    width=lengths(round(width)),
                    narrow_channel=lengths(NARROW_CHANNEL_MM),
                ),
                PRACTICE,
            )


def _low_doorway(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    needed = DOORWAY_HEIGHT_MM[structure.design.species]
    pitch = structure.design.panel.pitch_mm
    for ramp in structure.ramps:
        height = ramp.doorway_squares[1] * pitch
        if height < needed:
            yield Caution(
                "low_doorway",
                message(
                    "The doorway at %(cell)s can be cut only %(height)s high in this panel; "
                    "%(needed)s let an animal pass upright.",
                    cell=ramp.cell.words,
                    height=lengths(round(height)),
                    needed=lengths(needed),
                ),
                PRACTICE,
            )


def _span(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    for index, level in enumerate(structure.design.levels):
        span = span_of(structure.design, index) if level.z else 0
        if span > LONGEST_SPAN:
            yield Caution(
                "long_span",
                message(
                    "The floor of level %(level)d spans %(span)d panels without a wall or panel "
                    "under it (a free end counts twice); more than %(most)d sag. On the drawing "
                    "board choose “Supports where a floor needs them”, or stand a support or a "
                    "divider under its middle.",
                    level=index,
                    span=span,
                    most=LONGEST_SPAN,
                ),
                PRACTICE,
            )


def _low_walls(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    design = structure.design
    lowest = min(level.wall_panels for level in design.levels) * design.panel.size_mm
    if lowest < LOW_WALL_MM and not design.lid:
        yield Caution(
            "low_walls",
            message(
                "Walls of %(lowest)s without a lid are lower than the %(low_wall)s advised "
                "for an open top. Add a tier or a lid.",
                lowest=lengths(lowest),
                low_wall=lengths(LOW_WALL_MM),
            ),
            message("advice of the Swiss federal veterinary office"),
        )


def _rabbit_walls(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    design = structure.design
    low = min(level.wall_panels for level in design.levels) == 1
    if design.species is Species.RABBIT and low and not design.lid:
        yield Caution(
            "rabbit_walls",
            message(
                "Rabbits jump out over walls of one panel (%(size)s). Build two tiers or a lid.",
                size=lengths(design.panel.size_mm),
            ),
            PRACTICE,
        )


def _guards_too_low(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    design = structure.design
    size = design.panel.size_mm
    places = structure.places
    for ramp in structure.ramps if not design.lid else ():
        z = design.levels[ramp.landing].z
        for index, cell in enumerate(ramp.lane):
            surface = z * size + ramp.height_at(index * size)
            for side in ramp.side.beside:
                top = z
                while wall_place(cell, side, top) in places:
                    top += 1
                above = round(top * size - surface)
                if top > z and above <= GUARD_WITHIN_MM:
                    yield Caution(
                        "ramp_near_wall_top",
                        _near_wall_top(side, cell.words, above, lengths),
                        PRACTICE,
                    )


def _near_wall_top(side: str, where: str, above: int, lengths: Lengths) -> str:
    given = {"side": side, "cell": where, "distance": lengths(abs(above))}
    within = lengths(GUARD_WITHIN_MM)
    if above < 0:
        return message(
            "Beside the ramp the wall on side %(side)s of %(cell)s ends %(distance)s below it; an "
            "animal may jump out within %(within)s. Add a guard or another tier.",
            **given,
            within=within,
        )
    return message(
        "Beside the ramp the wall on side %(side)s of %(cell)s ends %(distance)s above it; an "
        "animal may jump out within %(within)s. Add a guard or another tier.",
        **given,
        within=within,
    )


def _no_way_up(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    reached = {ramp.level for ramp in structure.ramps}
    for index in range(1, len(structure.design.levels)):
        if index not in reached:
            yield Caution(
                "no_ramp",
                message(
                    "No ramp leaves level %(level)d: animals cannot come down or go up. Choose an "
                    "edge for its doorway.",
                    level=index,
                ),
                PRACTICE,
            )


def _pups(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    panel = structure.design.panel
    if structure.design.pup_set:
        yield from _with_pup_set(structure, lengths)
    elif structure.design.species is Species.GUINEA_PIG and asks_for_pup_set(panel):
        yield Caution(
            "pups_and_wire",
            message(
                "The wire's openings are about %(pitch)s. While there are pups, put a pup set on; "
                "no published limit is known.",
                pitch=lengths(round(panel.pitch_mm)),
            ),
            PRACTICE,
        )


def _with_pup_set(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    doubled = doubled_opening_mm(structure.design.panel)
    if doubled > PUP_OPENING_MM:
        yield Caution(
            "pup_set_wide",
            message(
                "Even doubled, the wire's openings are about %(opening)s, and young slip through "
                "anything wider than %(most)s. Fix finer mesh to the walls instead.",
                opening=lengths(round(doubled)),
                most=lengths(PUP_OPENING_MM),
            ),
            PRACTICE,
        )
    if structure.ramps:
        yield Caution(
            "pup_set_upper",
            message(
                "With the pup set on, ramps from the ground floor are shut: all that the animals "
                "need, and their space, is on the ground floor."
            ),
            PRACTICE,
        )


def _frail_animals(structure: Structure, lengths: Lengths) -> Iterator[Caution]:
    if len(structure.design.levels) > 1:
        yield Caution(
            "upper_level_frail",
            message(
                "An upper level is not for very young, old, lame or pregnant animals: close its "
                "doorway for them, and ask a vet when unsure."
            ),
            PRACTICE,
        )


_RULES: tuple[Rule, ...] = (
    _steep_for_studies,
    _steep_for_practice,
    _ramp_through_doorway,
    _short_landing,
    _narrow_channel,
    _low_doorway,
    _span,
    load_of_floors,
    *USE_RULES,
    _low_walls,
    _rabbit_walls,
    _guards_too_low,
    _no_way_up,
    _pups,
    _frail_animals,
)
