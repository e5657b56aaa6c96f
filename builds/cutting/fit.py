"""Whether a piece fits a stock sheet at all, and what to say where it stays unplaced."""

from builds.cutting.values import Job, StockSheet, WantedPiece


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
            return f"{size} fits only when turned, and it may not be; add a sheet that holds it."
        return (
            f"{size} is larger than every sheet{_usable(job)}; join it from parts or add a sheet."
        )
    if out_of_time:
        return "The time ran out before this was laid out; give more seconds or cut in two jobs."
    return "There are not enough sheets; add stock or cut fewer."


def _fits_as_is(job: Job, piece: WantedPiece, stock: StockSheet) -> bool:
    width, height = stock.width - 2 * job.trim, stock.height - 2 * job.trim
    return piece.width <= width and piece.height <= height


def _fits_turned(job: Job, piece: WantedPiece, stock: StockSheet) -> bool:
    width, height = stock.width - 2 * job.trim, stock.height - 2 * job.trim
    return piece.height <= width and piece.width <= height


def _usable(job: Job) -> str:
    if not job.stock:
        return ""
    largest = max(job.stock, key=lambda stock: stock.area)
    width, height = largest.width - 2 * job.trim, largest.height - 2 * job.trim
    return f" (usable part of the largest: {width} x {height} mm)"
