"""What each step tells the builder: titles and sentences, without any working out of order.

``lengths`` formats whole millimetres for the reader; mesh squares are counted as such.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import NamedTuple

from builds.making.groups import PanelGroup
from builds.making.kinds import Kind
from builds.making.names import SIDE_WORDS, counted, doorway_name, the_level
from builds.making.part_names import CONNECTOR, PLAIN_PANEL, TIE, counted_part, part_name
from builds.making.site import Placement
from builds.making.ties import TieSpot
from habitats.structure.connectors import Stance
from habitats.structure.lattice import Face, Joint, Side
from habitats.structure.ramp import TOWEL_LAYERS, TOWEL_TUCK_MM, Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray
from habitats.wording import listed

Lengths = Callable[[int], str]


class Words(NamedTuple):
    """The title and the sentences of one step."""

    title: str
    instructions: tuple[str, ...]


# --- Words for connectors and ties, shared by all steps that place panels ---

_RIBS = {
    Stance(Face.FLAT, 1): "flat, ribs up",
    Stance(Face.FLAT, -1): "flat, ribs down",
    Stance(Face.EW, 1): "upright, ribs to the south",
    Stance(Face.EW, -1): "upright, ribs to the north",
    Stance(Face.NS, 1): "upright, ribs to the east",
    Stance(Face.NS, -1): "upright, ribs to the west",
}


def _connectors(joints: Sequence[Joint], stances: Mapping[Joint, Stance]) -> tuple[str, ...]:
    if not joints:
        return ("All connectors here are in place already.",)
    heights = sorted({joint.z for joint in joints})
    at = "the marked joint" if len(joints) == 1 else f"each of the {len(joints)} marked joints"
    ways = [
        f"{_height(z)}: {stance_words([stances[joint] for joint in joints if joint.z == z])}"
        for z in heights
    ]
    return (f"Put a {part_name(CONNECTOR)} at {at}. {'. '.join(ways)}.",)


def _height(z: int) -> str:
    """A height to start a sentence with."""
    return "On the floor of the room" if z == 0 else f"{counted(z, 'panel')} up"


def stance_words(stances: Sequence[Stance]) -> str:
    """How connectors sit, with how many of each unless all sit alike."""
    kinds = Counter(_RIBS[stance] for stance in stances)
    if len(kinds) == 1:
        return next(iter(kinds))
    return "; ".join(f"{count} {way}" for way, count in sorted(kinds.items()))


def _ties(spots: Iterable[TieSpot]) -> tuple[str, ...]:
    """One sentence for all ties of a step; nothing to say where there are none."""
    found = Counter(spot.where for spot in spots)
    if not found:
        return ()
    total = sum(where.each * count for where, count in found.items())
    uses = "; ".join(
        f"{where.each} at each {where.place} ({count} of them)"
        if count > 1
        else f"{where.each} at the {where.place}"
        for where, count in found.items()
    )
    return (f"Pull tight {counted_part(total, TIE)}: {uses}. Trim the tails.",)


def _tier(tier: int) -> str:
    return f", tier {tier}" if tier > 1 else ""


def panel_words(
    kind: Kind,
    placement: Placement,
    structure: Structure,
    group: PanelGroup,
    *,
    level: int | None,
    tier: int,
    doorways: Sequence[Ramp],
    cuts: bool,
    held: bool,
    clips: int,
) -> Words:
    """How panels of one kind are put up. ``level`` is None where a step has those of a height.

    ``cuts``: the tray that it stands in is cut for it. ``held``: a second
    person holds it. So many ``clips`` close it.
    """
    title = kind.title_one if len(group.places) == 1 and kind.title_one else kind.title
    where = "" if level is None else f"{the_level(level)}{_tier(tier)}"
    do = kind.do.format(panels=_panels(group, doorways))
    return Words(
        title.format(level=where, sides=_sides(group)),
        (
            *((kind.tray_cut,) if cuts else ()),
            *_connectors(placement.joints, structure.stances),
            f"{do}{kind.held_words if held else ''}",
            *_ties(placement.spots),
            *(_clip_words(kind.clips, clips) if clips else ()),
        ),
    )


def _clip_words(each: int, clips: int) -> tuple[str, ...]:
    return (
        f"Close each panel with {each} clips on the side across from its hinge: {clips} in all.",
        "To open a panel, take its clips off, free that side's corners and lift.",
    )


def _sides(group: PanelGroup) -> str:
    sides = [word for word, _count in _side_words(group)]
    opening = "round the opening, " if group.inner else ""
    where = f"{listed(sides)} {'side' if len(sides) == 1 else 'sides'}" if sides else ""
    return f"{opening}{where}"


def _panels(group: PanelGroup, doorways: Sequence[Ramp]) -> str:
    plain = len(group.places) - len(doorways)
    panels = [counted_part(plain, PLAIN_PANEL)] if plain else []
    panels += [f"the doorway panel ({doorway_name(ramp)}), opening down" for ramp in doorways]
    if len(group.sides) < 2:
        return listed(panels)
    by_side = listed([f"{count} on the {word} side" for word, count in _side_words(group)])
    return f"{listed(panels)}: {by_side}"


def _side_words(group: PanelGroup) -> list[tuple[str, int]]:
    """The sides as who stands there sees them: an opening's west side is east of the floor."""
    return [
        (SIDE_WORDS[side.opposite if group.inner else side], count) for side, count in group.sides
    ]


