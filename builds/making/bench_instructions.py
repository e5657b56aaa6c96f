"""The instructions of steps at the bench; ``instructions`` has those at the enclosure.

``lengths`` formats whole millimetres for the reader; mesh squares are counted as such.
"""

from collections.abc import Iterator, Sequence

from builds.making.blank import Blank, Flute, Join
from builds.making.instructions import Lengths, Words
from builds.making.kinds import TIES_AT_OVERLAP
from builds.making.names import doorway_name, the_level
from builds.making.part_names import counted_part
from habitats.structure.ramp import Ramp
from habitats.structure.tray import Tray
from habitats.wording import counted, joined, listed, message


def sort_words(panels: int, others: Sequence[tuple[str, int]]) -> Words:
    """All panels in one pile: those to cut and to bend are still plain ones. ``others``: how many
    of each other part.
    """
    piles = (
        counted("%(count)d panel", "%(count)d panels", panels),
        *(counted_part(count, what) for what, count in others if count),
    )
    return Words(
        message("Sort and count the parts"),
        (
            message("Count out %(parts)s.", parts=listed(piles)),
            message("Lay bent or rusty panels aside."),
            message("Tick each line of the part list."),
            NORTH_ON_THE_FLOOR,
        ),
    )


NORTH_ON_THE_FLOOR = message(
    "Mark the north side with a strip of tape on the floor, as on the plan: the steps and "
    "their pictures tell sides by it."
)


def measure_words(size_mm: int, squares: int, lengths: Lengths) -> Words:
    return Words(
        message("Measure one panel"),
        (
            message(
                "Join two panels with connectors and measure from the middle of one joint to the "
                "middle of the next."
            ),
            message(
                "It must be %(size)s; a panel has %(squares)d squares a side.",
                size=lengths(size_mm),
                squares=squares,
            ),
            message(
                "If it is not, stop: enter your size in the design and print the packet again."
            ),
        ),
    )


def _squares(count: int) -> str:
    return counted("%(count)d square", "%(count)d squares", count)


def cut_doorway_words(ramp: Ramp, pitch_mm: float, lengths: Lengths) -> Words:
    wide, high = ramp.doorway_squares
    doorway = doorway_name(ramp)
    return Words(
        message("Cut the doorway panel (%(doorway)s)", doorway=doorway),
        (
            message(
                "On one plain panel mark the opening: %(wide)s wide and %(high)s high, up from the "
                "bottom wire (%(width)s by %(height)s). Leave %(inset)s on either side of it.",
                wide=_squares(wide),
                inset=_squares(ramp.bend_squares),
                high=_squares(high),
                width=lengths(round(wide * pitch_mm)),
                height=lengths(round(high * pitch_mm)),
            ),
            message("Cut each wire close to the edge of the opening, so that no end stands out."),
            message("Label the panel: doorway, %(doorway)s.", doorway=doorway),
        ),
    )


def file_doorway_words(ramp: Ramp, ends: int) -> Words:
    return Words(
        message("File the doorway panel (%(doorway)s)", doorway=doorway_name(ramp)),
        (
            message("File every cut end round and smooth: %(ends)d in all.", ends=ends),
            message("Run a gloved finger round the whole opening; file again what catches."),
            message("Wipe off all filings."),
        ),
    )


def bend_words(name: str, ramp: Ramp, pitch_mm: float, lengths: Lengths) -> Words:
    return Words(
        message("Bend the panels of the %(ramp)s", ramp=name),
        (
            counted(
                "Take %(count)d plain panel.",
                "Take %(count)d plain panels and do the same with each.",
                ramp.panels,
            ),
            counted(
                "Clamp it under the board along the wire %(count)d square from one side, and "
                "bend that side up to a right angle.",
                "Clamp it under the board along the wire %(count)d squares from one side, and "
                "bend that side up to a right angle.",
                ramp.bend_squares,
            ),
            message("Do the same at the opposite side."),
            counted(
                "You get a channel %(count)d square (%(width)s) wide.",
                "You get a channel %(count)d squares (%(width)s) wide.",
                ramp.channel_squares,
                width=lengths(round(ramp.channel_squares * pitch_mm)),
            ),
        ),
    )


def tie_ramp_words(name: str, ramp: Ramp, pitch_mm: float, lengths: Lengths) -> Words:
    length = lengths(round(ramp.length_mm))
    if ramp.panels == 1:
        return Words(
            message("Check the %(ramp)s", ramp=name),
            (
                message("The %(ramp)s is one channel, %(length)s long.", ramp=name, length=length),
                message("Press any wire end flat."),
            ),
        )
    return Words(
        message("Tie the panels of the %(ramp)s together", ramp=name),
        (
            message(
                "Lay the %(panels)d channels in a row, each %(squares)s (%(overlap)s) over the "
                "next, the upper one on top.",
                panels=ramp.panels,
                squares=_squares(ramp.overlap_squares),
                overlap=lengths(round(ramp.overlap_squares * pitch_mm)),
            ),
            message(
                "At each overlap pull tight %(each)d cable ties: two through the bottom, one in "
                "each side; %(ties)d in all, heads and tails underneath.",
                each=TIES_AT_OVERLAP,
                ties=TIES_AT_OVERLAP * (ramp.panels - 1),
            ),
            message("Measure it: %(length)s from end to end.", length=length),
        ),
    )


