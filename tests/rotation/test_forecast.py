"""The order of a day, lived through by hand: linens come back, changes are made, loads are filled.

4 January 2027 is a Monday. What is expected was reckoned with pencil and paper from the order.
"""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from habitats.rotation.check import faults_in
from habitats.rotation.forecast import HOLD, forecast, programme_of
from habitats.rotation.infection import Suspicion, WashRun, releases
from habitats.rotation.lane import lanes_of, passed, standings_of
from habitats.rotation.values import WashStage
from tests.support.linen_rounds import MONDAY, make_laundry, make_round, small_rounds


def on(day):
    return MONDAY + timedelta(days=day)


@pytest.fixture
def waits():
    """Days on which someone waits, from the start, with the enclosure."""

    def found(inputs):
        return [((one.date - MONDAY).days, one.enclosure) for one in forecast(inputs).shortages]

    return found


def test_a_linen_is_back_for_the_changes_of_the_day_it_is_ready(waits):
    pieces = [("Old", "in_use", "E"), ("L", "washing", 2)]
    inputs = make_round([("E", 2, 0)], pieces, make_laundry(6), days=4)

    assert waits(inputs) == []


def test_one_that_was_ready_before_the_start_is_clean_on_the_first_day(waits):
    inputs = make_round([("E", 5, 5)], [("L", "washing", -3)], make_laundry(6), days=3)

    assert waits(inputs) == []


def test_one_that_did_not_come_back_from_the_wash_is_not_at_hand(waits):
    inputs = make_round([("E", 5, 5)], [("L", "washing", -3)], make_laundry(6), days=3)
    (piece,) = inputs.pieces
    not_back = replace(inputs, pieces=(replace(piece, ready=None),))

    assert waits(not_back) == [(0, "E"), (1, "E"), (2, "E")]
    assert forecast(not_back).days["A"] == ((0, 0, 0, 1),) * 3


def test_each_day_of_waiting_is_a_shortage_of_its_own(waits):
    inputs = make_round([("E", 5, 5)], [("L", "washing", 3)], make_laundry(6), days=6)

    assert waits(inputs) == [(0, "E"), (1, "E"), (2, "E")]


def test_a_change_is_counted_from_the_day_it_was_made(waits):
    # Due on day 0, made on day 2, so due again on day 4; nothing is clean then.
    inputs = make_round([("E", 2, 2)], [("L", "washing", 2)], make_laundry(), days=6)

    assert waits(inputs) == [(0, "E"), (1, "E"), (4, "E"), (5, "E")]


def test_who_was_due_first_is_changed_first(waits):
    inputs = make_round([("Late", 9, 9), ("Early", 9, 10)], [("L", "clean")], make_laundry(), 1)

    assert waits(inputs) == [(0, "Late")]


def test_of_two_due_on_one_day_the_first_in_the_file_is_changed_first(waits):
    inputs = make_round([("Z", 9, 9), ("A", 9, 9)], [("L", "clean")], make_laundry(), days=1)

    assert waits(inputs) == [(0, "A")]


def test_the_wash_comes_after_the_changes_of_its_day():
    # Changed on Monday, so the old one is soiled and goes into Monday's load.
    inputs = make_round(
        [("E", 3, 3)], [("Old", "in_use", "E"), ("New", "clean")], make_laundry(0), days=1
    )

    (load,) = forecast(inputs).loads
    assert (load.date, load.linens, load.grams, load.programme) == (MONDAY, ("Old",), 600, "usual")


def test_a_linen_clean_within_the_day_is_there_on_the_next(waits):
    # Washed on Monday with 0 days: Monday's changes are over, Tuesday's are not.
    inputs = make_round([("E", 1, 1)], [("L", "soiled")], make_laundry(0, days_to_clean=0), days=2)

    assert waits(inputs) == [(0, "E")]


def test_an_enclosure_without_a_linen_leaves_none_soiled():
    inputs = make_round([("E", 9, 9)], [("L", "clean")], make_laundry(0), days=1)

    assert forecast(inputs).loads == ()
    assert forecast(inputs).days["A"] == ((0, 1, 0, 0),)


def test_a_bare_enclosure_is_due_on_the_first_day_however_lately_it_was_changed(waits):
    # Its linen was set aside yesterday: the animals lie on bare plastic now, not in nine days.
    pieces = [("Apart", "soiled", None, True)]
    inputs = make_round([("E", 10, 1)], pieces, make_laundry(3), days=5)

    assert waits(inputs) == [(0, "E"), (1, "E"), (2, "E"), (3, "E")]


