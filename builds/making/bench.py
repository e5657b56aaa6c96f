"""Steps at the bench: all work on loose parts, before anything stands."""

from collections.abc import Iterator

from builds.making import bench_instructions as say
from builds.making import cautions as warn
from builds.making import times, tools
from builds.making.blank import Blank, BlankSet
from builds.making.facts import blank_facts, doorway_place, panel_size_facts, tray_facts
from builds.making.instructions import Lengths
from builds.making.kinds import TIES_AT_OVERLAP
from builds.making.names import doorway_key, level_key, ramp_name
from builds.making.part_names import (
    CONNECTOR,
    DOORWAY_PANEL,
    PLAIN_PANEL,
    PUP_PANEL,
    RAMP_PANEL,
    TIE,
)
from builds.making.parts import PartList
from builds.making.step import Added, Step, Subject, Task, Work
from habitats.structure.ramp import Ramp
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray

SORT = "sort"
MEASURE = "measure"


def bench_steps(
    structure: Structure, blanks: BlankSet, parts: PartList, lengths: Lengths
) -> Iterator[Step]:
    """Sorting and measuring first, then wire, then sheet."""
    yield _sort(parts)
    yield _measure(structure, lengths)
    for index in range(len(structure.ramps)):
        yield _cut_doorway(structure, index, lengths)
        yield _file_doorway(structure, index)
        yield _bend_ramp(structure, index, lengths)
        yield _tie_ramp(structure, index, lengths)
    for index, blank in enumerate(blanks.blanks):
        before = [(one.level, one.ramp) for one in blanks.blanks[:index]]
        piece = before.count((blank.level, blank.ramp))
        yield _cut_blank(blank, index, piece, lengths)
    for tray in structure.trays:
        yield _fold_tray(tray, blanks, lengths)
    for index in range(len(structure.ramps)):
        yield _fold_strip(structure, index, blanks, lengths)


def fold_tray_id(level: int) -> str:
    return f"fold-tray-{level_key(level)}"


def cut_doorway_id(ramp: Ramp) -> str:
    return f"cut-doorway-{doorway_key(ramp)}"


def file_doorway_id(ramp: Ramp) -> str:
    return f"file-doorway-{doorway_key(ramp)}"


def bend_ramp_id(ramp: Ramp) -> str:
    return f"bend-ramp-{doorway_key(ramp)}"


def tie_ramp_id(ramp: Ramp) -> str:
    return f"tie-ramp-{doorway_key(ramp)}"


def fold_strip_id(ramp: Ramp) -> str:
    return f"fold-strip-{doorway_key(ramp)}"


def cut_blank_id(blank: Blank) -> str:
    return cut_step_id(blank.code)


def cut_step_id(code: str) -> str:
    """The step that cuts the blank of this code."""
    return f"cut-blank-{code}"


def _sort(parts: PartList) -> Step:
    kinds = (PLAIN_PANEL, DOORWAY_PANEL, RAMP_PANEL)
    panels = sum(parts.count_of(kind) for kind in kinds)
    pups = parts.count_of(PUP_PANEL)
    connectors, ties = parts.count_of(CONNECTOR), parts.count_of(TIE)
    others = ((PUP_PANEL, pups), (CONNECTOR, connectors), (TIE, ties))
    words = say.sort_words(panels, others)
    return Step(
        id=SORT,
        title=words.title,
        instructions=words.instructions,
        tools=(tools.GLOVES,),
        minutes=times.minutes((1, times.LAYING_OUT), (panels + pups, times.SORTED_PANEL)),
        bench=True,
        facts=(Task.SORT, panels, connectors, ties, *((pups,) if pups else ())),
    )


def _measure(structure: Structure, lengths: Lengths) -> Step:
    panel = structure.design.panel
    words = say.measure_words(panel.size_mm, panel.squares, lengths)
    return Step(
        id=MEASURE,
        title=words.title,
        instructions=words.instructions,
        needs=(SORT,),
        tools=(tools.MEASURE,),
        cautions=(warn.MEASURE.sentence,),
        minutes=times.minutes((1, times.MEASURING)),
        bench=True,
        facts=(Task.MEASURE, panel.size_mm, panel.squares),
    )