def cut_blank_words(blank: Blank, lengths: Lengths) -> Words:
    cut = counted(
        "Cut the piece from sheet: %(width)s by %(height)s.",
        "Cut %(count)d pieces from sheet: %(width)s by %(height)s.",
        blank.quantity,
        width=lengths(blank.width_mm),
        height=lengths(blank.height_mm),
    )
    name = message("Write on it: %(name)s.", name=blank.name)
    return Words(
        message("Cut the blank: %(name)s", name=blank.name),
        (
            joined(" ", (cut, _flutes(blank, lengths), name)),
            joined(" ", (_FROM_THE_DRAWING, _outline(blank))),
            *_scores(blank),
        ),
    )


_FROM_THE_DRAWING = message(
    "Mark its lines from the top left corner; the drawing shows the inner side."
)


def _outline(blank: Blank) -> str:
    if not blank.slits:
        return message("Cut the outline.")
    return counted(
        "Cut the outline, then %(count)d slit through.",
        "Cut the outline, then %(count)d slits through.",
        len(blank.slits),
    )


def _flutes(blank: Blank, lengths: Lengths) -> str:
    flute = blank.settled_flute
    if flute is None:
        return message("Flutes as on the sheet plan.")
    if blank.width_mm == blank.height_mm:
        return message("Flutes as on the drawing.")
    side = blank.width_mm if flute is Flute.WIDTH else blank.height_mm
    return message("Flutes along the %(length)s side.", length=lengths(side))


def _scores(blank: Blank) -> Iterator[str]:
    near = len(blank.flap_scores)
    if near:
        yield counted(
            "On this side cut only %(count)d score: where a doorway's flap folds.",
            "On this side cut only %(count)d scores: where a doorway's flap folds.",
            near,
        )
    if others := len(blank.scores) - near:
        yield counted(
            "Turn it over: the drawing is now as in a mirror. Cut %(count)d score.",
            "Turn it over: the drawing is now as in a mirror. Cut %(count)d scores.",
            others,
        )
    yield from _folding(blank)


def _folding(blank: Blank) -> Iterator[str]:
    """How each score is made, by how it lies to the flutes of the piece as it is cut."""
    flute = blank.settled_flute
    if blank.scores and flute is None:
        yield message(
            "Along the flutes slit the skin down one flute; across them score or crease it."
        )
        return
    level = sum(one.y1 == one.y2 for one in blank.scores)
    upright = len(blank.scores) - level
    along, across = (level, upright) if flute is Flute.WIDTH else (upright, level)
    if along and across:
        yield _ALONG_LEVEL if flute is Flute.WIDTH else _ALONG_UPRIGHT
    elif along:
        yield message("All scores run along the flutes: slit the skin down one flute.")
    elif across:
        yield message("All scores run across the flutes: score or crease the skin.")


_ALONG_LEVEL = message(
    "Scores left to right run along the flutes: slit the skin down one. The others run across: "
    "score or crease."
)
_ALONG_UPRIGHT = message(
    "Scores top to bottom run along the flutes: slit the skin down one. The others run across: "
    "score or crease."
)


def fold_tray_words(
    tray: Tray, blanks: Sequence[Blank], joins: Sequence[Join], lengths: Lengths
) -> Words:
    title = message("Fold and tape the tray of %(level)s", level=the_level(tray.level))
    if not blanks:
        return Words(title, (_BY_HAND, _inside(tray, lengths)))
    return Words(
        title,
        (
            message(
                "Fold every wall up, away from its score. Lay the corner flaps outside the walls "
                "and tape them from top to bottom."
            ),
            *_flap(tray),
            *_joining(blanks, joins),
            _inside(tray, lengths),
        ),
    )


_BY_HAND = message(
    "No blank fits the stock sheet: see the note beside the sheet plan, and make this tray by hand."
)


def _inside(tray: Tray, lengths: Lengths) -> str:
    west, north, east, south = tray.bounds
    sizes = {
        "width": lengths(east - west),
        "depth": lengths(south - north),
        "wall": lengths(tray.wall_mm),
    }
    if len(tray.rings[0]) > 4:
        return message(
            "Measure the inside: %(width)s by %(depth)s over all, walls %(wall)s high.", **sizes
        )
    return message("Measure the inside: %(width)s by %(depth)s, walls %(wall)s high.", **sizes)


def _joining(blanks: Sequence[Blank], joins: Sequence[Join]) -> tuple[str, ...]:
    if not joins:
        return ()
    return (
        counted(
            "Set the %(pieces)d pieces together at %(count)d seam: each tab under the next piece, "
            "laps outside the walls. Tape both faces.",
            "Set the %(pieces)d pieces together at %(count)d seams: each tab under the next piece, "
            "laps outside the walls. Tape both faces.",
            len(joins),
            pieces=len(blanks),
        ),
    )


def _flap(tray: Tray) -> tuple[str, ...]:
    if not tray.doorways:
        return ()
    return (
        counted(
            "Fold the doorway's flap the other way, out and down; its score is on the inner side.",
            "Fold each doorway's flap the other way, out and down; its score is on the inner side.",
            len(tray.doorways),
        ),
    )


def fold_strip_words(name: str, ramp: Ramp, joins: int, lengths: Lengths) -> Words:
    width, length = ramp.strip
    joining = counted(
        "Tape its %(count)d seam on both faces first.",
        "Tape its %(count)d seams on both faces first.",
        joins,
    )
    return Words(
        message("Fold the strip of the %(ramp)s", ramp=name),
        (
            *((joining,) if joins else ()),
            message(
                "The strip is %(width)s by %(length)s, scored %(edge)s from each long edge.",
                width=lengths(width),
                length=lengths(length),
                edge=lengths(ramp.strip_side_mm),
            ),
            message("Fold both long edges up, away from their scores."),
            message("Open the two holes at its upper end."),
            message("Try it in the channel: it lies flat and its edges stand against the sides."),
        ),
    )
