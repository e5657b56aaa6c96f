"""A pool as it stands today, as the question of a forecast."""

from datetime import timedelta

import pytest

from habitats.models import ChangePlan
from habitats.models.linen_changes import change
from habitats.models.linen_dues import dues_of
from habitats.models.rotations import round_of, spots_of
from habitats.rotation.forecast import forecast
from habitats.rotation.states import State
from habitats.rotation.values import At

pytestmark = pytest.mark.django_db


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
    assert dues_of(spots_of([pool], today), today) == []


def test_where_nothing_lies_yet_a_linen_was_wanted_when_they_moved_in(lived_in, pool, today, day):
    assert {due.on for due in dues_of(spots_of([pool], today), today)} == {day(-9)}


def test_the_next_change_is_an_interval_after_the_last(
    lived_in, pool, make_linen, today, day, coordinator
):
    ChangePlan.objects.create(enclosure=lived_in, interval_days=5)
    spot = lived_in.spots.first()
    change(spot, make_linen(pool, spot.size), day(-2), by=coordinator)

    due = next(due for due in dues_of(spots_of([pool], today), today) if due.spot == spot)

    assert due.on == day(3)
    assert due.linen is not None


def test_linens_are_where_their_last_event_left_them(lived_in, pool, make_linen, today, day):
    size = lived_in.spots.first().size
    for state in ("clean", "soiled"):
        make_linen(pool, size, state=state)
    wet = make_linen(pool, size, state="soiled", on=day(-1))
    wet.say(State.WASHING, day(-1), by=wet.made_by)

    pieces = round_of(pool, today).pieces

    assert sorted(one.at for one in pieces) == [At.CLEAN, At.SOILED, At.WASHING]
    ready = next(one.ready for one in pieces if one.at is At.WASHING)
    assert ready == day(-1) + timedelta(days=pool.days_to_clean)


def test_a_pool_can_be_foretold(lived_in, pool, make_linen, today):
    for spot in lived_in.spots.all():
        for _ in range(4):
            make_linen(pool, spot.size)
    assert forecast(round_of(pool, today)).shortages == ()


@pytest.mark.parametrize("enclosures", [3, 30])
def test_a_round_asks_the_same_few_questions_of_many_enclosures(
    enclosures, make_home, make_pool, make_enclosure, make_group, make_animal, make_linen, today,
    django_assert_max_num_queries,
):  # fmt: skip
    from habitats.models import Reading

    pool = make_pool(home=make_home())
    for number in range(enclosures):
        one = make_enclosure(f"Wall {number}", home=pool.home)
        make_group(make_animal(f"Pip {number}"), enclosure=one)
    list(Reading.objects.fresh(today))
    with django_assert_max_num_queries(9):
        assert len(round_of(pool, today).needs) >= enclosures