def test_a_bare_enclosure_takes_the_clean_linen_and_its_days_begin_anew(waits):
    inputs = make_round([("E", 3, 1)], [("L", "clean")], make_laundry(), days=5)

    assert waits(inputs) == [(3, "E"), (4, "E")]


def test_a_bare_enclosure_that_was_due_before_keeps_its_turn(waits):
    needs = [("Bare", 9, 12), ("Late", 9, 10)]
    pieces = [("Lies", "in_use", "Late"), ("L", "clean")]

    assert waits(make_round(needs, pieces, make_laundry(), days=1)) == [(0, "Late")]


def test_what_lies_there_from_elsewhere_keeps_an_enclosure_from_being_bare(waits):
    inputs = make_round([("E", 10, 1)], [], make_laundry(), days=5)
    other = replace(inputs, needs=(replace(inputs.needs[0], lined_otherwise=True),))

    assert waits(inputs) != []
    assert waits(other) == []


@given(small_rounds(most_days=14), st.data())
def test_setting_a_linen_aside_never_puts_off_the_day_on_which_its_size_runs_dry(inputs, data):
    """Where none is clean its place lies bare from the first day on, which is as dry as can be."""
    in_use = [one for one in inputs.pieces if one.at is WashStage.IN_USE]
    assume(in_use)
    gone = data.draw(st.sampled_from(in_use))
    aside = replace(gone, at=WashStage.SOILED, enclosure=None, set_aside=True)
    not_clean = [one for one in inputs.pieces if one.at in (WashStage.IN_USE, WashStage.SOILED)]
    pieces = tuple(aside if one is gone else one for one in not_clean)

    assert forecast(replace(inputs, pieces=pieces)).runs_dry[gone.size] == inputs.start


@settings(max_examples=80)
@given(small_rounds(most_days=14, alike=True), st.data())
def test_removing_a_linen_never_makes_the_forecast_better(inputs, data):
    """Whichever it is: clean, soiled, in the wash, or out of an enclosure, which is bare then.

    Of enclosures that are changed equally often; where they are not, one linen less can leave fewer
    waiting in whatever program is asked, as `Lane.alike` says.
    """
    gone = data.draw(st.sampled_from(inputs.pieces)) if inputs.pieces else None
    without = replace(inputs, pieces=tuple(one for one in inputs.pieces if one is not gone))

    before, after = forecast(inputs), forecast(without)

    assert before.proved
    assert after.proved
    assert len(after.shortages) >= len(before.shortages)


def test_a_size_runs_dry_on_the_first_day_that_a_change_finds_none():
    inputs = make_round([("E", 3, 0)], [("L", "in_use", "E")], make_laundry(), days=9)

    assert forecast(inputs).runs_dry == {"A": on(3)}


def test_a_size_that_never_lacks_has_no_such_day():
    pieces = [("Old", "in_use", "E"), ("L", "clean")]
    inputs = make_round([("E", 3, 0)], pieces, make_laundry(), days=5)

    assert forecast(inputs).runs_dry == {"A": None}


def test_without_wash_days_nothing_is_washed(waits):
    inputs = make_round([("E", 1, 1)], [("L", "soiled")], make_laundry(), days=2)

    assert waits(inputs) == [(0, "E"), (1, "E")]
    assert forecast(inputs).loads == ()


def test_with_no_loads_a_day_wash_days_are_overloaded():
    inputs = make_round([], [("L", "soiled")], make_laundry(0, 3, loads=0), days=7)

    assert forecast(inputs).overloaded == (on(0), on(3))


def test_a_linen_heavier_than_a_load_is_never_washed(waits):
    pieces = [("Old", "in_use", "E"), ("L", "soiled")]
    inputs = make_round([("E", 1, 0)], pieces, make_laundry(0, load_g=500), days=3)

    assert waits(inputs) == [(1, "E"), (2, "E")]
    assert forecast(inputs).loads == ()


def test_those_soiled_for_longest_are_washed_first():
    pieces = [("First", "soiled"), ("Second", "soiled"), ("Third", "soiled")]
    inputs = make_round([], pieces, make_laundry(0, loads=1, load_g=1300), days=8)

    assert [load.linens for load in forecast(inputs).loads] == [("First", "Second"), ("Third",)]


