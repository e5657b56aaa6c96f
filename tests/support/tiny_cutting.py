"""The cheapest way there is to cut a tiny job, found by trying everything.

Written from the definition of straight cuts in stages, with no thought of speed: each cut is tried
at each millimetre, with each share of the pieces on either side of it. A kerf is lost beside each
cut; a piece alone on its part may be trimmed as it takes.
"""

from decimal import Decimal
from functools import cache

from builds.cutting import Job

Wanted = tuple[tuple[int, int, bool], ...]  # width, height and whether it may be turned

ANY_STAGES = 99
_NO_WAY = Decimal("Infinity")


def cheapest(job: Job) -> Decimal:
    """What the cheapest sheets for all pieces cost; infinity where they cannot all be cut."""
    wanted = tuple((p.width, p.height, p.rotate) for p in job.pieces for _ in range(p.quantity))
    everything = 2 ** len(wanted) - 1
    stages = ANY_STAGES if job.stages is None else job.stages

    @cache
    def takes(kind: int, mask: int) -> bool:
        stock = job.stock[kind]
        width, height = stock.width - 2 * job.trim, stock.height - 2 * job.trim
        chosen = tuple(sorted(piece for n, piece in enumerate(wanted) if mask >> n & 1))
        return any(can_be_cut(width, height, chosen, job.kerf, down, stages) for down in (0, 1))

    @cache
    def cost(kind: int, used: int, left: int) -> Decimal:
        """The least for the pieces left, from this kind of sheet on, of which some are used."""
        if not left:
            return Decimal(0)
        if kind == len(job.stock):
            return _NO_WAY
        found = cost(kind + 1, 0, left)
        quantity = job.stock[kind].quantity
        if quantity is None or used < quantity:
            for mask in range(1, everything + 1):
                if mask & left == mask and takes(kind, mask):
                    more = cost(kind, used + 1 if quantity is not None else 0, left & ~mask)
                    found = min(found, job.stock[kind].cost + more)
        return found

    return cost(0, 0, everything)


@cache
def can_be_cut(width: int, height: int, wanted: Wanted, kerf: int, down: int, stages: int) -> bool:
    """Whether cuts that begin in this direction free the pieces from a part of this size."""
    if len(wanted) <= 1:
        return all(_fits(piece, width, height) for piece in wanted)
    if stages == 0 or width * height < sum(w * h for w, h, _ in wanted):
        return False
    for at in range(1, width if down else height):
        one = (at, height) if down else (width, at)
        other = (width - at - kerf, height) if down else (width, height - at - kerf)
        for mine, theirs in _shares(wanted):
            if can_be_cut(*one, mine, kerf, down, stages) and can_be_cut(
                *other, theirs, kerf, down, stages
            ):
                return True
    return can_be_cut(width, height, wanted, kerf, 1 - down, min(stages, len(wanted)) - 1)


def _fits(piece: tuple[int, int, bool], width: int, height: int) -> bool:
    across, down, turn = piece
    as_is = across <= width and down <= height
    return as_is or (turn and down <= width and across <= height)


@cache
def _shares(wanted: Wanted) -> tuple[tuple[Wanted, Wanted], ...]:
    """All ways to have some pieces on one side of a cut and the others on the other."""
    masks = range(1, 2 ** len(wanted) - 1)
    return tuple(
        dict.fromkeys(
            (
                tuple(piece for n, piece in enumerate(wanted) if mask >> n & 1),
                tuple(piece for n, piece in enumerate(wanted) if not mask >> n & 1),
            )
            for mask in masks
        )
    )
