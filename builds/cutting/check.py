"""Is a plan what its job asked for? Written from the definition; shares no code with the solver.

A plan is right when each sheet exists in the stock, each piece lies inside the usable part in a way
it may lie, neighbours keep the kerf, straight cuts can take the sheet apart in the stages allowed,
counts add up, offcuts are really there, and cost, bound and claims agree.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from builds.cutting.values import CutSheet, Job, Layout, PiecePlacement


class _Box(NamedTuple):
    """A rectangle by its edges, with the name to call it by."""

    name: str
    left: int
    top: int
    right: int
    bottom: int


def faults_in(job: Job, plan: Layout) -> list[str]:
    """Name everything wrong with the plan, a sentence each; empty if it is right."""
    faults: list[str] = []
    for number, sheet in enumerate(plan.sheets, start=1):
        faults.extend(f"Sheet {number}: {fault}" for fault in _sheet_faults(job, sheet))
    faults.extend(_count_faults(job, plan))
    faults.extend(_stock_faults(job, plan))
    faults.extend(_claim_faults(job, plan))
    return faults


def _sheet_faults(job: Job, sheet: CutSheet) -> Iterator[str]:
    pieces = [_box(p.piece, p.x, p.y, p.width, p.height) for p in sheet.placements]
    offcuts = [_box("an offcut", o.x, o.y, o.width, o.height) for o in sheet.offcuts]
    everything = pieces + offcuts
    if not pieces:
        yield "nothing is cut from it."
    for placement in sheet.placements:
        yield from _lie_faults(job, placement)
    for box in everything:
        yield from _edge_faults(job, sheet, box)
    too_close = list(_distance_faults(everything, job.kerf))
    yield from too_close
    if job.guillotine and not too_close:
        yield from _cut_faults(job, pieces, everything)


def _box(name: str, x: int, y: int, width: int, height: int) -> _Box:
    return _Box(name, x, y, x + width, y + height)


def _lie_faults(job: Job, placement: PiecePlacement) -> Iterator[str]:
    wanted = [piece for piece in job.pieces if piece.id == placement.piece]
    if not wanted:
        yield f"{placement.piece} is not in the job."
        return
    piece = wanted[0]
    size = (piece.width, piece.height)
    if placement.rotated and not piece.rotate:
        yield f"{piece.id} is turned, but may not be."
    if (placement.width, placement.height) != (size[::-1] if placement.rotated else size):
        yield f"{piece.id} is {placement.width} x {placement.height}, which is not its size."


def _edge_faults(job: Job, sheet: CutSheet, box: _Box) -> Iterator[str]:
    if box.right <= box.left or box.bottom <= box.top:
        yield f"{box.name} has no area."
    if (
        box.left < job.trim
        or box.top < job.trim
        or box.right > sheet.stock.width - job.trim
        or box.bottom > sheet.stock.height - job.trim
    ):
        yield f"{box.name} at {box.left}, {box.top} reaches past the usable part of the sheet."


def _distance_faults(boxes: Sequence[_Box], kerf: int) -> Iterator[str]:
    """Boxes may touch where the kerf is 0; at a corner one direction with the kerf is enough."""
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            apart = max(
                other.left - one.right,
                one.left - other.right,
                other.top - one.bottom,
                one.top - other.bottom,
            )
            if apart < 0:
                yield f"{one.name} at {one.left}, {one.top} overlaps {_at(other)}."
            elif apart < kerf:
                yield f"{one.name} at {one.left}, {one.top} leaves no kerf to {_at(other)}."


def _at(box: _Box) -> str:
    return f"{box.name} at {box.left}, {box.top}"


def _cut_faults(job: Job, pieces: list[_Box], everything: list[_Box]) -> Iterator[str]:
    needed = min(_stages(pieces, job.kerf, down) for down in (False, True))
    if needed == _NEVER:
        yield "no straight cuts take it apart."
        return
    if job.stages is not None and needed > job.stages:
        yield f"it takes {needed} stages of cuts; {job.stages} are allowed."
    if min(_stages(everything, job.kerf, down) for down in (False, True)) == _NEVER:
        yield "no straight cuts free its offcuts."


_NEVER = 1_000_000


def _stages(boxes: Sequence[_Box], kerf: int, down: bool) -> int:
    """How many stages part all boxes from each other, if the first cuts run so.

    `down`: the cuts of this stage run down the sheet. In a stage every cut is made that can be:
    one more never hinders a later cut. Trimming a single box is no stage. `_NEVER` if it cannot be.
    """
    if len(boxes) <= 1:
        return 0
    groups = _groups(boxes, kerf, down)
    if len(groups) > 1:
        return 1 + max(_stages(group, kerf, not down) for group in groups)
    if len(_groups(boxes, kerf, not down)) == 1:
        return _NEVER
    return 1 + _stages(boxes, kerf, not down)


def _groups(boxes: Sequence[_Box], kerf: int, down: bool) -> list[list[_Box]]:
    """The boxes in groups between which a straight cut passes, as wide as the kerf."""
    spans = [(box.left, box.right, box) if down else (box.top, box.bottom, box) for box in boxes]
    spans.sort()
    groups: list[list[_Box]] = []
    reach = 0
    for start, end, box in spans:
        if groups and start < reach + kerf:
            groups[-1].append(box)
            reach = max(reach, end)
        else:
            groups.append([box])
            reach = end
    return groups


def _count_faults(job: Job, plan: Layout) -> Iterator[str]:
    placed = Counter(p.piece for sheet in plan.sheets for p in sheet.placements)
    unplaced: Counter[str] = Counter()
    for entry in plan.unplaced:
        unplaced[entry.piece] += entry.quantity
        if entry.quantity < 1 or not entry.reason:
            yield f"{entry.piece} is named unplaced without a count or a reason."
    for piece in job.pieces:
        told = placed[piece.id] + unplaced[piece.id]
        if told != piece.quantity:
            yield (
                f"{piece.id}: {piece.quantity} are wanted, {placed[piece.id]} placed "
                f"and {unplaced[piece.id]} unplaced."
            )
    for name in sorted(set(unplaced) - {piece.id for piece in job.pieces}):
        yield f"{name} is unplaced, but not in the job."


def _stock_faults(job: Job, plan: Layout) -> Iterator[str]:
    used = Counter(sheet.stock for sheet in plan.sheets)
    for stock, count in used.items():
        if stock not in job.stock:
            yield f"Sheet {stock.id}, {stock.width} x {stock.height} mm, is not in the stock."
        elif stock.quantity is not None and count > stock.quantity:
            yield f"{count} sheets of {stock.id} are used; {stock.quantity} are in stock."


def _claim_faults(job: Job, plan: Layout) -> Iterator[str]:
    cost = sum((sheet.stock.cost for sheet in plan.sheets), Decimal(0))
    if plan.cost != cost:
        yield f"The cost is given as {plan.cost}; the sheets cost {cost}."
    if plan.lower_bound > cost:
        yield f"The lower bound, {plan.lower_bound}, is above the cost, {cost}."
    if plan.optimal and plan.lower_bound != cost:
        yield f"It is called optimal, but the bound is {plan.lower_bound} and the cost {cost}."
    if plan.optimal and any(_would_fit(job, entry.piece) for entry in plan.unplaced):
        yield "It is called optimal, but leaves out pieces that fit a sheet."


def _would_fit(job: Job, name: str) -> bool:
    for piece in job.pieces:
        for stock in job.stock if piece.id == name else ():
            room = (stock.width - 2 * job.trim, stock.height - 2 * job.trim)
            as_is = piece.width <= room[0] and piece.height <= room[1]
            turned = piece.rotate and piece.height <= room[0] and piece.width <= room[1]
            if as_is or turned:
                return True
    return False
