"""What the steps of an alteration tell the builder, beside those that are as in a new build."""

from collections import Counter
from collections.abc import Mapping, Sequence

from builds.making.instructions import Words, stance_words
from builds.making.kinds import KINDS
from builds.making.names import SIDE_WORDS, counted, the_level
from builds.making.part_names import (
    CLIP,
    CONNECTOR,
    DOORWAY_PANEL,
    PLAIN_PANEL,
    RAMP_PANEL,
    TIE,
    counted_part,
)
from builds.making.step import Added
from habitats.structure.connectors import Stance, Turn
from habitats.structure.lattice import Cell, Side
from habitats.wording import listed

_COUNTED = (PLAIN_PANEL, DOORWAY_PANEL, RAMP_PANEL, CONNECTOR, TIE, CLIP)


def _words(title: str, *sentences: str) -> Words:
    """The words of a step; a sentence that is empty has nothing to say."""
    return Words(title, tuple(sentence for sentence in sentences if sentence))


def amounts(parts: Sequence[Added]) -> str:
    """``2 plain panels, 3 connectors and 1 × Ground tray``; for no parts empty."""
    return listed(
        [
            counted_part(one.count, one.what)
            if one.what in _COUNTED
            else f"{one.count} × {one.name}"
            for one in parts
        ]
    )


# --- First and last: what is new, and the animals ---


def fetch_words(parts: Sequence[Added], borrowed: int) -> Words:
    none = "Nothing new is needed: what is taken off serves again."
    return _words(
        "Fetch and count what is new",
        f"Count out {amounts(parts)}." if parts else none,
        f"For the time of the work borrow {counted_part(borrowed, PLAIN_PANEL)} more."
        if borrowed
        else "",
        "Mark on the floor which side is north, as on the plan: the steps name sides by it.",
    )


def animals_out_words() -> Words:
    return _words(
        "Take the animals out",
        "Put them, all companions together, into an enclosure or a pen in another room, with hay, "
        "water and a place to hide.",
        "Close the door. Nobody lets them back before the inspection is signed.",
    )


def refuge_words(cells: int, side: Side, borrowed: int, standing: int) -> Words:
    across = (
        f"Stand {counted_part(borrowed, PLAIN_PANEL)} across, as in the picture, and tie each "
        "end to the wire wall above the tray's edge; let them overlap where the tray is narrower."
        if borrowed
        else f"The divider that stands there ({counted(standing, 'panel')}) closes it."
    )
    return _words(
        "Close off the part where the animals stay",
        f"The {counted(cells, 'cell')} on the {SIDE_WORDS[side]} side stay as they are. Bring the "
        "animals there, with hay, water and a place to hide.",
        across,
        "Roll the cloth of the other part up to it.",
        "Push it: nothing may move, and no gap may let a head through. If in doubt, take the "
        "animals out instead.",
    )


def animals_back_words(borrowed: int) -> Words:
    return _words(
        "Let the animals back",
        "Only once the inspection list is signed.",
        f"Cut the ties of the {counted_part(borrowed, PLAIN_PANEL)} that stood across, pick up "
        "every piece, and lift the panels out."
        if borrowed
        else "",
        "Stay and watch until they have found food, water and shelter.",
    )


# --- Off ---


def take_cloth_words(linens: Sequence[str]) -> Words:
    return _words(
        "Take out the cloth",
        f"Take out: {'; '.join(linens)}.",
        "Fold them inward, so that nothing falls out, and put them to the wash.",
    )


def take_panels_words(
    role: str, level: int, removes: Mapping[str, int], sides: Sequence[tuple[Side, int]]
) -> Words:
    title, how = KINDS[role].taking
    where = listed([SIDE_WORDS[side] for side, _count in sides])
    kinds = (PLAIN_PANEL, DOORWAY_PANEL)
    panels = listed([counted_part(removes[what], what) for what in kinds if removes.get(what)])
    by_side = listed([f"{n} on the {SIDE_WORDS[side]} side" for side, n in sides] or [""])
    ties, connectors = removes.get(TIE, 0), removes.get(CONNECTOR, 0)
    return _words(
        f"{title} {the_level(level)}"
        + (f": {where} side{'s' if len(sides) > 1 else ''}" if sides else ""),
        f"Cut {counted_part(ties, TIE)} and pick up every piece." if ties else "",
        f"{how} {panels}: {by_side}." if len(sides) > 1 else f"{how} {panels}.",
        f"Take off {counted_part(connectors, CONNECTOR)}: no panel is left there."
        if connectors
        else "",
    )


