"""The instructions of each step: titles and sentences; nothing is worked out here.

``lengths`` formats whole millimetres for the reader; mesh squares are counted as such.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

from builds.making.groups import PanelGroup
from builds.making.kinds import Kind
from builds.making.names import SIDE_WORDS, doorway_name, the_level
from builds.making.part_names import PLAIN_PANEL, counted_part
from builds.making.seats import connector_words
from builds.making.site import Placement
from builds.making.ties import TieSpot
from habitats.structure.lattice import Side
from habitats.structure.ramp import TOWEL_LAYERS, TOWEL_TUCK_MM, Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray
from habitats.wording import counted, joined, listed, message

Lengths = Callable[[int], str]


class Words(NamedTuple):
    """The title and the sentences of one step."""

    title: str
    instructions: tuple[str, ...]


# --- Words shared by all steps that place panels ---


def _ties(spots: Iterable[TieSpot]) -> tuple[str, ...]:
    """One sentence for all ties of a step; nothing to say where there are none."""
    found = Counter(spot.where for spot in spots)
    if not found:
        return ()
    return (
        counted(
            "Pull tight %(count)d cable tie: %(uses)s. Trim the tails.",
            "Pull tight %(count)d cable ties: %(uses)s. Trim the tails.",
            sum(where.each * count for where, count in found.items()),
            uses=joined("; ", [where.places(n) for where, n in found.items()]),
        ),
    )


def _hinge_ties(spots: Iterable[TieSpot]) -> tuple[str, ...]:
    """For what swings: its ties are not pulled tight."""
    count = sum(spot.count for spot in spots)
    if not count:
        return ()
    return (
        counted(
            "Hang it on %(count)d cable tie at its hinge, closed just loose enough to swing. Trim "
            "the tail.",
            "Hang it on %(count)d cable ties at its hinge, 2 for each door, closed just loose "
            "enough to swing. Trim the tails.",
            count,
        ),
    )


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
    where = "" if level is None else _tier(level, tier)
    do = kind.do.filled(panels=_panels(group, doorways))
    return Words(
        title.filled(level=where, sides=_sides(group)),
        (
            *((kind.tray_cut,) if cuts else ()),
            connector_words([structure.stances[joint] for joint in placement.joints]),
            joined(" ", (do, kind.held_words)) if held and kind.held_words else do,
            *(_hinge_ties(placement.spots) if kind.swings else _ties(placement.spots)),
            *(_clip_words(kind, clips) if clips else ()),
        ),
    )


def _tier(level: int, tier: int) -> str:
    if tier == 1:
        return the_level(level)
    return message("%(level)s, tier %(tier)d", level=the_level(level), tier=tier)


def _clip_words(kind: Kind, clips: int) -> tuple[str, ...]:
    return (
        message(
            "Close each panel with %(each)d clips on the side across from its hinge: %(clips)d in "
            "all.",
            each=kind.clips,
            clips=clips,
        ),
        *((kind.opening,) if kind.opening else ()),
    )


def _sides(group: PanelGroup) -> str:
    """``north and east sides``; empty where the panels stand on no side."""
    sides = [word for word, _count in _side_words(group)]
    if not sides:
        return ""
    where = sides_words(sides)
    return message("round the opening, %(sides)s", sides=where) if group.inner else where


def sides_words(sides: Sequence[str]) -> str:
    return counted("%(sides)s side", "%(sides)s sides", len(sides), sides=listed(sides))


def _panels(group: PanelGroup, doorways: Sequence[Ramp]) -> str:
    plain = len(group.places) - len(doorways)
    panels = [counted_part(plain, PLAIN_PANEL)] if plain else []
    panels += [
        message("the doorway panel (%(doorway)s), opening down", doorway=doorway_name(ramp))
        for ramp in doorways
    ]
    # All round the floor, picture and title say it.
    is_all_round = not group.inner and {side for side, _count in group.sides} == {*Side}
    if len(group.sides) < 2 or is_all_round:
        return listed(panels)
    return joined(": ", (listed(panels), by_side(_side_words(group))))


def by_side(sides: Iterable[tuple[str, int]]) -> str:
    """``1 on the west side, 2 on the south side``."""
    return listed(
        [message("%(count)d on the %(side)s side", count=count, side=word) for word, count in sides]
    )


def _side_words(group: PanelGroup) -> list[tuple[str, int]]:
    """The sides as who stands there sees them: an opening's west side is east of the floor."""
    return [
        (SIDE_WORDS[side.opposite if group.inner else side], count) for side, count in group.sides
    ]


