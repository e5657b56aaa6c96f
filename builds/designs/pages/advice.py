"""Advice on a drawing: one line each, the whole of it where somebody opens it."""

from collections.abc import Iterable
from typing import NamedTuple

from habitats.structure.caution import Caution
from habitats.wording import message

LINES = {
    "slope_above_study": message("Ramp steeper than in a published study"),
    "slope_above_practice": message("Ramp steeper than usual"),
    "ramp_longer_than_lane": message("Ramp reaches through its doorway"),
    "short_landing": message("Little floor before the foot of a ramp"),
    "narrow_ramp": message("Narrow ramp"),
    "low_doorway": message("Low doorway"),
    "long_span": message("Floor may sag"),
    "low_walls": message("Low walls without a lid"),
    "rabbit_walls": message("Walls that rabbits jump over"),
    "ramp_near_wall_top": message("Wall too low beside a ramp"),
    "needs_door": message("Floor that no hand reaches: needs a front door"),
    "out_of_reach": message("Floor that no hand reaches"),
    "door_at_wall": message("Front door that nobody can reach"),
    "small_level": message("Upper level of a single panel"),
    "may_tip": message("High and narrow: may tip over"),
    "anchor_without_wall": message("Wall anchor without a wall"),
    "anchor_holds": message("What holds in your wall"),
    "upper_load": message("Load of an upper floor"),
    "no_ramp": message("Level without a ramp"),
    "pups_and_wire": message("Pups may pass the wire"),
    "pup_set_wide": message("Pups may pass the doubled wire"),
    "pup_set_upper": message("Pup set: only the ground floor"),
    "upper_level_frail": message("Upper level: not for frail animals"),
}


# What is to be mended before it is built, in this order; all else is to be known.
TO_DO = (
    "no_ramp",
    "needs_door",
    "door_at_wall",
    "low_walls",
    "rabbit_walls",
    "ramp_near_wall_top",
    "may_tip",
    "anchor_without_wall",
    "long_span",
)

# What a button does about it: the code of a usual wish, and the button's words.
MENDED_BY = {
    "may_tip": ("anchors", message("Add wall anchors")),
    "needs_door": ("door", message("Add front doors")),
    "long_span": ("supports", message("Add supports")),
    "pups_and_wire": ("pups", message("Put a pup set on")),
    "ramp_near_wall_top": ("guards", message("Add guards")),
}


class AdviceLine(NamedTuple):
    """``line`` in a few words; ``cautions`` of this code say it in full, one for each place.

    ``wish`` is the usual wish that mends it and ``button`` its words; empty where none does.
    """

    code: str
    line: str
    cautions: tuple[Caution, ...]
    wish: str = ""
    button: str = ""


def advice_of(cautions: Iterable[Caution]) -> list[AdviceLine]:
    """In the order of the cautions; those of one kind are one line."""
    by_code: dict[str, list[Caution]] = {}
    for one in cautions:
        by_code.setdefault(one.code, []).append(one)
    return [
        AdviceLine(code, LINES[code], tuple(some), *MENDED_BY.get(code, ("", "")))
        for code, some in by_code.items()
    ]
