"""The instructions of alteration steps that a new build does not have."""

from collections import Counter
from collections.abc import Mapping, Sequence

from builds.making.bench_instructions import NORTH_ON_THE_FLOOR
from builds.making.instructions import (
    REACH_THE_WALLS,
    TUCK_THE_TOWEL,
    Words,
    by_side,
    sides_words,
)
from builds.making.kinds import KINDS
from builds.making.names import SIDE_WORDS, the_level
from builds.making.part_names import CONNECTOR, DOORWAY_PANEL, PLAIN_PANEL, TIE, counted_part
from builds.making.seats import lettered
from builds.making.step import Added
from habitats.structure.connectors import Turn
from habitats.structure.lattice import Cell, Side
from habitats.wording import counted, joined, listed, message


def _words(title: str, *sentences: str) -> Words:
    """The words of a step; a sentence that is empty has nothing to say."""
    return Words(title, tuple(sentence for sentence in sentences if sentence))


def amounts(parts: Sequence[Added]) -> str:
    """``2 plain panels, 3 connectors and 1 × Ground tray``; for no parts empty."""
    return listed([counted_part(one.count, one.what) for one in parts])


# --- First and last: what is new, and the animals ---


def fetch_words(parts: Sequence[Added], blanks: Sequence[Added], borrowed: int) -> Words:
    """``blanks`` are cut from sheet later: what is fetched for them is the sheet."""
    some = parts or blanks or borrowed
    return _words(
        message("Fetch and count what is new") if some else message("Mark the north side"),
        message("Count out %(parts)s.", parts=amounts(parts)) if parts else "",
        message(
            "Fetch the sheet for %(blanks)s: it is cut in steps of its own. If the pieces are cut "
            "already, fetch those.",
            blanks=amounts(blanks),
        )
        if blanks
        else "",
        ""
        if parts or blanks
        else message("Nothing new is needed: what is taken off serves again."),
        counted(
            "For the time of the work borrow %(count)d plain panel more.",
            "For the time of the work borrow %(count)d plain panels more.",
            borrowed,
        )
        if borrowed
        else "",
        NORTH_ON_THE_FLOOR,
    )


def animals_out_words() -> Words:
    return _words(
        message("Take the animals out"),
        message(
            "Put them, all companions together, into an enclosure or a pen in another room, with "
            "hay, water and a place to hide."
        ),
        message("Close the door. Do not let them back before the inspection is signed."),
    )


def refuge_words(cells: int, side: Side, borrowed: int, standing: int) -> Words:
    return _words(
        message("Close off the part where the animals stay"),
        counted(
            "The %(count)d cell on the %(side)s side stays as it is. Bring the animals there, with "
            "hay, water and a place to hide.",
            "The %(count)d cells on the %(side)s side stay as they are. Bring the animals there, "
            "with hay, water and a place to hide.",
            cells,
            side=SIDE_WORDS[side],
        ),
        _stood_across(borrowed) if borrowed else _closed_by_divider(standing),
        message("Roll the linens of the other part up to it."),
        message(
            "Push it: nothing may move, and no gap may let a head through. If in doubt, take the "
            "animals out instead."
        ),
    )


def _stood_across(borrowed: int) -> str:
    return counted(
        "Stand %(count)d plain panel across, as in the picture, and tie each end to the wire wall "
        "above the tray's edge.",
        "Stand %(count)d plain panels across, as in the picture, and tie each end to the wire wall "
        "above the tray's edge; let them overlap where the tray is narrower.",
        borrowed,
    )


def _closed_by_divider(standing: int) -> str:
    return counted(
        "The divider that stands there (%(count)d panel) closes it.",
        "The divider that stands there (%(count)d panels) closes it.",
        standing,
    )


def animals_back_words(borrowed: int) -> Words:
    return _words(
        message("Let the animals back"),
        message("Only once the inspection list is signed."),
        counted(
            "Cut the ties of the plain panel that stood across, pick up every piece, and lift the "
            "panel out.",
            "Cut the ties of the %(count)d plain panels that stood across, pick up every piece, "
            "and lift the panels out.",
            borrowed,
        )
        if borrowed
        else "",
        message("Stay and watch until they have found food, water and shelter."),
    )


