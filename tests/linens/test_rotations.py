"""A pool as it stands today, as the question of a forecast."""

from datetime import timedelta

import pytest

from habitats.enclosures.models.standing import Standing
from habitats.linens.models.changes import change
from habitats.linens.models.dues import due_days, dues_of
from habitats.linens.models.forecasts import pool_forecast
from habitats.linens.models.rotations import forecast_inputs_by_pool
from habitats.linens.models.spots import ChangePlan, LinenSize, Spot
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.rotation.forecast import forecast
from habitats.rotation.states import State
from habitats.rotation.values import WashStage

pytestmark = pytest.mark.django_db


def drawing_from(pool, today):
    """The keys of the enclosures that stand in homes that draw from the pool."""
    there = Standing.objects.on(today).filter(home__pool=pool)
    return list(there.values_list("enclosure", flat=True))


def forecast_inputs_of(pool, today):
    return forecast_inputs_by_pool([pool], today)[pool.pk]


def spots_of(pool, today):
    return Spot.objects.filter(enclosure__in=drawing_from(pool, today))


@pytest.fixture
def pool(make_home, make_pool):
    return make_pool(home=make_home())


@pytest.fixture
def enclosure(make_enclosure, pool):
    return make_enclosure(home=pool.home)


@pytest.fixture
def lived_in(enclosure, make_group, make_animal, day):
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    return enclosure


def test_an_enclosure_nobody_lives_in_needs_no_change(enclosure, pool, today):
    assert dues_of(spots_of(pool, today), today) == []


def test_where_nothing_lies_yet_a_linen_was_wanted_when_they_moved_in(lived_in, pool, today, day):
    assert {due.on for due in dues_of(spots_of(pool, today), today)} == {day(-9)}


def test_the_next_change_is_an_interval_after_the_last(
    lived_in, pool, make_linen, today, day, coordinator
):
    ChangePlan.objects.create(enclosure=lived_in, interval_days=5)
    spot = lived_in.spots.first()
    change(spot, make_linen(pool, spot.size), day(-2), by=coordinator)

    due = next(due for due in dues_of(spots_of(pool, today), today) if due.spot == spot)

    assert due.on == day(3)
    assert due.linen is not None


@pytest.fixture
def dressed(lived_in, make_linen, pool, day, coordinator):
    """Every place changed two days ago, every five days, and a spare clean one of each size."""
    ChangePlan.objects.create(enclosure=lived_in, interval_days=5)
    for spot in lived_in.spots.all():
        change(spot, make_linen(pool, spot.size), day(-2), by=coordinator)
        make_linen(pool, spot.size)
    return lived_in


def test_a_place_whose_linen_was_set_aside_is_due_today(
    dressed, pool, today, coordinator, enclosure
):
    linen = dressed.spots.first().linen
    bare = linen.spot

    linen.set_state(State.SET_ASIDE, today, by=coordinator, suspicion="ringworm")

    due = {one.spot: one for one in dues_of(spots_of(pool, today), today)}
    assert due[bare].on == today
    assert due[bare].is_bare
    assert {one.on for one in due_days(drawing_from(pool, today), today)} == {
        one.on for one in due.values()
    }


def test_setting_linens_aside_never_puts_off_the_day_a_pool_runs_dry(
    dressed, pool, today, coordinator
):
    """The spare ones are worn; then what lies in the places is set aside: they lie bare now."""
    for linen in list(pool.linens.filter(state=State.CLEAN)):
        linen.set_state(State.RETIRED, today, by=coordinator)
    before = pool_forecast(pool, today).first_dry

    for linen in list(pool.linens.filter(state=State.IN_USE)):
        linen.set_state(State.SET_ASIDE, today, by=coordinator, suspicion="ringworm")

    assert before is not None
    assert before > today
    assert pool_forecast(pool, today).first_dry == today


def test_a_linen_of_another_size_that_will_do_leaves_no_place_bare(
    lived_in, pool, make_linen, today, day, coordinator
):
    ChangePlan.objects.create(enclosure=lived_in, interval_days=5)
    spot = lived_in.spots.first()
    larger = LinenSize.of(spot.size.sort, spot.size.width_mm + 100, spot.size.length_mm + 100)
    change(spot, make_linen(pool, larger), day(-2), by=coordinator, will_do=True)

    (due,) = (one for one in due_days(drawing_from(pool, today), today) if one.spot_id == spot.pk)
    (need,) = (one for one in forecast_inputs_of(pool, today).needs if one.id == str(spot.pk))

    assert due.on == day(3)
    assert need.lined_otherwise


def test_what_did_not_come_back_from_the_wash_is_not_at_hand(
    lived_in, pool, make_linen, today, day, coordinator
):
    """Washed on Monday, clean on Tuesday; today is Wednesday, and nobody brought it back."""
    wet = make_linen(pool, lived_in.spots.first().size, state="soiled", on=day(-2))
    wet.set_state(State.WASHING, day(-2), by=coordinator)

    (piece,) = forecast_inputs_of(pool, today).pieces

    assert (piece.at, piece.ready) == (WashStage.WASHING, None)


def test_linens_are_where_their_last_event_left_them(lived_in, pool, make_linen, today, day):
    size = lived_in.spots.first().size
    for state in ("clean", "soiled"):
        make_linen(pool, size, state=state)
    wet = make_linen(pool, size, state="soiled", on=day(-1))
    wet.set_state(State.WASHING, day(-1), by=wet.made_by)

    pieces = forecast_inputs_of(pool, today).pieces

    assert sorted(one.at for one in pieces) == [
        WashStage.CLEAN,
        WashStage.SOILED,
        WashStage.WASHING,
    ]
    ready = next(one.ready for one in pieces if one.at is WashStage.WASHING)
    assert ready == day(-1) + timedelta(days=pool.days_to_clean)


def test_a_pool_can_be_forecast(lived_in, pool, make_linen, today):
    for spot in lived_in.spots.all():
        for _ in range(4):
            make_linen(pool, spot.size)
    assert forecast(forecast_inputs_of(pool, today)).shortages == ()


@pytest.mark.parametrize("enclosures", [3, 12])
def test_a_round_asks_the_same_few_questions_of_many_enclosures(
    enclosures,
    make_home,
    make_pool,
    make_enclosure,
    make_group,
    make_animal,
    make_linen,
    today,
    django_assert_max_num_queries,
):
    from habitats.readings.models.readings import Reading

    pool = make_pool(home=make_home())
    for number in range(enclosures):
        one = make_enclosure(f"Wall {number}", home=pool.home)
        make_group(make_animal(f"Pip {number}"), enclosure=one)
    list(Reading.objects.fresh(today))
    with django_assert_max_num_queries(9):
        assert len(forecast_inputs_of(pool, today).needs) >= enclosures


def test_dues_are_told_of_an_enclosure_that_somebody_changes_just_then(
    dressed, pool, today, monkeypatch
):
    """Its reading is forgotten between being made and being read."""
    made = ReadingQuerySet.fresh

    def fresh(self, *asked, **of):
        found = made(self, *asked, **of)
        Reading.objects.forget()
        return found

    expected = due_days(drawing_from(pool, today), today)
    monkeypatch.setattr(ReadingQuerySet, "fresh", fresh)

    assert due_days(drawing_from(pool, today), today) == expected
