"""A sheet without bands and stacks: pieces lie where they lie, and rests are found between them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from builds.cutting.arranging import Growth, arranged, largest_growth, set_ups
from builds.cutting.board import Board, Laid, Rest


@dataclass(slots=True)
class FreeBoard(Board):
    """A finished board; no piece may be laid on it or taken off.

    `straight`: straight cuts take it apart, and have to free its rests as well. `splits`: for each
    piece in turn, how the gap it was laid in was parted, in the numbers of `gaps`.
    """

    placed: tuple[tuple[Laid, int, int], ...] = ()  # with x and y of the corner
    straight: bool = True
    splits: tuple[int, ...] = ()
    found: tuple[Rest, ...] = ()

    def laid(self) -> Iterator[Laid]:
        return (laid for laid, _, _ in self.placed)

    def places(self) -> Iterator[tuple[Laid, int, int]]:
        return iter(self.placed)

    def rests(self) -> Iterator[Rest]:
        """Those that `arranged` found."""
        return iter(self.found)


@largest_growth.register
def _(board: FreeBoard, kerf: int, least: int) -> Growth | None:
    rest = next(_rests(board, max(least, 1) + kerf), None)
    return Growth(rest.width, rest.height, None, None) if rest else None


@set_ups.register
def _(board: FreeBoard) -> int:
    """How many lines there are that some cut follows."""
    across = {x + n * laid.way.width for laid, x, _ in board.placed for n in (0, 1)}
    down = {y + n * laid.way.height for laid, _, y in board.placed for n in (0, 1)}
    return len(across - {0, board.frame.width}) + len(down - {0, board.frame.height})


@arranged.register
def _(board: FreeBoard, kerf: int, least: int) -> FreeBoard:
    """The same with all rests worth keeping."""
    rests = tuple(_rests(board, max(least, 1) + kerf))
    return replace(board, found=rests)


def _rests(board: FreeBoard, side: int) -> Iterator[Rest]:
    """Rests with sides of at least `side` that do not overlap, the largest first."""
    taken = [Rest(x, y, laid.way.width, laid.way.height) for laid, x, y in board.placed]
    while True:
        gaps = sorted(_gaps(board, taken, side), key=lambda gap: (-gap.width * gap.height, gap))
        rest = next((gap for gap in gaps if _may_stay(board, taken, gap)), None)
        if rest is None:
            return
        yield rest
        taken.append(rest)


def _may_stay(board: FreeBoard, taken: Sequence[Rest], gap: Rest) -> bool:
    return not board.straight or _straight([*taken, gap])


def _gaps(board: FreeBoard, taken: Sequence[Rest], side: int) -> list[Rest]:
    """The largest rectangles in which nothing lies."""
    gaps = [Rest(0, 0, board.frame.width, board.frame.height)]
    for box in taken:
        parts = [part for gap in gaps for part in _parts(gap, box)]
        large = [part for part in parts if part.width >= side and part.height >= side]
        gaps = [gap for gap in set(large) if not any(_inside(gap, other) for other in large)]
    return gaps


def _parts(gap: Rest, box: Rest) -> tuple[Rest, ...]:
    """What a box leaves of a gap: the gap itself, or the largest rectangles beside the box."""
    right, bottom = gap.x + gap.width, gap.y + gap.height
    end, low = box.x + box.width, box.y + box.height
    if box.x >= right or end <= gap.x or box.y >= bottom or low <= gap.y:
        return (gap,)
    return (
        Rest(gap.x, gap.y, box.x - gap.x, gap.height),
        Rest(gap.x, gap.y, gap.width, box.y - gap.y),
        Rest(end, gap.y, right - end, gap.height),
        Rest(gap.x, low, gap.width, bottom - low),
    )


def _inside(inner: Rest, outer: Rest) -> bool:
    return (
        inner != outer
        and outer.x <= inner.x
        and outer.y <= inner.y
        and inner.x + inner.width <= outer.x + outer.width
        and inner.y + inner.height <= outer.y + outer.height
    )


def _straight(boxes: Sequence[Rest]) -> bool:
    """Whether straight cuts part all boxes from each other."""
    if len(boxes) < 2:
        return True
    for down in (True, False):
        groups = _groups(boxes, down)
        if len(groups) > 1:
            return all(_straight(group) for group in groups)
    return False


def _groups(boxes: Sequence[Rest], down: bool) -> list[list[Rest]]:
    groups: list[list[Rest]] = []
    reach = 0
    for box in sorted(boxes, key=lambda box: box.x if down else box.y):
        start, size = (box.x, box.width) if down else (box.y, box.height)
        if groups and start < reach:
            groups[-1].append(box)
        else:
            groups.append([box])
        reach = max(reach, start + size)
    return groups
