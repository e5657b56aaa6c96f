"""Cloth off a roll: enough for every piece, and within what first fit is proven to keep."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from builds.buying import roll_length

sizes = st.lists(st.tuples(st.integers(1, 1500), st.integers(1, 3000)), max_size=12)


@pytest.mark.parametrize(
    ("pieces", "length"),
    [
        ([], 0),
        ([(1400, 700)], 700),
        ([(700, 1400)], 700),  # turned, since that takes less
        ([(700, 700), (700, 700)], 700),  # side by side
        ([(800, 800), (800, 800)], 1600),
        ([(1000, 2000)], 2000),
        ([(1501, 1600)], None),
    ],
)
def test_so_much_is_cut_off_a_roll_of_1500_mm(pieces, length):
    assert roll_length(pieces, 1500) == length


@given(sizes)
def test_the_length_holds_the_area_and_is_never_more_than_piece_after_piece(pieces):
    length = roll_length(pieces, 1500)

    assert length is not None
    assert length * 1500 >= sum(width * tall for width, tall in pieces)
    assert length <= sum(min(one) if max(one) <= 1500 else max(one) for one in pieces)
