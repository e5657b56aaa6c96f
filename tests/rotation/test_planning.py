"""Loads where not everything fits: tried in all ways by hand, and bounded."""

from dataclasses import replace
from itertools import combinations_with_replacement, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from habitats.rotation.lane import Key
from habitats.rotation.packing import Packer
from habitats.rotation.planning import plan_loads
from habitats.rotation.shared_bound import fullest_load
from tests.support.linen_rounds import make_laundry, make_round, small_rounds
from tests.support.linen_trials import fewest_by_trial


@settings(max_examples=80)
@given(small_rounds(most_days=14, set_aside=True))
def test_no_way_to_fill_the_loads_has_fewer_shortages(inputs):
    assert plan_loads(inputs).shortages == fewest_by_trial(inputs)


@settings(max_examples=40)
@given(small_rounds(most_days=16), st.sampled_from([1, 300, 3000]))
def test_a_bound_holds_however_little_is_searched(inputs, work):
    plan = plan_loads(inputs, work)

    assert plan.bound <= fewest_by_trial(inputs) <= plan.shortages


def test_the_size_that_will_be_missed_is_washed_first():
    # One load holds one linen. A is wanted on Tuesday, B not before Friday: B can wait a wash.
    needs = [("EA", 9, 8, "A"), ("EB", 9, 5, "B")]
    pieces = [
        ("OldB", "in_use", "EB", False, "B"),
        ("OldA", "in_use", "EA", False, "A"),
        ("LB", "soiled", None, False, "B"),
        ("LA", "soiled", None, False, "A"),
    ]
    laundry = make_laundry(0, 2, loads=1, load_g=700)

    assert plan_loads(make_round(needs, pieces, laundry, days=7, A=600, B=600)).shortages == 0


def test_a_wash_is_left_out_where_that_leaves_fewer_waiting():
    # Washed on Tuesday, both are back on Wednesday: "Often", due since Tuesday, takes one then and
    # the other on Thursday, when "Seldom" is due too. Washed on Wednesday they come on Thursday,
    # one for each, and "Seldom" is content for ten days.
    pieces = [("L", "soiled"), ("M", "soiled")]
    inputs = make_round([("Often", 1, 0), ("Seldom", 10, 7)], pieces, make_laundry(1, 2), days=9)
    needs = tuple(replace(need, lined_otherwise=True) for need in inputs.needs)
    inputs = replace(inputs, needs=needs)  # what lies there now comes back no more

    plan = plan_loads(inputs)

    assert plan.loads[0] == ()
    assert plan.shortages == plan.bound == fewest_by_trial(inputs)


KEYS = (Key(0, 0), Key(1, 0), Key(0, 1))


@pytest.mark.parametrize("loads", [1, 2, 3])
@settings(max_examples=60)
@given(
    counts=st.tuples(*[st.integers(0, 3)] * 3),
    grams=st.tuples(*[st.sampled_from([300, 500, 700, 900])] * 3),
)
def test_linens_fit_exactly_where_some_way_to_load_them_fits(loads, counts, grams):
    mass = dict(zip(KEYS, grams, strict=True))
    packer = Packer(mass, loads, 1600)
    linens = [key for key, count in zip(KEYS, counts, strict=True) for _ in range(count)]

    def may_be(way):
        """Whether putting each linen into the load named for it is allowed."""
        for load in range(loads):
            held = [key for key, where in zip(linens, way, strict=True) if where == load]
            apart = {key.kind for key in held}
            if sum(mass[key] for key in held) > 1600 or len(apart) > 1:
                return False
        return True

    some_way = any(may_be(way) for way in product(range(loads), repeat=len(linens)))
    packed = packer.pack(counts)

    assert (packed is not None) == some_way
    if packed is not None:
        assert tuple(sum(load.get(key, 0) for load in packed) for key in KEYS) == counts


@given(st.sets(st.integers(200, 1500), min_size=1, max_size=3), st.integers(200, 3000))
def test_the_fullest_load_is_the_heaviest_sum_that_fits(grams, load_g):
    most = load_g // min(grams)
    sums = {
        sum(some)
        for number in range(most + 1)
        for some in combinations_with_replacement(sorted(grams), number)
    }

    assert fullest_load(sorted(grams), load_g) == max(one for one in sums if one <= load_g)