def lay_tray_words(tray: Tray) -> Words:
    flap = message("Push the flap out through the doorway so that it hangs down outside.")
    return Words(
        message("Lay the tray of %(level)s", level=the_level(tray.level)),
        (
            message("Lower it in from above, held level, and press it down into every corner."),
            *((flap,) if tray.doorways else ()),
            message("The tape stays on the outside; nothing lies under the tray."),
        ),
    )


def hang_ramp_words(
    name: str,
    ramp: Ramp,
    landing: str,
    foot_wall: Side | None,
    joined_ties: int,
    lengths: Lengths,
) -> Words:
    """``foot_wall``: the wall that the foot stands at; None: it ends on open floor.

    ``joined_ties``: how many ties hold the foot there.
    """
    return Words(
        message("Set the %(ramp)s (%(doorway)s)", ramp=name, doorway=doorway_name(ramp)),
        (
            _lay_ramp(ramp, landing, lengths),
            message(
                "Pull tight 2 cable ties at the head, through the strip's holes and round the "
                "bottom edge beside the opening."
            ),
            _tie_foot(foot_wall, joined_ties),
            message("Rock it by hand: it must not move."),
            message(
                "Lay the towel, folded into %(layers)d layers, over the whole strip. At the top "
                "leave %(tuck)s of it over, on the upper floor, to go under the liner.",
                layers=TOWEL_LAYERS,
                tuck=lengths(TOWEL_TUCK_MM),
            ),
        ),
    )


def _lay_ramp(ramp: Ramp, landing: str, lengths: Lengths) -> str:
    foot = lengths(ramp.foot_mm)
    if not ramp.seat_mm:
        return message(
            "Lay the strip in the channel. Lay the ramp's head on the tray's flap, its foot on "
            "%(landing)s, %(foot)s from the doorway.",
            landing=landing,
            foot=foot,
        )
    return message(
        "Lay the strip in the channel. Lay the ramp's head on the tray's flap and %(seat)s through "
        "the doorway, its foot on %(landing)s, %(foot)s from the doorway.",
        seat=lengths(ramp.seat_mm),
        landing=landing,
        foot=foot,
    )


def _tie_foot(wall: Side | None, joined_ties: int) -> str:
    if wall is None:
        return message(
            "Pull tight 2 cable ties at the foot, round the strip's edges and the channel's sides, "
            "and set a smooth heavy tile against it. Trim the tails."
        )
    side = SIDE_WORDS[wall]
    if joined_ties == 1:
        return message(
            "Open 2 small holes in the tray's wall on the %(side)s side of the foot, at half its "
            "height. Pull tight 2 cable ties from the foot through them round the wire wall. Trim "
            "the tails.",
            side=side,
        )
    return message(
        "Open 2 small holes in the tray's wall on the %(side)s side of the foot, at half its "
        "height. One tie is too short here: join %(joined)d end to end, pull them tight from the "
        "foot through a hole round the wire wall, and do the same at the other hole. Trim the "
        "tails.",
        side=side,
        joined=joined_ties,
    )


def liner_words(
    liners: Sequence[tuple[str, tuple[int, int]]], ramps: int, lengths: Lengths
) -> Words:
    sizes = [
        message("%(liner)s: %(width)s by %(depth)s", liner=name, width=lengths(w), depth=lengths(d))
        for name, (w, d) in liners
    ]
    return Words(
        message("Lay the liners"),
        (
            counted(
                "Lay %(count)d liner (%(sizes)s), washed once.",
                "Lay %(count)d liners (%(sizes)s), washed once.",
                len(liners),
                sizes=joined("; ", sizes),
            ),
            REACH_THE_WALLS,
            *((TUCK_THE_TOWEL,) if ramps else ()),
        ),
    )


REACH_THE_WALLS = message("Each reaches the tray's walls all round; no sheet shows.")
TUCK_THE_TOWEL = message("Tuck the upper end of the towel under the upper liner.")


def inspection_words(points: int, *, inside: bool = False) -> Words:
    """``inside``: the animals are in it."""
    return Words(
        message("Inspect and sign"),
        (
            message(
                "Answer the %(points)d questions of the inspection list, one by one, with your "
                "hand on the place.",
                points=points,
            ),
            message("If an answer is no, take the animals out, mend it and ask again.")
            if inside
            else message(
                "If an answer is no, mend it and ask again. No animal goes in before all are yes."
            ),
            message("Sign and date the list."),
        ),
    )
