"""The packet of an alteration: the same sections, told of what changes."""

from dataclasses import replace
from functools import cache

from builds.drawing.altering import (
    alteration_picture,
    alteration_step_picture,
    alteration_views,
)
from builds.drawing.dimension import Lengths
from builds.making.altering.alteration import Alteration
from builds.making.altering.document import little_kept
from builds.making.altering.kept import turned_in_place
from builds.making.altering.lists import (
    again_from,
    left_over,
    new_blanks,
    old_blanks,
    parts_to_fetch,
)
from builds.making.altering.order import Order
from builds.making.altering.taking import came_off
from builds.making.altering.trays import Fate, TrayFate
from builds.making.names import the_level
from builds.making.part_names import TIE
from builds.making.parts import PartList, list_parts
from builds.making.tools import TOOLS
from builds.packet.paper.source import PacketSource
from builds.packet.paper.values import AlterationSheet
from habitats.wording import message


def source_of_alteration(alteration: Alteration, order: Order) -> PacketSource:
    """What an alteration makes; what stays or serves again is made already."""
    blanks = alteration.wanted.blanks
    new = frozenset(one.what for one in new_blanks(alteration))
    made = {*alteration.staying.same_ramps, *alteration.ramps_moved}

    views = cache(lambda: alteration_views(alteration, order))

    def draw_step(index: int, lengths: Lengths) -> str:
        return alteration_step_picture(alteration, order, index, lengths=lengths, views=views())

    return PacketSource(
        structure=alteration.target,
        steps=order.steps,
        parts=_parts(alteration, order),
        blanks=blanks,
        to_cut=tuple(one for one in blanks.blanks if one.code in new),
        sheet=alteration.wanted.sheet,
        shown=new | _cut_from_old(alteration),
        ramps=[one for one in range(len(alteration.target.ramps)) if one not in made],
        overview=lambda: alteration_picture(alteration),
        draw_step=draw_step,
        change=change_of(alteration, order),
    )


def _parts(alteration: Alteration, order: Order) -> PartList:
    """The target's parts, with the tools that this alteration takes."""
    used = {tool.code for step in order.steps for tool in step.tools}
    parts = list_parts(alteration.target, alteration.wanted.blanks)
    return replace(parts, tools=tuple(one for one in TOOLS if one.code in used))


def _cut_from_old(alteration: Alteration) -> frozenset[str]:
    """Codes of the blanks that an old tray is cut to."""
    cut = {one.level for one in alteration.trays if one.is_cut}
    return frozenset(
        one.code
        for one in alteration.wanted.blanks.blanks
        if one.level is not None and one.level in cut
    )


def change_of(alteration: Alteration, order: Order) -> AlterationSheet:
    """What an alteration takes and gives, for the packet's cover and the page that plans it."""
    came = came_off(one for one in order.steps if one.takes)
    return AlterationSheet(
        laid=alteration.laying.words,
        sentence=little_kept(alteration),
        new=parts_to_fetch(alteration),
        again=again_from(alteration, came),
        back=left_over(alteration),
        old_sheet=tuple(old_blanks(alteration)),
        ties_cut=came[TIE],
        turned=len(turned_in_place(alteration)),
        borrowed=len(order.refuge.borrowed) if order.refuge else 0,
        beside=order.beside,
        trays=tuple(_tray_words(one) for one in alteration.trays),
        linens=alteration.linens,
    )


def _tray_words(fate: TrayFate) -> tuple[str, str]:
    """The tray of a level, and what becomes of it."""
    name = message("tray of %(level)s", level=the_level(fate.level))
    return name, _FATES[fate.fate, bool(fate.doorways)].filled(
        old="" if fate.old is None else the_level(fate.old)
    )


# By what becomes of it, and whether a doorway is cut into it.
_FATES = {
    (Fate.KEPT, False): message("stays"),
    (Fate.DOORWAY, True): message("stays, with one more doorway cut into it"),
    (Fate.MOVED, False): message("is the old one of %(old)s"),
    (Fate.MOVED, True): message("is the old one of %(old)s, with one more doorway cut into it"),
    (Fate.CUT_DOWN, False): message("is cut down from the old one of %(old)s"),
    (Fate.CUT_DOWN, True): message("is cut down from the old one of %(old)s"),
    (Fate.NEW, False): message("is new"),
}
