"""What the steps at the bench tell the builder; ``instructions`` has those on the spot.

``lengths`` formats whole millimetres for the reader; mesh squares are counted as such.
"""

from collections.abc import Iterator, Sequence

from builds.making.blank import Blank, Flute, Join
from builds.making.instructions import Lengths, Words
from builds.making.kinds import TIES_AT_OVERLAP
from builds.making.names import counted, doorway_name, the_level
from builds.making.part_names import CONNECTOR, TIE, counted_part
from habitats.structure.ramp import Ramp
from habitats.structure.tray import Tray
from habitats.wording import listed


def sort_words(panels: int, connectors: int, ties: int) -> Words:
    fastenings = [(connectors, CONNECTOR), (ties, TIE)]
    piles = [counted(panels, "panel")] if panels else []
    piles += [counted_part(count, what) for count, what in fastenings if count]
    return Words(
        "Sort and count the parts",
        (
            f"Count out {listed(piles)}.",
            "Lay bent or rusty panels aside.",
            "Tick each line of the part list.",
            "Mark on the floor which side is north, as on the plan: the steps name sides by it.",
        ),
    )


def measure_words(size_mm: int, squares: int, lengths: Lengths) -> Words:
    return Words(
        "Measure one panel",
        (
            "Join two panels with connectors and measure from the middle of one joint to the "
            "middle of the next. Always measure, never assume.",
            f"It must be {lengths(size_mm)}; a panel has {squares} squares a side.",
            "If it is not, stop: enter your size in the design and print the packet again. Every "
            "cut depends on it.",
        ),
    )


def cut_doorway_words(ramp: Ramp, pitch_mm: float, lengths: Lengths) -> Words:
    wide, high = ramp.doorway_squares
    return Words(
        f"Cut the doorway panel ({doorway_name(ramp)})",
        (
            f"On one plain panel mark the opening: {counted(wide, 'square')} wide, "
            f"{ramp.bend_squares} in from either side, and {counted(high, 'square')} high from "
            f"the bottom wire up ({lengths(round(wide * pitch_mm))} by "
            f"{lengths(round(high * pitch_mm))}).",
            "Cut each wire close to the edge of the opening, so that no end stands out.",
            f"Label the panel: doorway, {doorway_name(ramp)}.",
        ),
    )


def file_doorway_words(ramp: Ramp, ends: int) -> Words:
    return Words(
        f"File the doorway panel ({doorway_name(ramp)})",
        (
            f"File every cut end round and smooth: {ends} in all.",
            "Run a gloved finger round the whole opening; file again what catches.",
            "Wipe off all filings.",
        ),
    )


def bend_words(name: str, ramp: Ramp, pitch_mm: float, lengths: Lengths) -> Words:
    channel = lengths(round(ramp.channel_squares * pitch_mm))
    return Words(
        f"Bend the panels of the {name}",
        (
            f"Take {counted(ramp.panels, 'plain panel')} and do the same with each.",
            f"Clamp it under the board along the wire {counted(ramp.bend_squares, 'square')} in "
            "from one side, and bend that side up to a right angle.",
            "Do the same at the opposite side.",
            f"You get a channel {counted(ramp.channel_squares, 'square')} ({channel}) wide.",
        ),
    )


def tie_ramp_words(name: str, ramp: Ramp, pitch_mm: float, lengths: Lengths) -> Words:
    length = lengths(round(ramp.length_mm))
    if ramp.panels == 1:
        return Words(
            f"Check the {name}",
            (f"The {name} is one channel, {length} long.", "Press any wire end flat."),
        )
    squares = counted(ramp.overlap_squares, "square")
    overlap = lengths(round(ramp.overlap_squares * pitch_mm))
    ties = TIES_AT_OVERLAP * (ramp.panels - 1)
    return Words(
        f"Tie the panels of the {name} together",
        (
            f"Lay the {ramp.panels} channels in a row, each {squares} ({overlap}) over the next, "
            "the upper one on top.",
            f"At each overlap pull tight {counted_part(TIES_AT_OVERLAP, TIE)}: two through the "
            f"bottom, one in each side; {ties} in all, heads and tails underneath.",
            f"Measure it: {length} from end to end.",
        ),
    )


