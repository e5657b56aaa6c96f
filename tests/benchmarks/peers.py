"""What other programs make of the same jobs: rectpack's guillotine packers (PyPI, Apache 2.0)."""

from itertools import product

import rectpack
from rectpack import guillotine

from builds.cutting import Job

_CHOICES = ("Bssf", "Blsf", "Baf")
_SPLITS = ("Sas", "Las", "Slas", "Llas", "Maxas", "Minas")
_PACKERS = [getattr(guillotine, f"Guillotine{c}{s}") for c, s in product(_CHOICES, _SPLITS)]
_BINS = (rectpack.PackingBin.BFF, rectpack.PackingBin.BBF)
_SORTS = (
    rectpack.SORT_AREA,
    rectpack.SORT_PERI,
    rectpack.SORT_DIFF,
    rectpack.SORT_SSIDE,
    rectpack.SORT_LSIDE,
    rectpack.SORT_RATIO,
)


def fewest_by_rectpack(job: Job) -> int:
    """The fewest sheets that the best of all its settings uses; for jobs of one size, no kerf."""
    return min(_sheets(job, *setting) for setting in product(_BINS, _PACKERS, _SORTS))


def _sheets(job: Job, bins: object, packer: object, sort: object) -> int:
    (stock,) = job.stock
    turn = all(piece.rotate for piece in job.pieces)
    table = rectpack.newPacker(
        mode=rectpack.PackingMode.Offline,
        bin_algo=bins,
        pack_algo=packer,
        sort_algo=sort,
        rotation=turn,
    )
    for piece in job.pieces:
        for _ in range(piece.quantity):
            table.add_rect(piece.width, piece.height)
    table.add_bin(stock.width, stock.height, count=float("inf"))
    table.pack()
    return len(table)
