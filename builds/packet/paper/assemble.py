"""Putting a packet together from its source, its label and the options."""

from dataclasses import replace
from functools import cache
from typing import NamedTuple

from builds.common.paper import Label
from builds.drawing.blanks import blank_picture, printed_step_picture, turned_picture
from builds.drawing.panels import panel_bend_picture, panel_cut_picture
from builds.drawing.plan import plan_picture
from builds.drawing.plan_legend import PlanSign, plan_legend
from builds.drawing.ramps import ramp_picture
from builds.drawing.steps import step_title
from builds.making.blank import Blank, Join
from builds.making.care import care_sheet, first_use_notes
from builds.making.cautions import general_cautions
from builds.making.inspection import inspection_list
from builds.making.lying import is_same_turned
from builds.making.names import doorway_name, ramp_name
from builds.making.part_names import part_name
from builds.making.repeats import ToldStep, repeats_in
from builds.making.step import Step, Task, Work
from builds.packet.paper.glossary import glossary_of
from builds.packet.paper.ink import inked
from builds.packet.paper.options import Options, Section
from builds.packet.paper.sheet_cards import sheet_cards
from builds.packet.paper.source import PacketSource
from builds.packet.paper.step_pages import work_pages
from builds.packet.paper.values import (
    BlankCard,
    Cover,
    Packet,
    PieceOfWork,
    PlanCard,
    RampCard,
    SheetCard,
    StepCard,
)
from builds.packet.paper.work import blocks_of, chapters_of
from habitats.common.qr import qr_picture
from habitats.rotation.cloth import before_folding
from habitats.structure.design import Species
from habitats.structure.space import floor_of
from habitats.structure.structure import Structure
from habitats.structure.warnings import warnings_for
from habitats.wording import counted, message

SHAPES = ("square", "wide", "tall")
# Sections that steps send the reader to.
SEEN = {
    Section.PARTS: frozenset((Task.SORT, Task.FETCH, Task.SORT_OUT)),
    Section.INSPECTION: frozenset((Task.INSPECT,)),
}
SPECIES_WORDS = {
    Species.GUINEA_PIG: message("guinea pigs"),
    Species.RABBIT: message("rabbits"),
}


def packet_of(source: PacketSource, label: Label, options: Options) -> Packet:
    """Everything to print. Pictures are drawn only for the sections asked for."""
    packet = _without_glossary(source, label, options)
    if Section.GLOSSARY not in options.sections:
        return packet
    return replace(packet, glossary=glossary_of(packet))


def _without_glossary(source: PacketSource, label: Label, options: Options) -> Packet:
    structure, wanted = source.structure, options.sections
    sheets = _sheet_cards(source, options) if Section.SHEETS in wanted else ()
    plans = _plans(structure, options) if Section.PLANS in wanted else ()
    blanks = _blank_cards(source, options) if Section.BLANKS in wanted else ()
    ramps = _ramp_cards(source, options) if Section.RAMPS in wanted else ()
    chapters: tuple[PieceOfWork, ...] = ()
    if Section.STEPS in wanted:
        cards = _step_cards(source, options, _Beside(sheets, blanks, ramps))
        chapters = chapters_of(cards, altering=source.change is not None)
    return Packet(
        label=label,
        options=options,
        qr=qr_picture(label.link, label.code, label.kind),
        cover=_cover(source, options),
        cautions=general_cautions(structure, altering=_moves_animals(source)),
        warnings=warnings_for(structure, options.lengths),
        plans=plans,
        parts=source.parts,
        sheets=sheets,
        blanks=blanks,
        unmade=source.blanks.unmade,
        ramps=ramps,
        chapters=chapters,
        work_pages=work_pages(
            [*blocks_of(chapters, sheets, plans)], options.steps_a_page, options.paper
        ),
        first_use=first_use_notes(structure),
        care=care_sheet(),
        inspection=inspection_list(structure),
        change=source.change,
        sheet_plan=source.in_plan.code if source.in_plan else "",
    )


def _sheet_cards(source: PacketSource, options: Options) -> tuple[SheetCard, ...]:
    """Pieces have the numbers of their blanks' cards, so that each has one in the whole packet.

    None where a plan of a batch cuts them: that is printed by itself.
    """
    if source.in_plan:
        return ()
    numbers = {blank.code: number for number, blank in enumerate(source.blanks.blanks, start=1)}
    return sheet_cards(source.to_cut, source.sheet, numbers, options)


def _moves_animals(source: PacketSource) -> bool:
    """Whether animals live in it, and may not stay where they are."""
    return source.change is not None and not source.change.beside


def _cover(source: PacketSource, options: Options) -> Cover:
    """The figures of what will stand, and its picture, which is drawn when somebody asks."""
    floor, steps = floor_of(source.structure), source.steps
    return Cover(
        draw=cache(lambda: inked(source.overview(), options)),
        size_mm=_size_over_all(source.structure),
        ground_mm2=floor.ground_mm2,
        upper_mm2=floor.upper_mm2,
        species=SPECIES_WORDS[source.structure.design.species],
        bench_minutes=sum(step.minutes for step in steps if step.bench),
        assembly_minutes=sum(step.minutes for step in steps if not step.bench),
        pair_minutes=sum(step.minutes for step in steps if step.people > 1),
    )