def cut_blank_words(blank: Blank, lengths: Lengths) -> Words:
    many = f"{blank.quantity} pieces" if blank.quantity > 1 else "the piece"
    slits = f", then {counted(len(blank.slits), 'slit')} through" if blank.slits else ""
    lines = (
        f"Cut {many} from sheet, {lengths(blank.width_mm)} by {lengths(blank.height_mm)}, flutes "
        f"{_flutes(blank, lengths)}. Write its name on it: {blank.name}.",
        "Draw its lines from the drawing, which shows the inner side, measured from one corner. "
        f"Cut along the outline{slits}.",
        *_scores(blank),
    )
    return Words(f"Cut the blank: {blank.name}", lines)


def _flutes(blank: Blank, lengths: Lengths) -> str:
    flute = blank.settled_flute
    if flute is None:
        return "as on the sheet plan"
    if blank.width_mm == blank.height_mm:
        return "as on the drawing"
    return f"along the {lengths(blank.width_mm if flute is Flute.WIDTH else blank.height_mm)} side"


def _scores(blank: Blank) -> Iterator[str]:
    near = len(blank.flap_scores)
    if near:
        yield f"On this side cut only {counted(near, 'score')}: where a doorway's flap folds."
    if others := len(blank.scores) - near:
        yield (
            "Turn the piece over: the drawing is now as in a mirror. Cut "
            f"{counted(others, 'score')} into this skin only."
        )
    yield from _folding(blank)


def _folding(blank: Blank) -> Iterator[str]:
    """How each score is made, by how it lies to the flutes of the piece as it is cut."""
    flute = blank.settled_flute
    if blank.scores and flute is None:
        yield "Along the flutes slit the skin down one flute; across them score or crease it."
        return
    level = sum(one.y1 == one.y2 for one in blank.scores)
    upright = len(blank.scores) - level
    along, across = (level, upright) if flute is Flute.WIDTH else (upright, level)
    if along and across:
        way = "left to right" if flute is Flute.WIDTH else "top to bottom"
        yield (
            f"Scores {way} run along the flutes: slit the skin down one. The others run across: "
            "score or crease."
        )
    elif along:
        yield "All scores run along the flutes: slit the skin down one flute."
    elif across:
        yield "All scores run across the flutes: score or crease the skin."


def fold_tray_words(
    tray: Tray, blanks: Sequence[Blank], joins: Sequence[Join], lengths: Lengths
) -> Words:
    west, north, east, south = tray.bounds
    title = f"Fold and tape the tray of {the_level(tray.level)}"
    measure = (
        f"Measure the inside: {lengths(east - west)} by {lengths(south - north)}"
        f"{' over all' if len(tray.rings[0]) > 4 else ''}, walls {lengths(tray.wall_mm)} high."
    )
    if not blanks:
        return Words(
            title,
            (
                "No blank fits the stock sheet: see the note beside the sheet plan, "
                "and make this tray by hand.",
                measure,
            ),
        )
    return Words(
        title,
        (
            "Fold every wall up, away from its score. Lay the corner flaps outside the walls and "
            "tape them from top to bottom.",
            *_flap(tray),
            *_joining(blanks, joins),
            measure,
        ),
    )


def _joining(blanks: Sequence[Blank], joins: Sequence[Join]) -> tuple[str, ...]:
    if not joins:
        return ()
    pieces, seams = counted(len(blanks), "piece"), counted(len(joins), "seam")
    return (
        f"Set the {pieces} together at {seams}: each tab under the next piece, laps outside the "
        "walls. Tape both faces.",
    )


def _flap(tray: Tray) -> tuple[str, ...]:
    if not tray.doorways:
        return ()
    flaps = "each doorway's flap" if len(tray.doorways) > 1 else "the doorway's flap"
    return (f"Fold {flaps} the other way, out and down; its score is on the inner side.",)


def fold_strip_words(name: str, ramp: Ramp, joins: int, lengths: Lengths) -> Words:
    width, length = ramp.strip
    joining = (f"Tape its {counted(joins, 'seam')} on both faces first.",) if joins else ()
    return Words(
        f"Fold the strip of the {name}",
        (
            *joining,
            f"The strip is {lengths(width)} by {lengths(length)}, scored "
            f"{lengths(ramp.strip_side_mm)} from each long edge.",
            "Fold both long edges up, away from their scores.",
            "Open the two holes at its upper end.",
            "Try it in the channel: it lies flat and its edges stand against the sides.",
        ),
    )
