"""A cutting plan for its page: figures, sheets, the share of each build, and offcuts."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction
from functools import cached_property
from typing import NamedTuple

from django.core.paginator import Page, Paginator
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from builds.batches.models.cutting_jobs import OFFCUT, SHEET, sheets_of
from builds.batches.models.sheet_stock import SheetStock, stock_for
from builds.batches.paper.cards import LazyCard, build_name, cards_of, ranges
from builds.common.figures import Figure
from builds.drawing.blanks import blank_picture
from builds.sheets import CuttingPlan, Share, Trial
from builds.sheets.plan import CENT, SheetBuild
from builds.store.models.offcuts import Offcut
from habitats import measures
from habitats.decimals import percent, percent_at_most
from habitats.measures import lengths_in
from habitats.money import money
from habitats.rescue.models.rescue import Rescue

CARDS_A_PAGE = 12


class StockTaken(NamedTuple):
    """What the plan cuts up; ``free``: for it; ``buy``: how many more than that."""

    name: str
    size: str
    sheets: int
    on_hand: int
    free: int
    buy: int
    is_offcut: bool
    is_gone: bool


class ShareRow(NamedTuple):
    share: Share
    name: str
    sheets: str
    missing: int
    cost: str


class OffcutLeft(NamedTuple):
    """``sheet``: the number of the one that leaves it."""

    sheet: int
    size: str


class KeptRow(NamedTuple):
    """Offcuts of one size: how many, and the numbers of the sheets that leave them."""

    size: str
    number: int
    sheets: tuple[int, ...]

    @property
    def sheet_numbers(self) -> str:
        return ranges(self.sheets)


class TrialRow(NamedTuple):
    trial: Trial
    made_for: str
    cost: str


@dataclass(frozen=True, eq=False)  # without slots: the store is asked once
class StoreNow:
    """What the store has of what a plan cuts up; the fields are those of ``PlanPage``."""

    plan: CuttingPlan
    units: str
    is_over: bool
    builds: Collection[int]
    since: datetime | None

    @cached_property
    def stock(self) -> list[SheetStock]:
        """Of each kind of sheet that the plan takes; nothing once it is over."""
        if self.is_over:
            return []
        return stock_for(sheets_of(self.plan), self.builds, since=self.since)

    @property
    def shorter(self) -> list[SheetStock]:
        """Sheets of which more are short than when the plan was asked for."""
        return [one for one in self.stock if one.is_shorter]

    @cached_property
    def taken(self) -> list[StockTaken]:
        return taken_by(self.plan, self.units, self.stock)

    @property
    def gone(self) -> list[str]:
        """Offcuts that the plan counts on and the store no longer has."""
        return [] if self.is_over else [one.name for one in self.taken if one.is_gone]


class PlanPage:
    """``is_priced`` is False where no sheet has a cost yet, and so no plan has one.

    ``is_over``: it was cut or given up, so what the store has by now is no matter of it.
    ``builds``: keys of those whose reserved sheets are its own; ``since``: when it was asked for.
    """

    def __init__(
        self,
        plan: CuttingPlan,
        units: str,
        *,
        number: str = "1",
        is_priced: bool = True,
        is_over: bool = False,
        builds: Collection[int] = (),
        since: datetime | None = None,
    ) -> None:
        self.plan = plan
        self.store = StoreNow(plan, units, is_over, builds, since)
        self.is_over = is_over
        self.units = units
        self.lengths = lengths_in(units)
        self.currency = Rescue.our_currency()
        self.is_priced = is_priced
        self._number = number

    @property
    def figures(self) -> list[Figure]:
        plan = self.plan
        sheets = Figure(_("Sheets"), str(len(plan.plan.sheets)))
        used = Figure(
            _("Used"), percent(Fraction(plan.plan.used_fraction)), _("of the sheets that are cut")
        )
        joins = Figure(
            _("Joins"),
            str(plan.joins),
            _("%(length)s of tape") % {"length": self.lengths(plan.tape_mm)},
        )
        cost = [Figure(_("Cost"), money(plan.plan.cost, self.currency))] if self.is_priced else []
        return [*cost, sheets, used, joins]

    @property
    def proof(self) -> str:
        """How good the plan is known to be."""
        return proof_of(self.plan, self.currency, self.is_priced)

    @cached_property
    def cards(self) -> Page[LazyCard]:
        """A page of sheets that are cut alike."""
        return Paginator(cards_of(self.plan, self.lengths), CARDS_A_PAGE).get_page(self._number)

    @property
    def shares(self) -> list[ShareRow]:
        return [
            ShareRow(
                share,
                build_name(share.build),
                ", ".join(map(str, share.sheets)) or _("none"),
                sum(one.quantity for one in share.missing),
                money(share.cost, self.currency),
            )
            for share in self.plan.shares
        ]

    @property
    def offcuts(self) -> list[OffcutLeft]:
        """Those to keep, one by one."""
        return [
            OffcutLeft(one.sheet, self._size(one.offcut.width, one.offcut.height))
            for one in self.plan.offcuts_to_keep
        ]

    @property
    def kept(self) -> list[KeptRow]:
        """Those of one size together: a series leaves the same on every sheet."""
        by_size: dict[str, list[int]] = {}
        for one in self.offcuts:
            by_size.setdefault(one.size, []).append(one.sheet)
        return [
            KeptRow(size, len(sheets), tuple(sorted(set(sheets))))
            for size, sheets in by_size.items()
        ]

    @property
    def trials(self) -> list[TrialRow]:
        """What was weighed, if there was more than one way."""
        if len(self.plan.trials) < 2:
            return []
        return [
            TrialRow(one, self._made_for(one), money(one.cost, self.currency))
            for one in self.plan.trials
        ]

    @property
    def total(self) -> str:
        """What the builds' shares come to: the plan's cost."""
        return money(self.plan.plan.cost, self.currency)

    @property
    def is_for_one(self) -> bool:
        return len(self.plan.builds) == 1

    def build(self, number: int) -> "BuildSharePage | None":
        """What the plan holds for the build of this number; None if there is none."""
        shares = self.plan.shares
        return BuildSharePage(self, shares[number - 1]) if 1 <= number <= len(shares) else None

    def _made_for(self, trial: Trial) -> str:
        """The size, where all lines are made for one; else line by line."""
        sizes = [self._size(one.width_mm, one.height_mm) for one in trial.sheets_for]
        if len(set(sizes)) == 1:
            return sizes[0]
        return "; ".join(
            f"{made.design}: {size}" for made, size in zip(self.plan.made, sizes, strict=True)
        )

    def _size(self, width: int, height: int) -> str:
        return size_in(width, height, self.units)


class PlanPieceRow(NamedTuple):
    number: str
    part: str
    size: str
    sheet: int
    cut: int | None


class BuildSharePage:
    """What the plan holds for one build."""

    def __init__(self, page: PlanPage, share: Share) -> None:
        self.page = page
        self.share = share

    @property
    def build(self) -> SheetBuild:
        return self.share.build

    @property
    def name(self) -> str:
        return build_name(self.share.build)

    @property
    def cost(self) -> str:
        return money(self.share.cost, self.page.currency)

    @property
    def rows(self) -> list[PlanPieceRow]:
        units = self.page.units
        return [
            PlanPieceRow(
                self.page.plan.number_of(piece.placement.piece),
                piece.blank.name,
                size_in(piece.blank.width_mm, piece.blank.height_mm, units),
                piece.sheet,
                piece.cut,
            )
            for piece in sorted(self.share.pieces, key=lambda one: one.blank.code)
        ]

    @property
    def pictures(self) -> list[tuple[str, str]]:
        """The blanks as they are cut in this plan: name and drawing."""
        as_cut = {piece.blank.code: piece.blank for piece in self.share.pieces}
        blanks = [as_cut.get(one.code, one) for one in self.build.made.blanks]
        return [
            (
                self.page.plan.name_of(f"{self.build.number}.{number}"),
                blank_picture(one, lengths=self.page.lengths),
            )
            for number, one in enumerate(blanks, start=1)
        ]


def proof_of(plan: CuttingPlan, currency: str, is_priced: bool = True) -> str:
    if not plan.plan.sheets:
        return _("Nothing is cut.")
    if plan.plan.optimal:
        return _("No cheaper plan exists for these pieces.")
    bound = plan.plan.lower_bound
    if not is_priced:
        fewest = -int(-bound // 1)
        return ngettext(
            "No plan for these pieces takes fewer than %(count)d sheet.",
            "No plan for these pieces takes fewer than %(count)d sheets.",
            fewest,
        ) % {"count": fewest}
    least = bound.quantize(CENT, ROUND_DOWN)
    above = plan.plan.cost / bound - 1 if bound else Decimal(0)
    given = {"cost": money(least, currency), "above": percent_at_most(above, 1)}
    if not bound:
        return _("No plan for these pieces costs less than %(cost)s.") % given
    return (
        _(
            "No plan for these pieces costs less than %(cost)s: this one is at most %(above)s "
            "above it."
        )
        % given
    )


def taken_by(plan: CuttingPlan, units: str, stock: Iterable[SheetStock]) -> list[StockTaken]:
    """Each kind of sheet and offcut that it cuts up, with what the store has now."""
    labels = _keys(plan.taken, OFFCUT)
    there = Offcut.objects.in_store().filter(label__in=labels).values_list("label", flat=True)
    found = set(there) if labels else set()
    sheets = {f"{SHEET}:{one.kind.pk}": one for one in stock}
    offered = {one.stock.id: one for one in plan.offer.stock}
    rows = []
    for one, count in plan.taken.items():
        sheet, lying = offered[one].stock, sheets.get(one)
        is_offcut = offered[one].is_offcut
        rows.append(
            StockTaken(
                name=offered[one].name,
                size=size_in(sheet.width, sheet.height, units),
                sheets=count,
                on_hand=lying.on_hand if lying else 0,
                free=lying.free if lying else 0,
                buy=lying.short if lying else 0,
                is_offcut=is_offcut,
                is_gone=is_offcut and one.partition(":")[2] not in found,
            )
        )
    return sorted(rows, key=lambda row: (row.is_offcut, row.name))


def _keys(ids: Iterable[str], kind: str) -> list[str]:
    return [one.partition(":")[2] for one in ids if one.startswith(kind)]


def size_in(width: int, height: int, units: str) -> str:
    return measures.size((width, height), lengths_in(units))