def _cut_doorway(structure: Structure, index: int, lengths: Lengths) -> Step:
    ramp = structure.ramps[index]
    words = say.cut_doorway_words(ramp, structure.design.panel.pitch_mm, lengths)
    return Step(
        id=cut_doorway_id(ramp),
        title=words.title,
        instructions=words.instructions,
        needs=(MEASURE,),
        tools=(tools.GLOVES, tools.EYES, tools.CUTTERS, tools.MARKER),
        cautions=(warn.CUT_WIRE.sentence,),
        minutes=times.minutes((1, times.MARKING_A_PANEL), (cut_ends(ramp), times.CUT_WIRE)),
        bench=True,
        subject=Subject(Work.CUT_DOORWAY, index),
        facts=(
            Task.CUT_DOORWAY,
            doorway_place(structure, ramp),
            ramp.side,
            ramp.doorway_squares,
            ramp.bend_squares,
            *panel_size_facts(structure),
        ),
    )


def _file_doorway(structure: Structure, index: int) -> Step:
    ramp = structure.ramps[index]
    ends = cut_ends(ramp)
    words = say.file_doorway_words(ramp, ends)
    return Step(
        id=file_doorway_id(ramp),
        title=words.title,
        instructions=words.instructions,
        needs=(cut_doorway_id(ramp),),
        tools=(tools.GLOVES, tools.EYES, tools.FILE),
        cautions=(warn.WIRE_ENDS.sentence,),
        minutes=times.minutes((ends, times.FILED_WIRE)),
        bench=True,
        subject=Subject(Work.FILE_DOORWAY, index),
        facts=(Task.FILE_DOORWAY, doorway_place(structure, ramp), ramp.side, ramp.doorway_squares),
    )


def cut_ends(ramp: Ramp) -> int:
    """Wire ends left round a doorway's opening, which reaches down through the panel's edge.

    Each wire that crosses the opening leaves an end wherever it meets the opening's border:
    upright wires at the top, level wires, the bottom edge among them, at both sides.
    """
    wide, high = ramp.doorway_squares
    return (wide - 1) + 2 * high


def _bend_ramp(structure: Structure, index: int, lengths: Lengths) -> Step:
    ramp, name = structure.ramps[index], ramp_name(structure, index)
    words = say.bend_words(name, ramp, structure.design.panel.pitch_mm, lengths)
    return Step(
        id=bend_ramp_id(ramp),
        title=words.title,
        instructions=words.instructions,
        needs=(MEASURE,),
        tools=(tools.GLOVES, tools.EYES, tools.BOARD),
        cautions=(warn.BENDING.sentence,),
        minutes=times.minutes((ramp.panels, times.BENT_PANEL)),
        bench=True,
        subject=Subject(Work.BEND_RAMP, index),
        facts=(
            Task.BEND_RAMP,
            doorway_place(structure, ramp),
            ramp.side,
            ramp.panels,
            ramp.bend_squares,
            ramp.channel_squares,
            *panel_size_facts(structure),
        ),
    )


def _tie_ramp(structure: Structure, index: int, lengths: Lengths) -> Step:
    ramp, name = structure.ramps[index], ramp_name(structure, index)
    words = say.tie_ramp_words(name, ramp, structure.design.panel.pitch_mm, lengths)
    overlaps = ramp.panels - 1
    ties = (Added(TIE, TIES_AT_OVERLAP * overlaps),) if overlaps else ()
    return Step(
        id=tie_ramp_id(ramp),
        title=words.title,
        instructions=words.instructions,
        needs=(bend_ramp_id(ramp),),
        adds=(Added(RAMP_PANEL, ramp.panels), *ties),
        tools=(tools.GLOVES, tools.EYES, tools.CUTTERS, tools.MEASURE),
        cautions=(warn.TIE_TAILS.sentence,),
        minutes=times.minutes((ramp.panels, times.JOINED_CHANNEL)),
        bench=True,
        subject=Subject(Work.TIE_RAMP, index),
        facts=(
            Task.TIE_RAMP,
            doorway_place(structure, ramp),
            ramp.side,
            ramp.panels,
            ramp.overlap_squares,
            *panel_size_facts(structure),
        ),
    )


