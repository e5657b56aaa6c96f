"""Putting a packet together from a reckoning, its label and the options."""

from collections.abc import Container, Sequence

from builds.drawing.blanks import blank_picture
from builds.drawing.corner import corner_picture
from builds.drawing.panels import panel_bend_picture, panel_cut_picture
from builds.drawing.plan import plan_picture
from builds.drawing.ramps import ramp_picture
from builds.making.blank import Blank, BlankSet, Join
from builds.making.care import care_sheet, first_use_notes
from builds.making.cautions import general_cautions
from builds.making.inspection import inspection_list
from builds.making.names import doorway_name, ramp_name
from builds.making.reckoning import Reckoning
from builds.making.step import Step
from builds.packet.ink import inked
from builds.packet.options import Options, Section
from builds.packet.sheet_cards import sheet_cards
from builds.packet.step_cards import step_cards
from builds.packet.step_pages import step_pages
from builds.packet.values import BlankCard, Cover, Packet, RampCard, SheetCard, StepPage
from builds.paper import Label
from habitats.printing.qr import qr_picture
from habitats.rotation.cloth import before_folding
from habitats.structure.design import Species
from habitats.structure.space import floor_of
from habitats.structure.structure import Structure

SHAPES = ("square", "wide", "tall")
SPECIES_WORDS = {Species.GUINEA_PIG: "guinea pigs", Species.RABBIT: "rabbits"}


def packet_of(reckoning: Reckoning, label: Label, options: Options) -> Packet:
    """Everything to print. Pictures are drawn only for the sections asked for."""
    structure = reckoning.structure
    return Packet(
        label=label,
        options=options,
        qr=qr_picture(label.link, label.code, label.kind),
        cover=_cover(reckoning, options),
        cautions=general_cautions(structure),
        warnings=reckoning.warnings,
        plans=plans_of(structure, options) if Section.PLANS in options.sections else (),
        parts=reckoning.parts,
        sheets=_sheets(reckoning, options) if Section.SHEETS in options.sections else (),
        blanks=blank_cards(reckoning.blanks, options) if Section.BLANKS in options.sections else (),
        unmade=reckoning.blanks.unmade,
        ramps=_ramps(reckoning, options) if Section.RAMPS in options.sections else (),
        step_pages=_step_pages(reckoning, options) if Section.STEPS in options.sections else (),
        first_use=first_use_notes(structure),
        care=care_sheet(),
        inspection=inspection_list(structure),
    )


def _cover(reckoning: Reckoning, options: Options) -> Cover:
    picture = corner_picture(reckoning.structure)
    return cover_of(reckoning.structure, reckoning.steps, inked(picture, options))


def cover_of(structure: Structure, steps: Sequence[Step], picture: str) -> Cover:
    """The cover with its finished picture and the figures of what will stand."""
    floor = floor_of(structure)
    return Cover(
        picture=picture,
        size_mm=_size_over_all(structure),
        ground_mm2=floor.ground_mm2,
        upper_mm2=floor.upper_mm2,
        species=SPECIES_WORDS[structure.design.species],
        bench_minutes=sum(step.minutes for step in steps if step.bench),
        assembly_minutes=sum(step.minutes for step in steps if not step.bench),
        pair_minutes=sum(step.minutes for step in steps if step.people > 1),
    )


def plans_of(structure: Structure, options: Options) -> tuple[str, ...]:
    """One plan a level, from the ground up."""
    return tuple(
        inked(plan_picture(structure, level, lengths=options.lengths), options)
        for level in range(len(structure.design.levels))
    )


def _size_over_all(structure: Structure) -> tuple[int, int, int]:
    """Width, depth and height from joint to joint, guards included."""
    joints = structure.joints
    rows, cols, heights = zip(*joints, strict=True)
    size = structure.design.panel.size_mm
    width, depth = max(cols) - min(cols), max(rows) - min(rows)
    return width * size, depth * size, max(heights) * size


def _sheets(reckoning: Reckoning, options: Options) -> tuple[SheetCard, ...]:
    return sheet_cards(reckoning.blanks.blanks, options)


def _step_pages(reckoning: Reckoning, options: Options) -> tuple[StepPage, ...]:
    cards = step_cards(reckoning, options)
    return step_pages(cards, options.steps_a_page, options.paper)


def _ramps(reckoning: Reckoning, options: Options) -> tuple[RampCard, ...]:
    structure = reckoning.structure
    return tuple(ramp_card(structure, index, options) for index in range(len(structure.ramps)))


def ramp_card(structure: Structure, index: int, options: Options) -> RampCard:
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


def blank_cards(
    blanks: BlankSet, options: Options, *, only: Container[str] | None = None
) -> tuple[BlankCard, ...]:
    """Those of one shape together, so that few pages are left half empty.

    ``only`` names the blanks to show; they keep their numbers among all.
    """
    cards = (
        BlankCard(
            number,
            blank,
            inked(blank_picture(blank, lengths=options.lengths), options),
            _joined_to(blank, blanks.joins),
        )
        for number, blank in enumerate(blanks.blanks, start=1)
        if only is None or blank.name in only
    )
    return tuple(sorted(cards, key=lambda card: SHAPES.index(card.shape)))


def _joined_to(blank: Blank, joins: tuple[Join, ...]) -> tuple[str, ...]:
    """Names of the pieces it is taped to, each once."""
    pairs = [join.pieces for join in joins if blank.name in join.pieces]
    return tuple(sorted({name for pair in pairs for name in pair if name != blank.name}))
