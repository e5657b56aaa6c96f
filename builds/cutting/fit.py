"""Whether a piece fits a stock sheet at all, and what to say where it stays unplaced."""

from builds.cutting.values import Job, StockSheet, WantedPiece
from habitats.wording import message


def fits(job: Job, piece: WantedPiece, stock: StockSheet) -> bool:
    """Whether an empty sheet of this stock takes the piece, turned if it may be."""
    return _fits_as_is(job, piece, stock) or (piece.rotate and _fits_turned(job, piece, stock))


def fits_any(job: Job, piece: WantedPiece) -> bool:
    """Whether the piece fits any kind of sheet listed, whether or not there are sheets left."""
    return any(fits(job, piece, stock) for stock in job.stock)


def reason_unplaced(job: Job, piece: WantedPiece, *, out_of_time: bool) -> str:
    """Say why the piece is on no sheet, and what to do."""
    size = f"{piece.width} x {piece.height} mm"
    if not fits_any(job, piece):
        if any(_fits_turned(job, piece, stock) for stock in job.stock):
            return message(
                "%(size)s fits only when turned, and it may not be turned. Add a sheet that holds "
                "it.",
                size=size,
            )
        return _too_large(job, size)
    if out_of_time:
        return message(
            "The time ran out before this was laid out. Give more seconds or cut in two jobs."
        )
    return message("There are not enough sheets. Add sheets or cut fewer.")


def _too_large(job: Job, size: str) -> str:
    if not job.stock:
        return message(
            "%(size)s is larger than every sheet. Join it from parts or add a sheet.", size=size
        )
    largest = max(job.stock, key=lambda stock: stock.area)
    width, height = largest.width - 2 * job.trim, largest.height - 2 * job.trim
    return message(
        "%(size)s is larger than every sheet (usable part of the largest: %(usable)s). Join it "
        "from parts or add a sheet.",
        size=size,
        usable=f"{width} x {height} mm",
    )


def _fits_as_is(job: Job, piece: WantedPiece, stock: StockSheet) -> bool:
    width, height = stock.width - 2 * job.trim, stock.height - 2 * job.trim
    return piece.width <= width and piece.height <= height


def _fits_turned(job: Job, piece: WantedPiece, stock: StockSheet) -> bool:
    width, height = stock.width - 2 * job.trim, stock.height - 2 * job.trim
    return piece.height <= width and piece.width <= height
