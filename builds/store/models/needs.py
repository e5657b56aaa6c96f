"""What a structure takes from the store: its parts as items, and what the store has no item for.

Spares are part of what is taken, since consumables break; they are told apart. Sheets are reckoned
build by build with a bounded search: a cutting plan of several builds may take fewer.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache, partial
from typing import NamedTuple

from builds.buying.rolls import roll_length
from builds.common.reckonings import WhatStands, draft_alteration
from builds.making.altering.lists import new_blanks, parts_to_fetch
from builds.making.blank import STOCK_SHEET, SheetSize
from builds.making.blanks import make_blanks
from builds.making.part_names import ANCHOR, CLIP, CONNECTOR, HAY, HIDE, TAPE, TIE, WATER
from builds.making.parts import Part, PartList, StoredAs, list_parts
from builds.sheets import WORK, sheet_plan
from builds.store.models.items import Item
from builds.store.models.sheets import SheetKind, usual_kinds
from habitats import measures
from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import structure_of
from habitats.structure.design import Design as Shape
from habitats.structure.design import PanelSize
from habitats.structure.faults import BadDesign
from habitats.structure.structure import Structure
from habitats.wording import counted, joined, message

MM_PER_M = 1000
# For a figure beside a drawing, which changes with each line: some hundredths of a second.
QUICK = WORK // 100
ITEM_KINDS = {
    CONNECTOR: Item.Kind.CONNECTOR,
    TIE: Item.Kind.TIE,
    CLIP: Item.Kind.CLIP,
    ANCHOR: Item.Kind.ANCHOR,
    TAPE: Item.Kind.TAPE,
    HIDE: Item.Kind.HIDE,
    WATER: Item.Kind.WATER,
    HAY: Item.Kind.HAY,
}


@dataclass(frozen=True, slots=True)
class Need:
    """So many of an item go in, and ``spare`` on top."""

    item: Item
    count: int
    spare: int = 0

    @property
    def total(self) -> int:
        return self.count + self.spare


class Needs(NamedTuple):
    """``lines`` one an item, in the order of the part list; ``missing``: what has no item, a
    sentence each."""

    lines: tuple[Need, ...] = ()
    missing: tuple[str, ...] = ()

    def of(self, item: Item) -> int:
        """How many of the item, spares included; 0 if none."""
        return next((one.total for one in self.lines if one.item == item), 0)


class CannotMake(Exception):
    """The design can no longer be made with the limits of this server."""


def items_of(
    what: Structure | DesignRevision,
    shelf: "Shelf | None" = None,
    *,
    sheet: SheetSize | None = None,
) -> Needs:
    """What one build of it takes. Of items that serve alike, the oldest in use is taken.

    ``shelf``: the items in use, where they are asked for already. ``sheet``: what its pieces are
    made for; None: the stock sheet. Raises ``CannotMake`` for a revision that cannot be raised.
    """
    structure = what if isinstance(what, Structure) else _raised(what)
    shelf = shelf or Shelf()
    kind, count = shelf.sheets(structure, sheet)
    parts = _parts_of(structure.design, sheet or _size_or_trade(kind))
    found = [
        shelf.panels(
            structure.design.panel, sum(part.count for part in parts.of_kind(StoredAs.PANEL))
        ),
        *(shelf.small(part) for part in parts.parts if part.what in ITEM_KINDS),
        _sheet_need(kind, count, _count_blanks(parts.of_kind(StoredAs.SHEET))),
        shelf.cloth(parts.of_kind(StoredAs.CLOTH)),
    ]
    return _needs(found)


def items_of_alteration(
    stands: WhatStands,
    shape: Shape,
    shelf: "Shelf | None" = None,
    *,
    sheet: SheetSize | None = None,
) -> Needs:
    """What it takes to alter what stands into the shape: what comes off serves again first.

    ``sheet``: as in ``items_of``. Raises ``BadDesign`` where the two do not go together.
    """
    shelf = shelf or Shelf()
    laid = _laid(stands, shape)
    kind, count = shelf.sheets_to_alter(laid, shape, sheet)
    parts = parts_to_fetch(draft_alteration(laid, shape, sheet or _size_or_trade(kind)))
    panels = sum(one.count for one in parts if one.kind is StoredAs.PANEL)
    return _needs(
        [
            shelf.panels(shape.panel, panels) if panels else None,
            *(shelf.small(part) for part in parts if part.what in ITEM_KINDS),
            _sheet_need(kind, count, _count_blanks(parts)),
            shelf.cloth(one for one in parts if one.kind is StoredAs.CLOTH),
        ]
    )


def stock_sheet(
    shape: Shape, stands: WhatStands | None = None, shelf: "Shelf | None" = None
) -> SheetSize:
    """The measures of the kind of sheet that is cheapest for a shape that stands, or to alter what
    ``stands`` into it; the trade's where the store has none that will do.

    What takes no new sheet keeps that of which it was made.
    """
    shelf = shelf or Shelf(QUICK)
    if stands is None:
        structure = structure_of(shape)
        return _size_or_trade(shelf.sheets(structure)[0]) if structure else STOCK_SHEET
    try:
        kind, count = shelf.sheets_to_alter(_laid(stands, shape), shape)
    except BadDesign:  # whoever lays one over the other says so, with every reason
        return STOCK_SHEET
    return _size(kind) if kind and count else stands.sheet


def stock_sheet_told(
    sender: object, shape: Shape, stands: WhatStands | None, **_facts: object
) -> SheetSize:
    """The answer to ``stock_sheet_asked``."""
    return stock_sheet(shape, stands)


def items_of_parts(panel: PanelSize, parts: Iterable[Part], shelf: "Shelf | None" = None) -> Needs:
    """What these parts are in the store: panels of this measure, fastenings and tape."""
    shelf = shelf or Shelf()
    return _needs(
        shelf.panels(panel, part.count) if part.kind is StoredAs.PANEL else shelf.small(part)
        for part in parts
    )


def all_needs(several: Iterable[tuple[Needs, int]]) -> Needs:
    """Needs, each so many times, as one."""
    lines: dict[Item, Need] = {}
    missing: dict[str, None] = {}
    for needs, times in several:
        missing |= dict.fromkeys(needs.missing)
        for one in needs.lines:
            before = lines.get(one.item, Need(one.item, 0))
            lines[one.item] = Need(
                one.item, before.count + times * one.count, before.spare + times * one.spare
            )
    return Needs(tuple(lines.values()), tuple(missing))


class Shelf:
    """The items in use, asked for once, and not before they are wanted.

    ``work``: how long sheet plans are searched for; with ``QUICK`` they may take a sheet more.
    """

    def __init__(self, work: int = WORK) -> None:
        self.work = work

    @cached_property
    def items(self) -> list[Item]:
        return list(Item.objects.live().order_by("pk"))

    @cached_property
    def kinds(self) -> list[SheetKind]:
        return list(SheetKind.objects.live().with_on_hand().select_related("item").by_size())

    def first(self, **facts: object) -> Item | None:
        return next(
            (one for one in self.items if all(getattr(one, k) == v for k, v in facts.items())),
            None,
        )

    def panels(self, panel: PanelSize, count: int) -> Need | str:
        """Doorway panels are cut and ramp panels bent from plain ones: all are one item."""
        item = self.first(kind=Item.Kind.PANEL, panel_mm=panel.size_mm, panel_squares=panel.squares)
        return (
            Need(item, count)
            if item
            else counted(
                "%(count)d panel of %(size)d mm with %(squares)d squares per side",
                "%(count)d panels of %(size)d mm with %(squares)d squares per side",
                count,
                size=panel.size_mm,
                squares=panel.squares,
            )
        )

    def small(self, part: Part) -> Need | str:
        item = self.first(kind=ITEM_KINDS[part.what])
        words = joined(" ", [str(part.count + part.spare), part.unit or "×", part.name])
        return Need(item, part.count, part.spare) if item else words

    def sheets(
        self, structure: Structure, made_for: SheetSize | None = None
    ) -> tuple[SheetKind | None, int]:
        """The kind of sheet that is cheapest for it, and how many; None if no kind will do.

        ``made_for``: what its pieces are made for; None: for the kind.
        """
        return self._fewest(partial(sheets_for, structure.design, work=self.work), made_for)

    def sheets_to_alter(
        self, laid: WhatStands, shape: Shape, made_for: SheetSize | None = None
    ) -> tuple[SheetKind | None, int]:
        """The same of an alteration."""
        return self._fewest(partial(sheets_to_alter, laid, shape, work=self.work), made_for)

    def _fewest(
        self, sheets: Callable[[SheetSize, SheetSize], int | None], made_for: SheetSize | None
    ) -> tuple[SheetKind | None, int]:
        """``sheets`` tells how many it takes, made for one size, of another; None: no number does.

        Of pieces made for a size, sheets of that size are taken, if there is a kind of them.
        """
        kinds, offers = usual_kinds(self.kinds), []
        own = [kind for kind in kinds if _size(kind) == made_for]
        for kind in own or kinds:
            count = sheets(made_for or _size(kind), _size(kind))
            if count is not None:
                offers.append((kind.cost * count, count, kind.pk, kind))
        best = min(offers, default=None)
        return (best[3], best[1]) if best else (None, 0)

    def cloth(self, parts: Iterable[Part]) -> Need | str | None:
        pieces = [part.cut for part in parts if part.cut]
        if not pieces:
            return None
        rolls = [one for one in self.items if one.kind == Item.Kind.CLOTH and one.cloth_mm]
        for roll in rolls:
            length = roll_length(pieces, roll.cloth_mm or 0)
            if length is not None:
                return Need(roll, -(-length // MM_PER_M))
        sizes = joined(", ", [measures.size(one) for one in pieces])
        return counted(
            "cloth for %(count)d piece: %(sizes)s",
            "cloth for %(count)d pieces: %(sizes)s",
            len(pieces),
            sizes=sizes,
        )


@lru_cache(maxsize=256)
def _parts_of(shape: Shape, size: SheetSize) -> PartList:
    """The parts of a shape that stands, its blanks made for sheets of this size."""
    structure = structure_of(shape)
    assert structure is not None, "it was raised before it is asked for"
    return list_parts(structure, make_blanks(structure, size))


@lru_cache(maxsize=512)
def sheets_for(shape: Shape, made_for: SheetSize, size: SheetSize, work: int = WORK) -> int | None:
    """How many sheets of a size the shape's blanks take; None where they do not go on them."""
    structure = structure_of(shape)
    blanks = make_blanks(structure, made_for) if structure else None
    if blanks is None or blanks.unmade:
        return None
    plan = sheet_plan(blanks.blanks, size, work=work).plan
    return None if plan.unplaced else len(plan.sheets)