def _cut_blank(blank: Blank, index: int, piece: int, lengths: Lengths) -> Step:
    """``piece`` numbers the blanks of one tray or strip."""
    words = say.cut_blank_words(blank, lengths)
    around_mm = 2 * (blank.width_mm + blank.height_mm)
    scored_mm = sum(abs(s.x2 - s.x1) + abs(s.y2 - s.y1) for s in (*blank.scores, *blank.slits))
    return Step(
        id=cut_blank_id(blank),
        title=words.title,
        instructions=words.instructions,
        needs=(MEASURE,),
        tools=(
            tools.KNIFE,
            tools.STRAIGHTEDGE,
            tools.MAT,
            tools.MEASURE,
            tools.MARKER,
        ),
        cautions=(warn.KNIFE.sentence, *((warn.SCORE.sentence,) if blank.scores else ())),
        minutes=times.minutes(
            (blank.quantity, times.MARKING_A_BLANK),
            (blank.quantity * _metres(around_mm), times.CUT_METRE_OF_SHEET),
            (blank.quantity * _metres(scored_mm), times.SCORED_METRE),
        ),
        bench=True,
        subject=Subject(Work.CUT_BLANK, index),
        facts=(Task.CUT_BLANK, piece, *blank_facts(blank)),
    )


def _metres(mm: int) -> int:
    return -(-mm // 1000)


def _fold_tray(tray: Tray, blanks: BlankSet, lengths: Lengths) -> Step:
    own = [blank for blank in blanks.blanks if blank.level == tray.level]
    joins = [join for join in blanks.joins if join.level == tray.level]
    words = say.fold_tray_words(tray, own, joins, lengths)
    corners = sum(len(ring) for ring in tray.rings)
    return Step(
        id=fold_tray_id(tray.level),
        title=words.title,
        instructions=words.instructions,
        needs=tuple(cut_blank_id(blank) for blank in own) or (MEASURE,),
        adds=tuple(Added(blank.code, blank.quantity) for blank in own),
        tools=(tools.MEASURE,),
        minutes=times.minutes((corners, times.TAPED_CORNER), (len(joins), times.TAPED_JOIN)),
        people=2 if joins else 1,
        bench=True,
        subject=Subject(Work.FOLD_TRAY, tray.level),
        facts=(
            Task.FOLD_TRAY,
            tray.level,
            *tray_facts(tray),
            len(joins),
            tuple(blank_facts(blank) for blank in own),
        ),
    )


def _fold_strip(structure: Structure, index: int, blanks: BlankSet, lengths: Lengths) -> Step:
    ramp, name = structure.ramps[index], ramp_name(structure, index)
    own = [blank for blank in blanks.blanks if blank.ramp == index]
    joins = [join for join in blanks.joins if join.ramp == index]
    words = say.fold_strip_words(name, ramp, len(joins), lengths)
    return Step(
        id=fold_strip_id(ramp),
        title=words.title,
        instructions=words.instructions,
        needs=tuple(cut_blank_id(blank) for blank in own) or (MEASURE,),
        adds=tuple(Added(blank.code, blank.quantity) for blank in own),
        tools=(tools.PEG,),
        minutes=times.minutes((2, times.TAPED_CORNER), (len(joins), times.TAPED_JOIN)),
        bench=True,
        subject=Subject(Work.FOLD_STRIP, index),
        facts=(
            Task.FOLD_STRIP,
            doorway_place(structure, ramp),
            ramp.side,
            ramp.strip,
            ramp.strip_side_mm,
            len(joins),
            len(own),
        ),
    )