def test_linens_set_aside_never_share_a_load():
    pieces = [("A1", "soiled", None, True), ("B1", "soiled"), ("A2", "soiled", None, True)]
    inputs = make_round([], pieces, make_laundry(0, loads=2), days=1)

    assert {(load.linens, load.programme) for load in forecast(inputs).loads} == {
        (("B1",), "usual"),
        (("A1", "A2"), "65 °C for 14 min or longer, twice in a row"),
    }


def test_two_of_the_washes_apart_release_whatever_is_suspected():
    # J Feline Med Surg 2016;18:457 and J Fungi 2022;8:546: two washes, 60 °C, 14 min each.
    # HTM 01-04: 65 °C for 10 min. What is suspected is not known here, so both hold.
    wash = WashRun("apart", HOLD.temperature_c, HOLD.minutes)

    assert programme_of(1, 1) == "65 °C for 14 min or longer, twice in a row"
    assert (HOLD.temperature_c, HOLD.minutes) == (65, 14)
    assert all(releases(one, [wash, wash]).released for one in Suspicion)
    assert not releases(Suspicion.UNKNOWN, [wash]).released


def test_two_washes_that_dry_between_are_two_loads():
    pieces = [("Apart", "soiled", None, True), ("Old", "in_use", "E")]
    laundry = make_laundry(0, 3, set_aside_washes=2)
    inputs = make_round([("E", 9, 8)], pieces, laundry, days=6)

    found = forecast(inputs)

    assert [(load.date, load.programme) for load in found.loads] == [
        (on(0), "65 °C for 14 min or longer, first wash of two"),
        (on(3), "65 °C for 14 min or longer, second wash of two"),
    ]
    assert [one.date for one in found.shortages] == [on(1), on(2), on(3)]


def test_an_ordinary_linen_is_laid_before_one_that_was_set_aside():
    pieces = [("Apart", "clean", None, True), ("Usual", "clean")]
    inputs = make_round([("E", 2, 2)], pieces, make_laundry(2), days=3)

    # Due on day 0 and again on day 2, when the first is taken out and washed.
    assert [load.linens for load in forecast(inputs).loads] == [("Usual",)]


def test_the_counts_of_a_day_are_those_at_its_end():
    pieces = [("Old", "in_use", "E"), ("New", "clean"), ("Wet", "washing", 1)]
    inputs = make_round([("E", 2, 2)], pieces, make_laundry(1), days=3)

    # Clean, in use, soiled, washing: changed on day 0; back and washed on day 1; both on day 2.
    assert forecast(inputs).days["A"] == ((0, 1, 1, 1), (1, 1, 0, 1), (1, 1, 1, 0))


@given(small_rounds(most_days=20, set_aside=True))
def test_every_forecast_holds_when_it_is_lived_through(inputs):
    assert faults_in(inputs, forecast(inputs)) == []


@settings(max_examples=20)
@given(small_rounds(most_days=20))
def test_the_same_question_has_the_same_answer(inputs):
    assert forecast(inputs) == forecast(inputs)


@given(small_rounds(most_days=12, alike=True))
def test_one_more_clean_linen_is_never_worse_where_all_are_changed_equally_often(inputs):
    for lane, standing in zip(lanes_of(inputs), standings_of(inputs), strict=True):
        more = standing._replace(clean=(standing.clean[0] + 1, standing.clean[1]))

        days = range(inputs.days)
        assert passed(lane, more, days)[1] <= passed(lane, standing, days)[1]


def test_one_more_clean_linen_can_be_worse_where_some_are_changed_more_often(waits):
    # With one back on day 2 "Often" takes it, is due again on day 3 and takes the next one from
    # "Seldom"; with both back on day 3 each has one, and "Seldom" is content for ten days.
    needs = [("Often", 1, 0), ("Seldom", 10, 7)]
    laundry = make_laundry()
    lies = [("Old", "in_use", "Often"), ("Older", "in_use", "Seldom")]
    early = make_round(needs, [*lies, ("L", "washing", 2), ("M", "washing", 3)], laundry, days=9)
    late = make_round(needs, [*lies, ("L", "washing", 3), ("M", "washing", 3)], laundry, days=9)

    assert len(waits(early)) > len(waits(late))