def lay_tray_words(tray: Tray) -> Words:
    lower = "Lower it in level from above, and press it down into every corner."
    flap = (
        ("Push the flap out through the doorway so that it hangs down outside.",)
        if tray.doorways
        else ()
    )
    return Words(
        f"Lay the tray of {the_level(tray.level)}",
        (lower, *flap, "The tape stays on the outside; nothing lies under the tray."),
    )


def hang_ramp_words(
    name: str, ramp: Ramp, landing: str, foot_wall: Side | None, lengths: Lengths
) -> Words:
    seat = f" and {lengths(ramp.seat_mm)} through the doorway" if ramp.seat_mm else ""
    foot = (
        f"Open 2 small holes in the tray's wall on the {SIDE_WORDS[foot_wall]} side of the foot, "
        "at half its height. Pull tight 2 cable ties from the foot through them round the wire "
        "wall, joining ties where one is too short. Trim the tails."
        if foot_wall
        else "Pull tight 2 cable ties at the foot, round the strip's edges and the channel's "
        "sides, and set a smooth heavy tile against it. Trim the tails."
    )
    return Words(
        f"Set the {name} ({doorway_name(ramp)})",
        (
            f"Lay the strip in the channel. Lay the ramp's head on the tray's flap{seat}, its foot "
            f"on {landing}, {lengths(ramp.foot_mm)} from the doorway.",
            "Pull tight 2 cable ties at the head, through the strip's holes and round the bottom "
            "edge beside the opening.",
            foot,
            "Rock it by hand: it must not move.",
            f"Lay the towel, folded into {TOWEL_LAYERS} layers, over the whole strip. At the top "
            f"{lengths(TOWEL_TUCK_MM)} of it reach onto the upper floor, to go under the liner.",
        ),
    )


def liner_words(
    liners: Sequence[tuple[str, tuple[int, int]]], ramps: int, lengths: Lengths
) -> Words:
    sizes = "; ".join(f"{what}: {lengths(w)} by {lengths(d)}" for what, (w, d) in liners)
    tuck = "Tuck the upper end of the towel under the upper liner." if ramps else ""
    return Words(
        "Lay the liners",
        (
            f"Lay {counted(len(liners), 'liner')} ({sizes}), washed once.",
            "Each reaches the tray's walls all round; no sheet shows.",
            *((tuck,) if tuck else ()),
        ),
    )


def inspection_words(points: int) -> Words:
    return Words(
        "Inspect and sign",
        (
            f"Answer the {points} questions of the inspection list, one by one, with your hand "
            "on the place.",
            "Any no: put it right and ask again. No animal goes in before all are yes.",
            "Sign and date the list.",
        ),
    )
