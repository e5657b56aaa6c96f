"""The figures of structures, each with its source: ramps, walls, floors, trays.

Every value is taken from where it is computed with.
"""

from functools import partial

from habitats.decimals import tenths, trimmed_tenths
from habitats.measures import METRIC, kilograms, length
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.structure.anchors import LEAST_ANCHORS
from habitats.structure.design import Species, TrayRule
from habitats.structure.furniture import (
    ANIMALS_AT_HAY,
    ANIMALS_AT_WATER,
    HIDE_EXITS,
    LEAST_WATER,
)
from habitats.structure.guards import GUARD_WITHIN_MM
from habitats.structure.loads import FURNISHED_G_PER_PANEL, GROWN_G, LOAD_G_PER_PANEL
from habitats.structure.pups import PUP_DAYS, PUP_OPENING_MM
from habitats.structure.ramp import (
    DEEPEST_SEAT_MM,
    DOORWAY_HEIGHT_MM,
    SHORT_LANDING_MM,
    STRIP_SIDE_MM,
    TOWEL_LAYERS,
    TOWEL_TUCK_MM,
)
from habitats.structure.reach import REACH_MM
from habitats.structure.read import COMMON_PANELS_MM
from habitats.structure.spans import LONGEST_SPAN
from habitats.structure.use_warnings import LEAST_LEVEL
from habitats.structure.warnings import (
    LOW_WALL_MM,
    NARROW_CHANNEL_MM,
    PRACTICE_SLOPE_DEG,
    STUDY_SLOPE_DEG,
)
from habitats.wording import listed, message


def common_panels(units: str = METRIC) -> str:
    """The sizes that panels are often sold in."""
    return listed([length(mm, units) for mm in COMMON_PANELS_MM])


SLOPE_STUDY = Source("J Exp Anal Behav 118:292 (2022), doi 10.1002/jeab.783", Known.PRIMARY)
GOAL_STUDY = Source("Behav Processes (2025), doi 10.1016/j.beproc.2025.105189", Known.PRIMARY)
OPEN_TOP = Source(message("advice of the Swiss federal veterinary office"), Known.PRIMARY)
MESH_FLOORS = Source(
    message(
        "9 CFR 3.28(a)(4): mesh floors must protect feet and legs; no wire to walk on "
        "is common practice"
    ),
    Known.PRIMARY,
)


def ramp_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    """Codes of warnings are those of `habitats.structure.warnings`."""
    mm = partial(length, units=units)
    guinea_pig, rabbit = DOORWAY_HEIGHT_MM[Species.GUINEA_PIG], DOORWAY_HEIGHT_MM[Species.RABBIT]
    return (
        cited(
            "slope_above_study",
            message("Slope at which guinea pigs stopped climbing in a study"),
            SLOPE_STUDY,
            message(
                "%(slope)s° on average, at %(rise)s of rise, four animals",
                slope=tenths(STUDY_SLOPE_DEG),
                rise=mm(291),
            ),
        ),
        cited(
            "food_in_sight",
            message("Climbing with the food in sight, in a study"),
            GOAL_STUDY,
            message(
                "up to %(rise)s of rise with the food in sight, never above %(without)s "
                "without, ten animals",
                rise=mm(630),
                without=mm(180),
            ),
        ),
        cited(
            "slope_above_practice",
            message("Slope that builders use"),
            PRACTICE,
            message(
                "about 25°; a warning from %(slope)s°",
                slope=trimmed_tenths(PRACTICE_SLOPE_DEG),
            ),
        ),
        cited(
            "ramp_longer_than_lane",
            message("Head of a ramp through its doorway"),
            PRACTICE,
            message("%(deepest_seat)s at most", deepest_seat=mm(DEEPEST_SEAT_MM)),
        ),
        cited(
            "short_landing",
            message("Floor before the foot of a ramp"),
            PRACTICE,
            message("%(short_landing)s or more", short_landing=mm(SHORT_LANDING_MM)),
        ),
        cited(
            "narrow_ramp",
            message("Width inside a ramp"),
            PRACTICE,
            message("%(narrow_channel)s or more", narrow_channel=mm(NARROW_CHANNEL_MM)),
        ),
        cited(
            "low_doorway",
            message("Height of a doorway"),
            PRACTICE,
            message(
                "guinea pigs %(guinea_pig)s, rabbits %(rabbit)s",
                guinea_pig=mm(guinea_pig),
                rabbit=mm(rabbit),
            ),
        ),
        cited(
            "ramp_near_wall_top",
            message("Top of a wall above a ramp, below which a guard is added"),
            PRACTICE,
            mm(GUARD_WITHIN_MM),
        ),
        cited(
            "ramp_strip",
            message("Scores of a ramp's strip"),
            PRACTICE,
            message("%(strip_side)s from each long edge", strip_side=mm(STRIP_SIDE_MM)),
        ),
        cited(
            "ramp_towel",
            message("Towel on a ramp"),
            PRACTICE,
            message(
                "%(towel_layers)s layers; %(towel_tuck)s lie under the upper level's liner",
                towel_layers=TOWEL_LAYERS,
                towel_tuck=mm(TOWEL_TUCK_MM),
            ),
        ),
        cited(
            "no_ramp",
            message("Way down from an upper level"),
            PRACTICE,
            message("every upper level has a ramp"),
        ),
        cited(
            "upper_level_frail",
            message("Animals that do not go to an upper level"),
            PRACTICE,
            message("very young, old, lame and pregnant ones; ask a vet when unsure"),
        ),
    )