def _plans(structure: Structure, options: Options) -> tuple[PlanCard, ...]:
    """One plan a level, from the ground up."""
    return tuple(
        PlanCard(
            level,
            inked(plan_picture(structure, level, lengths=options.lengths), options),
            tuple(
                PlanSign(inked(one.picture, options), one.words)
                for one in plan_legend(structure, level)
            ),
        )
        for level in range(len(structure.design.levels))
    )


def _size_over_all(structure: Structure) -> tuple[int, int, int]:
    """Width, depth and height from joint to joint, guards included."""
    joints = structure.joints
    rows, cols, heights = zip(*joints, strict=True)
    size = structure.design.panel.size_mm
    width, depth = max(cols) - min(cols), max(rows) - min(rows)
    return width * size, depth * size, max(heights) * size


class _Beside(NamedTuple):
    """What stands beside the steps that need it."""

    sheets: tuple[SheetCard, ...]
    blanks: tuple[BlankCard, ...]
    ramps: tuple[RampCard, ...]


def _step_cards(source: PacketSource, options: Options, beside: _Beside) -> tuple[StepCard, ...]:
    numbers = {step.id: number for number, step in enumerate(source.steps, start=1)}
    blanks = {card.number: card for card in beside.blanks}
    # None is beside where ramps are not printed.
    ramps = dict(zip(source.ramps, beside.ramps, strict=False))
    seen = options.sections & SEEN.keys()
    repeats = repeats_in([ToldStep(step.facts, step.instructions) for step in source.steps])

    def card(index: int, step: Step) -> StepCard:
        blank = blanks.get(_blank_of(step))
        return StepCard(
            number=index + 1,
            step=step,
            needs=tuple(sorted(numbers[need] for need in step.needs)),
            picture=inked(_step_picture(source, index, blank, options), options),
            told=repeats.told(index + 1, step.instructions),
            blank=blank,
            sheets=tuple(one.number for one in beside.sheets if blank and one.holds(blank.name)),
            in_plan=_words_in_plan(source, blank),
            ramp=next((ramps[one] for one in step.ramps if one in ramps), None),
            see=next((one for one in seen if step.task in SEEN[one]), None),
        )

    return tuple(card(index, step) for index, step in enumerate(source.steps))


def _words_in_plan(source: PacketSource, card: BlankCard | None) -> str:
    """Where the sheet plan of a batch has the piece; empty where none cuts it."""
    if card is None or source.in_plan is None or card.blank.code not in source.in_plan.pieces:
        return ""
    piece = source.in_plan.pieces[card.blank.code]
    return counted(
        "Piece %(piece)d: cut by the sheet plan %(plan)s, where it is %(there)s on sheet "
        "%(sheets)s.",
        "Piece %(piece)d: cut by the sheet plan %(plan)s, where it is %(there)s on sheets "
        "%(sheets)s.",
        len(piece.sheets),
        piece=card.number,
        plan=source.in_plan.code,
        there=piece.number,
        sheets=", ".join(map(str, piece.sheets)),
    )


def _step_picture(
    source: PacketSource, index: int, card: BlankCard | None, options: Options
) -> str:
    if card is None:
        return source.draw_step(index, options.lengths)
    title = step_title(source.steps[index], index)
    return printed_step_picture(card.blank, title, lengths=options.lengths)


def _blank_of(step: Step) -> int:
    """The number of the blank that a step cuts, 0 if it cuts none."""
    subject = step.subject
    return subject.index + 1 if subject and subject.work is Work.CUT_BLANK else 0


def _ramp_cards(source: PacketSource, options: Options) -> tuple[RampCard, ...]:
    return tuple(_ramp_card(source.structure, index, options) for index in source.ramps)


def _ramp_card(structure: Structure, index: int, options: Options) -> RampCard:
    ramp, panel = structure.ramps[index], structure.design.panel
    side, cut, bend = (
        inked(draw(ramp, panel, lengths=options.lengths), options)
        for draw in (ramp_picture, panel_cut_picture, panel_bend_picture)
    )
    return RampCard(
        name=ramp_name(structure, index),
        place=doorway_name(ramp),
        ramp=ramp,
        side_picture=side,
        cut_picture=cut,
        bend_picture=bend,
        towel_cut=before_folding(ramp),
    )


def _blank_cards(source: PacketSource, options: Options) -> tuple[BlankCard, ...]:
    """Those of one shape together, so that few pages are left half empty.

    They are numbered among all blanks, whichever are shown.
    """
    cards = (
        BlankCard(
            number,
            blank,
            _drawn_alone(blank, options),
            _joined_to(blank, source.blanks.joins),
            _turned(blank, options),
        )
        for number, blank in enumerate(source.blanks.blanks, start=1)
        if blank.code in source.shown
    )
    return tuple(sorted(cards, key=lambda card: SHAPES.index(card.shape)))


def _drawn_alone(blank: Blank, options: Options) -> str:
    """Where no step shows the piece with its measures."""
    if Section.STEPS in options.sections:
        return ""
    return inked(blank_picture(blank, lengths=options.lengths), options)


def _turned(blank: Blank, options: Options) -> str:
    """The blank turned over, where the step turns it and it does not look the same then."""
    if is_same_turned(blank):
        return ""
    return inked(turned_picture(blank, lengths=options.lengths), options)


def _joined_to(blank: Blank, joins: tuple[Join, ...]) -> tuple[str, ...]:
    """Names of the pieces it is taped to, each once."""
    pairs = [join.pieces for join in joins if blank.code in join.pieces]
    others = sorted({code for pair in pairs for code in pair if code != blank.code})
    return tuple(map(part_name, others))
