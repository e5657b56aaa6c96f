"""States of linens: the way round, what cannot be, and the sentence that says so.

Which state may follow which is ours, common practice; the graph is walked by networkx.
"""

from itertools import pairwise, product

import networkx as nx
import pytest

from habitats.rotation.states import LINE, State, followers, line_of, may_follow, refusal

EVERY_PAIR = tuple(product(State, State))


@pytest.fixture
def ways() -> nx.DiGraph:
    return nx.DiGraph(pair for pair in EVERY_PAIR if may_follow(*pair))


@pytest.mark.parametrize(
    "way",
    [
        (State.CLEAN, State.IN_USE, State.SOILED, State.WASHING, State.DRYING, State.DRY,
         State.CLEAN),
        (State.NEW, State.WASHING, State.DRYING, State.DRY, State.FIRST_WASHED, State.CLEAN),
        (State.IN_USE, State.SET_ASIDE, State.WASHING, State.DRYING, State.DRY, State.SET_ASIDE,
         State.WASHING, State.DRYING, State.DRY, State.CLEAN),
        (State.CLEAN, State.LOST, State.SOILED),
        (State.DRY, State.MENDING, State.CLEAN),
        (State.CLEAN, State.CLEAN),
    ],
    ids=["round", "first wash", "two washes apart", "found again", "mended", "to another pool"],
)  # fmt: skip
def test_a_linen_goes_its_way(way):
    assert [refusal(*pair, "K3F7-X") for pair in pairwise(way)] == [None] * (len(way) - 1)


def test_whatever_is_wet_or_soiled_comes_to_the_clean_ones_only_through_dry(ways):
    ways.remove_node(State.DRY)
    for state in (
        State.NEW,
        State.IN_USE,
        State.SOILED,
        State.WASHING,
        State.DRYING,
        State.SET_ASIDE,
        State.LOST,
    ):
        assert State.CLEAN not in nx.descendants(ways, state), state


@pytest.mark.parametrize("state", [State.WASHING, State.DRYING, State.SOILED, State.SET_ASIDE])
def test_what_is_not_dry_is_not_mended(state):
    assert not may_follow(state, State.MENDING)


def test_a_linen_is_never_laid_in_an_enclosure_unless_it_is_clean(ways):
    assert set(ways.predecessors(State.IN_USE)) == {State.CLEAN}


def test_a_load_that_two_people_tick_is_one_wash():
    assert not may_follow(State.WASHING, State.WASHING)


def test_a_linen_that_is_retired_stays_so(ways):
    assert followers(State.RETIRED) == frozenset()
    assert all(nx.has_path(ways, state, State.RETIRED) for state in State)


def test_every_state_but_new_can_be_reached_from_new(ways):
    assert nx.descendants(ways, State.NEW) | {State.NEW} == set(State)


def test_a_wet_linen_is_not_put_with_the_clean_ones():
    assert refusal(State.WASHING, State.CLEAN, "K3F7-X") == (
        "K3F7-X is in the wash, so it is wet. It cannot be marked “clean” now. "
        "Take it out of the machine and dry it."
    )


@pytest.mark.parametrize(("before", "after"), EVERY_PAIR)
def test_each_refusal_says_of_which_linen_what_it_is_and_what_to_do(before, after):
    sentence = refusal(before, after, "K3F7-X")

    if may_follow(before, after):
        assert sentence is None
    else:
        assert sentence is not None
        assert sentence.startswith("K3F7-X is ") or sentence.startswith("K3F7-X lies ")
        assert sentence.endswith(".")
        assert sentence.count(". ") in (2, 3)


def test_the_line_counts_dry_as_drying_and_set_aside_as_soiled():
    assert {state: line_of(state) for state in State} == {
        **{state: state for state in LINE},
        State.DRY: State.DRYING,
        State.SET_ASIDE: State.SOILED,
        **dict.fromkeys((State.NEW, State.FIRST_WASHED, State.MENDING, State.RETIRED, State.LOST)),
    }