def wall_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    mm = partial(length, units=units)
    tray = TrayRule()
    return (
        cited(
            "low_walls",
            message("Height of walls with an open top, guinea pigs"),
            OPEN_TOP,
            message("%(low_wall)s or more", low_wall=mm(LOW_WALL_MM)),
        ),
        cited(
            "rabbit_walls",
            message("Height of walls with an open top, rabbits"),
            PRACTICE,
            message("two panels or more"),
        ),
        cited(
            "long_span",
            message("Floor of panels without a wall or panel under it"),
            PRACTICE,
            message(
                "%(longest_span)s panels at most; a free end counts twice",
                longest_span=LONGEST_SPAN,
            ),
        ),
        cited(
            "upper_load",
            message("Load of an upper floor, spread evenly"),
            PRACTICE,
            message(
                "%(load)s a panel of floor that spans %(longest_span)s panels at most, %(own)s of "
                "it for tray, cloth, hay and dishes; a guinea pig of %(pig)s, a rabbit of "
                "%(rabbit)s",
                load=kilograms(LOAD_G_PER_PANEL),
                own=kilograms(FURNISHED_G_PER_PANEL),
                longest_span=LONGEST_SPAN,
                pig=kilograms(GROWN_G[Species.GUINEA_PIG]),
                rabbit=kilograms(GROWN_G[Species.RABBIT]),
            ),
        ),
        *(
            cited(
                code,
                words,
                PRACTICE,
                message(
                    "%(reach)s from an open side, or from a front door under a floor or lid",
                    reach=mm(REACH_MM),
                ),
            )
            for code, words in (
                ("needs_door", message("Reach of a hand under a floor or lid")),
                ("out_of_reach", message("Reach of a hand over a wall")),
            )
        ),
        cited(
            "small_level",
            message("Smallest upper level"),
            PRACTICE,
            message("%(least)d panels", least=LEAST_LEVEL),
        ),
        cited(
            "may_tip",
            message("Height that is tied to a wall of the room"),
            PRACTICE,
            message("more than the shorter side of the footprint"),
        ),
        cited(
            "anchor_without_wall",
            message("Wall anchors that hold a high enclosure"),
            PRACTICE,
            message(
                "%(least)d or more at a wall of the room, one panel below the top at the lowest",
                least=LEAST_ANCHORS,
            ),
        ),
        cited(
            "anchor_holds",
            message("What holds a wall anchor in the wall"),
            PRACTICE,
            message("hangs on the wall: ask the landlord and a tradesperson"),
        ),
        cited(
            "furniture_hides",
            message("Hides"),
            PRACTICE,
            message("one for each animal, each with %(exits)d ways out", exits=HIDE_EXITS),
        ),
        cited(
            "furniture_water",
            message("Places for water"),
            PRACTICE,
            message(
                "one for %(animals)d animals, %(least)d at the least",
                animals=ANIMALS_AT_WATER,
                least=LEAST_WATER,
            ),
        ),
        cited(
            "furniture_hay",
            message("Places for hay"),
            PRACTICE,
            message("one for %(animals)d animals", animals=ANIMALS_AT_HAY),
        ),
        cited(
            "door_at_wall",
            message("Sides where people stand"),
            PRACTICE,
            message("all but those at a wall of the room"),
        ),
        cited(
            "pups_and_wire",
            message("Wire and pups"),
            PRACTICE,
            message(
                "double the wire or raise the tray's wall while there are pups; no published "
                "limit was found"
            ),
        ),
        cited(
            "pup_set_wide",
            message("Opening too narrow for pups"),
            PRACTICE,
            message("%(most)s from wire to wire", most=mm(PUP_OPENING_MM)),
        ),
        cited(
            "pup_days",
            message("Age until which young need a pup set"),
            PRACTICE,
            message("%(days)d days, and until no head fits through", days=PUP_DAYS),
        ),
        cited(
            "pup_set_upper",
            message("Upper levels while there are pups"),
            PRACTICE,
            message("shut at the foot of each ramp"),
        ),
        cited(
            "mesh_floors",
            message("Floors that animals walk on"),
            MESH_FLOORS,
            message("a solid cover with grip, never bare wire"),
        ),
        cited(
            "tray_walls",
            message("Walls of trays in a new design"),
            PRACTICE,
            mm(tray.wall_mm),
        ),
        cited(
            "tray_rounding",
            message("Inside of trays in a new design"),
            PRACTICE,
            message(
                "%(clearance)s of clearance, rounded down to %(round)s",
                clearance=mm(tray.clearance_mm),
                round=mm(tray.round_mm),
            ),
        ),
        cited(
            "panel_sizes",
            message("Panel sizes"),
            PRACTICE,
            message(
                "%(sizes)s are common: always measure, never assume",
                sizes=common_panels(units),
            ),
        ),
    )