# --- Off ---


def take_cloth_words(linens: Sequence[str]) -> Words:
    return _words(
        message("Take out the linens"),
        message("Take out: %(linens)s.", linens=joined("; ", linens)),
        message("Fold them inward, so that nothing falls out, and put them to the wash."),
    )


def take_panels_words(
    role: str, level: int, removes: Mapping[str, int], sides: Sequence[tuple[Side, int]]
) -> Words:
    title, how = KINDS[role].taking
    title = title.filled(level=the_level(level))
    named = [(SIDE_WORDS[side], count) for side, count in sides]
    kinds = (PLAIN_PANEL, DOORWAY_PANEL)
    panels = listed([counted_part(removes[what], what) for what in kinds if removes.get(what)])
    if len(named) > 1:
        panels = joined(": ", (panels, by_side(named)))
    ties, connectors = removes.get(TIE, 0), removes.get(CONNECTOR, 0)
    return _words(
        joined(": ", (title, sides_words([word for word, _count in named]))) if named else title,
        counted(
            "Cut %(count)d cable tie and pick up every piece.",
            "Cut %(count)d cable ties and pick up every piece.",
            ties,
        )
        if ties
        else "",
        how.filled(panels=panels),
        counted(
            "Take off %(count)d connector: no panel is left there.",
            "Take off %(count)d connectors: no panel is left there.",
            connectors,
        )
        if connectors
        else "",
    )


def take_tray_words(level: int, use: str, *, doorways: int) -> Words:
    return _words(
        message("Lift out the tray of %(level)s", level=the_level(level)),
        message("Fold up the flap that hangs through the doorway.") if doorways else "",
        message("Lift it level, straight up, without bending its folds."),
        joined(" ", (message("Empty and wash it."), use)),
    )


def take_ramp_words(name: str, place: str, ties: int, *, whole: bool) -> Words:
    return _words(
        message("Take off the %(ramp)s (%(doorway)s)", ramp=name, doorway=place),
        counted(
            "One person holds the ramp; the other cuts the %(count)d cable tie at head and foot "
            "and picks up every piece.",
            "One person holds the ramp; the other cuts the %(count)d cable ties at head and foot "
            "and picks up every piece.",
            ties,
        ),
        message("Lift the ramp out together, its upper end first."),
        message("Keep it in one piece, strip and all: it serves again.")
        if whole
        else message("Cut the ties at its overlaps and take the strip out."),
    )


def sort_out_words(
    again: Sequence[Added], left: Sequence[Added], old_blanks: Sequence[Added], ties: int
) -> Words:
    return _words(
        message("Sort what came off"),
        message("Keep here, to use again: %(parts)s.", parts=amounts(again)) if again else "",
        message("Back to the store: %(parts)s.", parts=amounts(left)) if left else "",
        message(
            "Old sheet: %(blanks)s. Cut off the flat pieces that are worth keeping.",
            blanks=amounts(old_blanks),
        )
        if old_blanks
        else "",
        counted(
            "Into the bin: %(count)d cable tie, cut.",
            "Into the bin: %(count)d cable ties, cut.",
            ties,
        )
        if ties
        else "",
        message(
            "Lay bent or rusty panels and cracked connectors aside, and fetch others for them."
        ),
    )


def into_store_words(parts: Sequence[Added], offcuts: Sequence[str]) -> Words:
    return _words(
        message("Count the parts back into the store"),
        message("Back on the shelf: %(parts)s.", parts=amounts(parts)) if parts else "",
        message(
            "Pieces of sheet worth keeping, cut out of the trays: %(pieces)s.",
            pieces=listed(offcuts),
        )
        if offcuts
        else "",
        message("Cut ties and used tape go into the bin. Wash everything that animals touched."),
        message("Lay bent, rusty or cracked parts aside; they are not counted in."),
    )


