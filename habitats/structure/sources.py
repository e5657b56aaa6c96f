"""The figures of structures, each with its source: ramps, walls, floors, trays.

Every value is taken from where it is computed with.
"""

from functools import partial

from habitats.measures import METRIC, length
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.structure.design import Species, TrayRule
from habitats.structure.guards import GUARD_WITHIN_MM
from habitats.structure.ramp import (
    DEEPEST_SEAT_MM,
    DOORWAY_HEIGHT_MM,
    SHORT_LANDING_MM,
    STRIP_SIDE_MM,
    TOWEL_LAYERS,
    TOWEL_TUCK_MM,
)
from habitats.structure.warnings import (
    LONGEST_SPAN,
    LOW_WALL_MM,
    NARROW_CHANNEL_MM,
    PRACTICE_SLOPE_DEG,
    STUDY_SLOPE_DEG,
)

SLOPE_STUDY = Source("J Exp Anal Behav 118:292 (2022), doi 10.1002/jeab.783", Known.PRIMARY)
GOAL_STUDY = Source("Behav Processes (2025), doi 10.1016/j.beproc.2025.105189", Known.PRIMARY)
OPEN_TOP = Source("advice of the Swiss federal veterinary office", Known.PRIMARY)
MESH_FLOORS = Source(
    "9 CFR 3.28(a)(4): mesh floors must protect feet and legs; no wire to walk on is common "
    "practice",
    Known.PRIMARY,
)


def ramp_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    """Codes of warnings are those of `habitats.structure.warnings`."""
    mm = partial(length, units=units)
    guinea_pig, rabbit = DOORWAY_HEIGHT_MM[Species.GUINEA_PIG], DOORWAY_HEIGHT_MM[Species.RABBIT]
    return (
        cited(
            "slope_above_study",
            "Slope at which guinea pigs stopped climbing in a study",
            SLOPE_STUDY,
            f"{STUDY_SLOPE_DEG}° on average, at {mm(291)} of rise, four animals",
        ),
        cited(
            "food_in_sight",
            "Climbing with the food in sight, in a study",
            GOAL_STUDY,
            f"up to {mm(630)} of rise with the food in sight, never above {mm(180)} without, "
            "ten animals",
        ),
        cited(
            "slope_above_practice",
            "Slope that builders use",
            PRACTICE,
            f"about 25°; a warning from {PRACTICE_SLOPE_DEG:g}°",
        ),
        cited(
            "ramp_longer_than_lane",
            "Head of a ramp through its doorway",
            PRACTICE,
            f"{mm(DEEPEST_SEAT_MM)} at most",
        ),
        cited(
            "short_landing",
            "Floor before the foot of a ramp",
            PRACTICE,
            f"{mm(SHORT_LANDING_MM)} or more",
        ),
        cited(
            "narrow_ramp",
            "Width inside a ramp",
            PRACTICE,
            f"{mm(NARROW_CHANNEL_MM)} or more",
        ),
        cited(
            "low_doorway",
            "Height of a doorway",
            PRACTICE,
            f"guinea pigs {mm(guinea_pig)}, rabbits {mm(rabbit)}",
        ),
        cited(
            "ramp_near_wall_top",
            "Top of a wall above a ramp, below which a guard is added",
            PRACTICE,
            mm(GUARD_WITHIN_MM),
        ),
        cited(
            "ramp_strip",
            "Scores of a ramp's strip",
            PRACTICE,
            f"{mm(STRIP_SIDE_MM)} from each long edge",
        ),
        cited(
            "ramp_towel",
            "Towel on a ramp",
            PRACTICE,
            f"{TOWEL_LAYERS} layers; {mm(TOWEL_TUCK_MM)} lie under the upper level's liner",
        ),
        cited(
            "no_ramp",
            "Way down from an upper level",
            PRACTICE,
            "every upper level has a ramp",
        ),
        cited(
            "upper_level_frail",
            "Animals that do not go to an upper level",
            PRACTICE,
            "very young, old, lame and pregnant ones; ask a vet when unsure",
        ),
    )


def wall_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    mm = partial(length, units=units)
    tray = TrayRule()
    return (
        cited(
            "low_walls",
            "Height of walls with an open top, guinea pigs",
            OPEN_TOP,
            f"{mm(LOW_WALL_MM)} or more",
        ),
        cited(
            "rabbit_walls",
            "Height of walls with an open top, rabbits",
            PRACTICE,
            "two panels or more",
        ),
        cited(
            "long_span",
            "Floor of panels without a wall or panel under it",
            PRACTICE,
            f"{LONGEST_SPAN} panels at most; a free end counts twice",
        ),
        cited(
            "pups_and_wire",
            "Wire and pups",
            PRACTICE,
            "double the wire or raise the tray's wall while there are pups; no published limit was "
            "found",
        ),
        cited(
            "mesh_floors",
            "Floors that animals walk on",
            MESH_FLOORS,
            "a solid cover with grip, never bare wire",
        ),
        cited(
            "tray_walls",
            "Walls of trays in a new design",
            PRACTICE,
            mm(tray.wall_mm),
        ),
        cited(
            "tray_rounding",
            "Inside of trays in a new design",
            PRACTICE,
            f"{mm(tray.clearance_mm)} of clearance, rounded down to {mm(tray.round_mm)}",
        ),
        cited(
            "panel_sizes",
            "Panel sizes",
            PRACTICE,
            f"{mm(355)}, {mm(350)}, {mm(305)} and {mm(300)} are met: always measure, never assume",
        ),
    )