@lru_cache(maxsize=512)
def sheets_to_alter(
    stands: WhatStands, shape: Shape, made_for: SheetSize, size: SheetSize, work: int = WORK
) -> int | None:
    """How many sheets of a size its new blanks take; None where they do not go on them."""
    change = draft_alteration(stands, shape, made_for)
    if change.wanted.blanks.unmade:
        return None
    new = {one.what for one in new_blanks(change)}
    blanks = [one for one in change.wanted.blanks.blanks if one.code in new]
    if not blanks:
        return 0
    plan = sheet_plan(blanks, size, work=work).plan
    return None if plan.unplaced else len(plan.sheets)


def _count_blanks(parts: Iterable[Part]) -> int:
    return sum(one.count for one in parts if one.kind is StoredAs.SHEET and one.what != TAPE)


def _sheet_need(kind: SheetKind | None, count: int, blanks: int) -> Need | str | None:
    if kind:
        return Need(kind.item, count) if count else None
    return (
        counted("sheets for %(count)d blank", "sheets for %(count)d blanks", blanks)
        if blanks
        else None
    )


def _needs(found: Iterable[Need | str | None]) -> Needs:
    some = [one for one in found if one]
    lines = tuple(one for one in some if isinstance(one, Need))
    missing = tuple(one for one in some if isinstance(one, str))
    return all_needs([(Needs(lines, missing), 1)])


def _size(kind: SheetKind) -> SheetSize:
    return SheetSize(kind.width_mm, kind.height_mm)


def _size_or_trade(kind: SheetKind | None) -> SheetSize:
    return _size(kind) if kind else STOCK_SHEET


def _laid(stands: WhatStands, shape: Shape) -> WhatStands:
    """With the laying that takes the least: sheets of any size are laid so, however the fewest come
    about.

    Raises ``BadDesign`` where the two do not go together.
    """
    return stands._replace(laying=draft_alteration(stands, shape, stands.sheet).laying)


def _raised(revision: DesignRevision) -> Structure:
    structure = structure_of(revision.shape())
    if structure is None:
        raise CannotMake(
            message(
                "“%(design)s” can no longer be made on this server.", design=revision.shape().name
            )
        )
    return structure