# --- Ready ---


def turn_words(turned: Sequence[Turn], retied: int, cut: int, *, carries: bool) -> Words:
    return _words(
        _turn_title(len(turned), retied),
        *_turning(turned),
        message("Something rests above: a second person carries it until the connector is back.")
        if carries
        else "",
        counted(
            "Cut %(count)d cable tie round what stays: not wanted there any more.",
            "Cut %(count)d cable ties round what stays: not wanted there any more.",
            cut,
        )
        if cut
        else "",
        counted(
            "Pull tight %(count)d cable tie at the place marked. Trim the tails.",
            "Pull tight %(count)d cable ties at the places marked. Trim the tails.",
            retied,
        )
        if retied
        else "",
    )


def _turn_title(turned: int, retied: int) -> str:
    if turned:
        return counted("Turn %(count)d connector", "Turn %(count)d connectors", turned)
    return message("Tie again") if retied else message("Cut ties")


def _turning(turned: Sequence[Turn]) -> tuple[str, ...]:
    if not turned:
        return ()
    ways = Counter((turn.before, turn.after) for turn in turned)
    each = [
        message(
            "%(count)d from “%(before)s” to “%(after)s”",
            count=count,
            before=lettered(before),
            after=lettered(after),
        )
        for (before, after), count in sorted(ways.items())
    ]
    return (
        message(
            "Take each lettered connector off its panels and put it back another way round, one "
            "after the other: %(ways)s.",
            ways=joined("; ", each),
        ),
        message("Until it is turned, it takes no panel on its smooth side."),
    )


def cut_down_words(
    name: str, old: int, sizes: tuple[str, str], doorways: Sequence[tuple[Cell, Side]]
) -> Words:
    """``old`` is the level whose tray is cut down; ``sizes`` are of its blank and the new one."""
    return _words(
        message("Cut down an old tray: %(name)s", name=name),
        message(
            "Take the old tray of %(level)s. Slit the tape at every corner that changes and lay it "
            "flat, inside up.",
            level=the_level(old),
        ),
        message(
            "Its blank was %(before)s; keep one corner with its two walls and cut it to %(after)s, "
            "as in the picture.",
            before=sizes[0],
            after=sizes[1],
        ),
        message("Slit and score only what is new; old slits and scores serve again."),
        _doorway_cut(doorways),
    )


def cut_doorways_words(level: int, doorways: Sequence[tuple[Cell, Side]], *, lies: bool) -> Words:
    return _words(
        counted(
            "Cut a doorway into the tray of %(level)s",
            "Cut %(count)d doorways into the tray of %(level)s",
            len(doorways),
            level=the_level(level),
        ),
        message(
            "The tray is already in its place. Stand a board against the outside of its wall, and "
            "keep all hands from behind it. Cut from the inside, before the doorway panel goes in."
        )
        if lies
        else message("Cut on the bench, from the inside, with a board outside the tray's wall."),
        _doorway_cut(doorways),
    )


def _doorway_cut(doorways: Sequence[tuple[Cell, Side]]) -> str:
    if not doorways:
        return ""
    places = [
        message(
            "the %(side)s side of %(cell)s",
            side=SIDE_WORDS[side],
            cell=cell.words,
        )
        for cell, side in doorways
    ]
    return message(
        "On %(places)s: mark the opening's width in the middle. Slit the wall at both ends of it, "
        "from the wall's top down to the fold. Score along the fold on the inside, one skin only.",
        places=listed(places),
    )


# --- Back ---


def liners_words(again: Sequence[str], new: Sequence[str], ramps: int) -> Words:
    return _words(
        message("Lay the liners"),
        message("Put back, washed: %(linens)s.", linens=joined("; ", again)) if again else "",
        message("Lay new, washed once: %(linens)s.", linens=joined("; ", new)) if new else "",
        REACH_THE_WALLS,
        TUCK_THE_TOWEL if ramps else "",
    )
