"""Order on a board: rests joined into one offcut, equal measures beside each other."""

from collections.abc import Iterator

from hypothesis import given
from hypothesis import strategies as st

from builds.cutting.arranging import arranged, largest_growth, set_ups
from builds.cutting.board import Band, Board, Laid, Stack
from builds.cutting.frames import Frame, Orientation


def stack(*sizes: tuple[int, int]) -> Stack:
    """Pieces of these widths and heights above each other."""
    laid = [Laid(0, Orientation(width, height, turned=False)) for width, height in sizes]
    return Stack(max(width for width, _ in sizes), sum(height for _, height in sizes), laid)


def band(*stacks: Stack) -> Band:
    return Band(sum(s.width for s in stacks), max(s.height for s in stacks), list(stacks))


def board(*bands: Band, width: int = 100, height: int = 60) -> Board:
    frame = Frame(0, width, height, upright=False, cost=1, ways=())
    used = sum(each.used for each in bands)
    return Board(frame, height - sum(each.height for each in bands), used, list(bands))


def test_room_below_joins_the_rest_beside() -> None:
    # 40 x 40 in a corner of 100 x 60: beside it 60 x 60, below it 100 x 20, beside only 60 x 40.
    growth = largest_growth(board(band(stack((40, 40)))), kerf=0, least=20)

    assert growth is not None
    assert (growth.width, growth.height) == (60, 60)


def test_width_that_is_free_joins_the_rest_above_a_low_stack() -> None:
    # Stacks of 50 x 60 and 30 x 10: below the low one 30 x 50, and 50 x 50 with what is beside it.
    growth = largest_growth(board(band(stack((50, 60)), stack((30, 10)))), kerf=0, least=20)

    assert growth is not None
    assert (growth.width, growth.height) == (50, 50)


def test_an_offcut_too_narrow_to_keep_does_not_count() -> None:
    # 95 x 40 leaves 100 x 20 below it and 5 x 60 beside it.
    whole = board(band(stack((95, 40))))

    assert largest_growth(whole, kerf=0, least=21) is None
    assert largest_growth(whole, kerf=0, least=20) is not None


def test_the_kerf_is_no_part_of_an_offcut() -> None:
    whole = board(band(stack((95, 40))))

    assert largest_growth(whole, kerf=3, least=17) is not None
    assert largest_growth(whole, kerf=3, least=18) is None


def test_equal_measures_are_set_once() -> None:
    # Two bands 20 high, in each two stacks 30 wide and one 40 wide: one measure for the bands, two
    # for the stacks, none for the pieces, which are as high as their bands.
    row = band(stack((30, 20)), stack((40, 20)), stack((30, 20)))

    assert set_ups(board(row, row)) == 1 + 2


def test_a_piece_that_is_cut_off_and_trimmed_needs_two_measures_more() -> None:
    # One band 30 high, one stack 40 wide; in it 40 x 20 and, trimmed, 25 x 10.
    assert set_ups(board(band(stack((40, 20), (25, 10))))) == 1 + 1 + 2 + 1


def test_a_piece_of_the_whole_sheet_needs_none() -> None:
    assert set_ups(board(band(stack((100, 60))))) == 0


def test_equal_bands_and_stacks_come_to_lie_beside_each_other() -> None:
    high, low = band(stack((30, 20))), band(stack((10, 5)), stack((20, 5)), stack((10, 5)))

    inside = arranged(board(high, low, high), kerf=0, least=10_000)

    assert [each.height for each in inside.bands] == [20, 20, 5]
    assert [each.width for each in inside.bands[2].stacks] == [20, 10, 10]


@st.composite
def boards(draw: st.DrawFn) -> Board:
    """Whatever fits 40 x 30, piece by piece."""
    bands: list[Band] = []
    height = 0
    while height < 30 and draw(st.integers(0, 3)):
        stacks = list(_stacks(draw, 30 - height))
        bands.append(band(*stacks))
        height += bands[-1].height
    return board(*bands, width=40, height=30)


def _stacks(draw: st.DrawFn, room: int) -> Iterator[Stack]:
    spare = 40
    while True:
        sizes = [(draw(st.integers(1, spare)), draw(st.integers(1, room)))]
        while sum(h for _, h in sizes) < room and draw(st.booleans()):
            left = room - sum(h for _, h in sizes)
            sizes.append((draw(st.integers(1, spare)), draw(st.integers(1, left))))
        yield stack(*sizes)
        spare -= max(w for w, _ in sizes)
        if spare == 0 or draw(st.booleans()):
            return


@given(boards(), st.integers(0, 2), st.integers(1, 12))
def test_arranging_keeps_the_pieces_and_shows_the_offcut_it_promised(
    before: Board, kerf: int, least: int
) -> None:
    after = arranged(before, kerf, least)

    growth = largest_growth(before, kerf, least)
    largest = (growth.width - kerf) * (growth.height - kerf) if growth else 0
    shown = [
        (rest.width - kerf) * (rest.height - kerf)
        for rest in after.rests()
        if min(rest.width, rest.height) - kerf >= least
    ]
    assert max(shown, default=0) == largest
    assert sorted(after.laid()) == sorted(before.laid())
    assert all(x + laid.way.width <= 40 for laid, x, _ in after.places())
    assert all(y + laid.way.height <= 30 for laid, _, y in after.places())
