"""From where the pictures of one work are seen: one corner, as long as it shows what is new."""

from itertools import groupby, product

from hypothesis import given, settings
from hypothesis import strategies as st

from builds.drawing.space import Corner
from builds.drawing.viewpoint import ENOUGH, corners_of, views_of

SE, NE = Corner.SE, Corner.NE
SHARES = st.sampled_from([0.0, 0.1, ENOUGH, 0.6, 1.0])


def sees(**shares):
    """Full sight from the corners not named."""
    return {corner: shares.get(corner.name, 1.0) for corner in Corner}


@st.composite
def sights(draw):
    """What is new is best seen from one corner at least."""
    shares = {corner: draw(SHARES) for corner in Corner}
    return {**shares, draw(st.sampled_from(Corner)): 1.0}


def speaks_against(corners, told):
    """By the words of the rule; None for a row that breaks it."""
    kept = [corner for corner, _group in groupby(corners)]
    if len(kept) > len(set(kept)):
        return None
    turns = [now for now in range(1, len(told)) if corners[now - 1] is not corners[now]]
    if any(told[turn] is None for turn in turns):
        return None
    seen = [sight[corner] for sight, corner in zip(told, corners, strict=True) if sight]
    return (
        sum(one == 0 for one in seen),
        sum(one < ENOUGH for one in seen),
        len(turns),
        sum(round(1e6 * (1 - one)) for one in seen),
    )


@settings(max_examples=60)
@given(st.lists(st.none() | sights(), min_size=1, max_size=5))
def test_no_other_row_of_corners_is_better(told):
    chosen = speaks_against(corners_of(told), told)

    others = (speaks_against(row, told) for row in product(Corner, repeat=len(told)))
    assert chosen == min(one for one in others if one is not None)


def test_one_corner_serves_all_pictures_where_it_shows_enough():
    best_elsewhere = sees(SE=0.4, SW=0.1, NW=0.4)
    best_here = sees(SW=0.9, NE=0.1, NW=0.4)

    assert corners_of([best_here, best_elsewhere, best_here]) == [SE] * 3


def test_a_picture_that_shows_nothing_from_there_turns_once_and_not_back():
    from_south = sees(SW=0.1, NE=0.1, NW=0.1)
    from_north = sees(SE=0.0, SW=0.0, NW=0.9)

    views = views_of([from_south, None, from_north, None, from_south])

    assert [view.corner for view in views] == [SE, SE, NE, NE, NE]
    assert [view.is_turned for view in views] == [False, False, True, False, False]


def test_nothing_new_is_known_as_such():
    assert [view.shows for view in views_of([None, sees(), None])] == [False, True, False]