def take_tray_words(level: int, use: str, *, doorways: int) -> Words:
    return _words(
        f"Lift out the tray of {the_level(level)}",
        "Fold up the flap that hangs through the doorway." if doorways else "",
        "Lift it level, straight up, without bending its folds.",
        f"Empty and wash it. {use}",
    )


def take_ramp_words(name: str, place: str, ties: int, *, whole: bool) -> Words:
    return _words(
        f"Take off the {name} ({place})",
        f"One person holds the ramp; the other cuts the {counted_part(ties, TIE)} at head and foot "
        "and picks up every piece.",
        "Lift it out together, head first.",
        "Keep it in one piece, strip and all: it serves again."
        if whole
        else "Cut the ties at its overlaps and take the strip out.",
    )


def sort_out_words(again: Sequence[Added], left: Sequence[Added], ties: int) -> Words:
    return _words(
        "Sort what came off",
        f"Keep here, to use again: {amounts(again)}." if again else "",
        f"Back to the store: {amounts(left)}." if left else "",
        f"Into the bin: {counted_part(ties, TIE)}, cut." if ties else "",
        "Lay bent or rusty panels and cracked connectors aside, and fetch others for them.",
    )


def into_store_words(parts: Sequence[Added], offcuts: Sequence[str]) -> Words:
    return _words(
        "Count the parts back into the store",
        f"Back on the shelf: {amounts(parts)}." if parts else "",
        f"Pieces of sheet worth keeping, cut out of the trays: {listed(offcuts)}."
        if offcuts
        else "",
        "Cut ties and used tape go into the bin. Wash everything that animals touched.",
        "Lay bent, rusty or cracked parts aside; they are not counted in.",
    )


# --- Ready ---


def turn_words(turned: Sequence[Turn], retied: int, cut: int, *, carries: bool) -> Words:
    tying = "Tie anew" if retied else "Cut ties"
    return _words(
        f"Turn {counted_part(len(turned), CONNECTOR)}" if turned else tying,
        *_turning(turned),
        "Something rests above: a second person carries it until the connector is back."
        if carries
        else "",
        f"Cut {counted_part(cut, TIE)} round what stays: not wanted there any more." if cut else "",
        f"Pull tight {counted_part(retied, TIE)} at the places marked. Trim the tails."
        if retied
        else "",
    )


def _turning(turned: Sequence[Turn]) -> tuple[str, ...]:
    if not turned:
        return ()
    ways = Counter((turn.before, turn.after) for turn in turned)
    each = "; ".join(
        f"{count} from {_way(before)} to {_way(after)}"
        for (before, after), count in sorted(ways.items())
    )
    return (
        "Take each marked connector off its panels and put it back another way round, one after "
        f"the other: {each}.",
        "Until it is turned, it takes no panel on its smooth side.",
    )


def _way(stance: Stance) -> str:
    return f"“{stance_words([stance])}”"


def cut_down_words(
    name: str, old: str, sizes: tuple[str, str], doorways: Sequence[tuple[Cell, Side]]
) -> Words:
    return _words(
        f"Cut down an old tray: {name}",
        f"Take the old {old[:1].lower()}{old[1:]}. Slit the tape at every corner that changes and "
        "lay it flat, inside up.",
        f"Its blank was {sizes[0]}; keep one corner with its two walls and cut it to {sizes[1]}, "
        "as in the picture.",
        "Slit and score only what is new; old slits and scores serve again.",
        _doorway_cut(doorways),
    )


def cut_doorways_words(level: int, doorways: Sequence[tuple[Cell, Side]], *, lies: bool) -> Words:
    where = (
        "It lies where it will lie: cut from the inside, before the doorway panel stands behind "
        "it, with a board held outside the tray's wall."
        if lies
        else "Cut on the bench, from the inside, with a board outside the tray's wall."
    )
    count = "a doorway" if len(doorways) == 1 else f"{len(doorways)} doorways"
    return _words(f"Cut {count} into the tray of {the_level(level)}", where, _doorway_cut(doorways))


def _doorway_cut(doorways: Sequence[tuple[Cell, Side]]) -> str:
    if not doorways:
        return ""
    places = listed([f"the {SIDE_WORDS[side]} side of {cell.words}" for cell, side in doorways])
    return (
        f"On {places}: mark the opening's width in the middle, slit the wall at both ends from its "
        "top down to the fold, and score along the fold on the inside, one skin only."
    )


# --- Back ---


def liners_words(again: Sequence[str], new: Sequence[str], ramps: int) -> Words:
    return _words(
        "Lay the liners",
        f"Put back, washed: {'; '.join(again)}." if again else "",
        f"Lay new, washed once: {'; '.join(new)}." if new else "",
        "Each reaches the tray's walls all round; no sheet shows.",
        "Tuck the upper end of the towel under the upper liner." if ramps else "",
    )
