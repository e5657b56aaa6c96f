"""Putting the packet of an alteration together: the same sections, told of what changes."""

from collections.abc import Iterator
from dataclasses import replace

from builds.drawing.altering import alteration_picture, alteration_step_picture
from builds.making.altering.alteration import Alteration
from builds.making.altering.document import little_kept
from builds.making.altering.lists import again_from, left_over, new_blanks, new_parts
from builds.making.altering.order import Order
from builds.making.altering.taking import came_off
from builds.making.altering.trays import Fate, TrayFate
from builds.making.blank import BlankSet
from builds.making.care import care_sheet, first_use_notes
from builds.making.cautions import general_cautions
from builds.making.inspection import inspection_list
from builds.making.names import TIE, the_level
from builds.making.parts import PartList, list_parts
from builds.making.tools import TOOLS
from builds.packet.assemble import blank_cards, cover_of, plans_of, ramp_card
from builds.packet.ink import inked
from builds.packet.options import Options, Section
from builds.packet.sheet_cards import sheet_cards
from builds.packet.step_cards import cards_of
from builds.packet.step_pages import step_pages
from builds.packet.values import BlankCard, Change, Packet, RampCard, StepPage
from builds.paper import Label
from habitats.printing.qr import qr_picture
from habitats.structure.structure import Structure
from habitats.structure.warnings import warnings_for


def packet_of_alteration(
    alteration: Alteration, order: Order, label: Label, options: Options
) -> Packet:
    """Everything to print to alter what stands; pictures are drawn only for the sections asked."""
    target, blanks = alteration.target, alteration.wanted.blanks
    wanted = options.sections
    new = _to_cut(alteration)
    return Packet(
        label=label,
        options=options,
        qr=qr_picture(label.link, label.code),
        cover=cover_of(target, order.steps, inked(alteration_picture(alteration), options)),
        cautions=general_cautions(target),
        warnings=warnings_for(target, options.lengths),
        plans=plans_of(target, options) if Section.PLANS in wanted else (),
        parts=_parts(target, blanks, order),
        sheets=sheet_cards(new.blanks, options) if Section.SHEETS in wanted else (),
        blanks=(
            blank_cards(blanks, options, only=_shown(alteration))
            if Section.BLANKS in wanted
            else ()
        ),
        unmade=blanks.unmade,
        ramps=tuple(_ramps(alteration, options)) if Section.RAMPS in wanted else (),
        step_pages=_step_pages(alteration, order, options) if Section.STEPS in wanted else (),
        first_use=first_use_notes(target),
        care=care_sheet(),
        inspection=inspection_list(target),
        change=change_of(alteration, order),
    )


def _to_cut(alteration: Alteration) -> BlankSet:
    """The blanks that are cut from new sheet."""
    names = {one.what for one in new_blanks(alteration)}
    blanks = alteration.wanted.blanks
    return BlankSet(
        tuple(one for one in blanks.blanks if one.name in names), blanks.joins, blanks.tape_mm
    )


def _step_pages(alteration: Alteration, order: Order, options: Options) -> tuple[StepPage, ...]:
    def picture(index: int) -> str:
        drawn = alteration_step_picture(alteration, order, index, lengths=options.lengths)
        return inked(drawn, options)

    cards = cards_of(order.steps, picture, options)
    return step_pages(cards, options.steps_a_page, options.paper)


def _blanks(alteration: Alteration, options: Options) -> tuple[BlankCard, ...]:
    return blank_cards(alteration.wanted.blanks, options, only=_shown(alteration))


def _shown(alteration: Alteration) -> frozenset[str]:
    """Names of blanks to show: the new ones, and what an old tray is cut to."""
    cut = {one.level for one in alteration.trays if one.is_cut}
    new = {one.what for one in new_blanks(alteration)}
    return frozenset(
        one.name
        for one in alteration.wanted.blanks.blanks
        if one.name in new or (one.level is not None and one.level in cut)
    )


def _ramps(alteration: Alteration, options: Options) -> Iterator[RampCard]:
    """Those to make; one that stays or serves again is made already."""
    old = {*alteration.stays.same_ramps, *alteration.ramps_moved}
    for index in range(len(alteration.target.ramps)):
        if index not in old:
            yield ramp_card(alteration.target, index, options)


def change_of(alteration: Alteration, order: Order) -> Change:
    """What an alteration takes and gives, for the packet's cover and the page that plans it."""
    came = came_off(one for one in order.steps if one.takes)
    return Change(
        laid=alteration.laying.words,
        sentence=little_kept(alteration),
        new=new_parts(alteration),
        again=again_from(alteration, came),
        back=left_over(alteration),
        ties_cut=came[TIE],
        turned=len(alteration.turns),
        borrowed=len(order.refuge.borrowed) if order.refuge else 0,
        trays=tuple(_tray_words(one) for one in alteration.trays),
        linens=alteration.linens,
    )


def _tray_words(fate: TrayFate) -> tuple[str, str]:
    """The level in words, and what becomes of its tray."""
    old = the_level(fate.old) if fate.old is not None else ""
    more = ", with a doorway more cut into it" if fate.doorways else ""
    told = {
        Fate.KEPT: "stays",
        Fate.DOORWAY: f"stays{more}",
        Fate.MOVED: f"is the old one of {old}{more}",
        Fate.CUT_DOWN: f"is cut down from the old one of {old}",
        Fate.NEW: "is new",
    }
    return the_level(fate.level), told[fate.fate]


def _parts(target: Structure, blanks: BlankSet, order: Order) -> PartList:
    """The target's parts, with the tools that this alteration takes."""
    used = {tool for step in order.steps for tool in step.tools}
    return replace(
        list_parts(target, blanks), tools=tuple(one for one in TOOLS if one.what in used)
    )
