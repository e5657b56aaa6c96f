"""The parts of an alteration as lists: what is new, what serves again, what goes back."""

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace

from builds.making.altering.alteration import Alteration, Counts
from builds.making.altering.counting import PartKind
from builds.making.altering.trays import Fate
from builds.making.blank import BlankSet
from builds.making.blanks import tape_for
from builds.making.part_names import (
    ANCHOR,
    CLIP,
    CONNECTOR,
    DOORWAY_PANEL,
    HAY,
    HIDE,
    PLAIN_PANEL,
    PUP_PANEL,
    RAMP_PANEL,
    TAPE,
    TIE,
    WATER,
)
from builds.making.parts import MM_PER_M, Part, StoredAs, list_parts
from builds.making.step import Added
from builds.making.ties import spare

_CODES = {
    PartKind.PANEL: PLAIN_PANEL,
    PartKind.DOORWAY: DOORWAY_PANEL,
    PartKind.RAMP: RAMP_PANEL,
    PartKind.CONNECTOR: CONNECTOR,
    PartKind.CLIP: CLIP,
    PartKind.ANCHOR: ANCHOR,
    PartKind.PUP: PUP_PANEL,
    PartKind.HIDE: HIDE,
    PartKind.WATER: WATER,
    PartKind.HAY: HAY,
}


_OF_PLAIN = (PartKind.PANEL, PartKind.DOORWAY, PartKind.RAMP, PartKind.PUP)


def new_parts(alteration: Alteration) -> tuple[Added, ...]:
    """What is taken from the store, or bought: panels all as plain ones, then sheet and cloth."""
    new = alteration.new
    counts = (
        (PLAIN_PANEL, sum(new[one] for one in _OF_PLAIN)),
        (CONNECTOR, new[PartKind.CONNECTOR]),
        (TIE, new[PartKind.TIE]),
        (CLIP, new[PartKind.CLIP]),
        (ANCHOR, new[PartKind.ANCHOR]),
    )
    return (
        *(Added(what, count) for what, count in counts if count),
        *new_blanks(alteration),
        *(Added(one.code, 1) for one in alteration.linens.new),
        *(Added(what, count) for what, count in alteration.furniture_new.items()),
    )


def new_blanks(alteration: Alteration) -> Iterator[Added]:
    """Blanks to cut from sheet."""
    levels = {one.level for one in alteration.trays if one.fate is Fate.NEW}
    ramps = set(_new_ramps(alteration))
    for blank in alteration.wanted.blanks.blanks:
        if blank.level in levels or blank.ramp in ramps:
            yield Added(blank.code, blank.quantity)


def new_blank_set(alteration: Alteration) -> BlankSet:
    """All that is cut from new sheet, with its joins, and the tape that the alteration takes."""
    wanted, new = alteration.wanted.blanks, {one.what for one in new_blanks(alteration)}
    return BlankSet(
        blanks=tuple(one for one in wanted.blanks if one.code in new),
        joins=tuple(one for one in wanted.joins if new.issuperset(one.pieces)),
        tape_mm=_tape_mm(alteration),
        unmade=wanted.unmade,
    )


def _new_ramps(alteration: Alteration) -> Iterator[int]:
    old = {*alteration.staying.same_ramps, *alteration.ramps_moved}
    return (one for one in range(len(alteration.wanted.structure.ramps)) if one not in old)


def parts_to_fetch(alteration: Alteration) -> tuple[Part, ...]:
    """What is new as the part list of a new build has it, panels all plain, spares and tape too."""
    blanks, new = alteration.wanted.blanks, {one.what: one for one in new_parts(alteration)}
    side = alteration.target.design.panel.size_mm
    panels = new[PLAIN_PANEL].count if PLAIN_PANEL in new else 0
    others = (
        replace(part, count=new[part.what].count, spare=_spare(part, new[part.what].count))
        for part in list_parts(alteration.target, blanks).parts
        if part.what in new and part.what != PLAIN_PANEL
    )
    parts = (
        Part(PLAIN_PANEL, StoredAs.PANEL, panels, size=(side, side)),
        *others,
        Part(TAPE, StoredAs.SHEET, -(-_tape_mm(alteration) // MM_PER_M), unit="m"),
    )
    return tuple(part for part in parts if part.count)


def _tape_mm(alteration: Alteration) -> int:
    folded = [one.level for one in alteration.trays if one.fate in (Fate.NEW, Fate.CUT_DOWN)]
    ramps, sheet = _new_ramps(alteration), alteration.wanted.sheet
    return tape_for(alteration.target, folded, ramps, sheet)


def _spare(part: Part, count: int) -> int:
    return spare(count) if part.spare else 0


def left_over(alteration: Alteration) -> tuple[Added, ...]:
    """What goes back to the store, without cloth, which is washed first, sheet and ties."""
    return tuple(_named(alteration.left))


def old_blanks(alteration: Alteration) -> Iterator[Added]:
    """Blanks of trays and strips that serve no more."""
    used = {one.old for one in alteration.trays}
    ramps = {*alteration.staying.same_ramps.values(), *alteration.ramps_moved.values()}
    for blank in alteration.standing.blanks.blanks:
        unused_tray = blank.level is not None and blank.level not in used
        if unused_tray or (blank.ramp is not None and blank.ramp not in ramps):
            yield Added(blank.code, blank.quantity)


def again_from(alteration: Alteration, came: Mapping[str, int]) -> tuple[Added, ...]:
    """What of all that came off is used again, put back in its place or elsewhere."""
    gone = Counter(
        {one.what: one.count for one in (*left_over(alteration), *old_blanks(alteration))}
    )
    return tuple(
        Added(what, came.get(what, 0) - gone[what])
        for what in _CODES.values()
        if came.get(what, 0) > gone[what]
    )


def _named(counts: Counts) -> Iterator[Added]:
    yield from (Added(what, counts[kind]) for kind, what in _CODES.items() if counts[kind])
