"""A plan in the making: boards, and how many of each kind of piece are on none of them."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from builds.cutting.arranging import arranged, largest_growth, set_ups
from builds.cutting.board import Board, Laid, Rest
from builds.cutting.fit import fits_any, reason_unplaced
from builds.cutting.frames import UNITS
from builds.cutting.rests import in_order, with_rests_joined
from builds.cutting.values import CutSheet, Job, Layout, Offcut, PiecePlacement, Unplaced


@dataclass(frozen=True)
class Draft:
    """`left[k]` of `job.pieces[k]` are on no board."""

    job: Job
    boards: tuple[Board, ...]
    left: tuple[int, ...]

    @property
    def cost(self) -> int:
        """In millionths."""
        return sum(board.frame.cost for board in self.boards)

    @property
    def area_left(self) -> int:
        pairs = zip(self.left, self.job.pieces, strict=True)
        return sum(count * piece.width * piece.height for count, piece in pairs)

    @cached_property
    def rank(self) -> tuple[int, int, int, int]:
        """Less is better: what is not placed, cost, the largest offcut to keep, knife set-ups."""
        return self.area_left, self.cost, -self.largest_offcut, self.set_ups

    @property
    def complete(self) -> bool:
        """Whether each piece that fits a sheet is on one."""
        pairs = zip(self.left, self.job.pieces, strict=True)
        return not any(left and fits_any(self.job, piece) for left, piece in pairs)

    @cached_property
    def largest_offcut(self) -> int:
        """In mm²; what an offcut of the store leaves does not count, but where nothing is new."""
        job = self.job
        new = [board for board in self.boards if board.frame.cost] or self.boards
        growths = (largest_growth(board, job.kerf, job.least_offcut) for board in new)
        areas = ((each.width - job.kerf) * (each.height - job.kerf) for each in growths if each)
        return max(areas, default=0)

    @property
    def set_ups(self) -> int:
        return sum(set_ups(board) for board in self.boards)


def layout_of(draft: Draft, lower_bound: int, *, out_of_time: bool) -> Layout:
    """The draft as a layout; `lower_bound` in millionths."""
    job = draft.job
    unplaced = (
        Unplaced(piece.id, left, reason_unplaced(job, piece, out_of_time=out_of_time))
        for piece, left in zip(job.pieces, draft.left, strict=True)
        if left
    )
    return Layout(
        sheets=tuple(_sheets(draft)),
        cost=Decimal(draft.cost) / UNITS,
        lower_bound=Decimal(lower_bound) / UNITS,
        optimal=draft.complete and draft.cost == lower_bound,
        unplaced=tuple(unplaced),
    )


def _sheets(draft: Draft) -> Iterator[CutSheet]:
    """A sheet for each board; many boards may be one and the same."""
    made: dict[int, CutSheet] = {}
    for board in draft.boards:
        if id(board) not in made:
            in_order = arranged(board, draft.job.kerf, draft.job.least_offcut)
            made[id(board)] = _sheet(in_order, draft.job)
        yield made[id(board)]


def _sheet(board: Board, job: Job) -> CutSheet:
    offcuts = (
        _offcut(board, rest, job)
        for rest in board.rests()
        if rest.width > job.kerf and rest.height > job.kerf
    )
    sheet = CutSheet(
        job.stock[board.frame.source],
        tuple(_placement(board, *place, job) for place in board.places()),
        in_order(offcuts),
    )
    return with_rests_joined(sheet, kerf=job.kerf, trim=job.trim) if job.guillotine else sheet


def _placement(board: Board, laid: Laid, x: int, y: int, job: Job) -> PiecePlacement:
    place = _on_sheet(board, x, y, laid.way.width, laid.way.height, job)
    return PiecePlacement(job.pieces[laid.kind].id, *place, laid.way.turned)


def _offcut(board: Board, rest: Rest, job: Job) -> Offcut:
    return Offcut(*_on_sheet(board, *rest, job))


def _on_sheet(
    board: Board, x: int, y: int, width: int, height: int, job: Job
) -> tuple[int, int, int, int]:
    if board.frame.upright:
        x, y, width, height = y, x, height, width
    return x + job.trim, y + job.trim, width - job.kerf, height - job.kerf
