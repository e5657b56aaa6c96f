"""What becomes of an enclosure, and what may not be said of it."""

import uuid

import pytest

from habitats.animals.models.stays import leave
from habitats.common.happened import Elsewhere
from habitats.enclosures.models.changes import change_state, states_open_to
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState

pytestmark = pytest.mark.django_db


@pytest.fixture
def occupied(make_home, make_enclosure, make_animal, make_group):
    enclosure = make_enclosure("Nook", make_home())
    make_group(make_animal(), enclosure=enclosure)
    return enclosure


@pytest.mark.parametrize(
    "state",
    [
        EnclosureState.PLANNED,
        EnclosureState.BUILDING,
        EnclosureState.STANDING,
        EnclosureState.RETIRED,
    ],
)
def test_an_enclosure_with_animals_in_it_is_in_use_or_needs_repair(
    occupied, coordinator, today, state
):
    with pytest.raises(Elsewhere, match="Move them out before"):
        change_state(occupied, state, on=today, by=coordinator)
    assert states_open_to(occupied) == (EnclosureState.IN_USE, EnclosureState.NEEDS_REPAIR)


def test_an_empty_enclosure_is_not_marked_in_use_by_hand(make_enclosure, coordinator, today):
    with pytest.raises(Elsewhere, match="when a group moves in"):
        change_state(make_enclosure(), EnclosureState.IN_USE, on=today, by=coordinator)


def test_an_occupied_enclosure_is_repaired_and_in_use_again(occupied, coordinator, day):
    change_state(occupied, EnclosureState.NEEDS_REPAIR, on=day(-2), by=coordinator)
    change_state(occupied, EnclosureState.IN_USE, on=day(-1), by=coordinator)

    assert occupied.state_now() == EnclosureState.IN_USE


def test_a_group_that_leaves_a_broken_enclosure_leaves_it_to_be_repaired(
    occupied, coordinator, day
):
    change_state(occupied, EnclosureState.NEEDS_REPAIR, on=day(-2), by=coordinator)

    leave(occupied.stays.get().group, day(-1), by=coordinator)

    assert occupied.state_now() == EnclosureState.NEEDS_REPAIR


def test_a_retired_enclosure_stands_nowhere_from_that_day_on(
    make_home, make_enclosure, coordinator, day
):
    enclosure = make_enclosure(home=make_home())

    change_state(enclosure, EnclosureState.RETIRED, on=day(-1), by=coordinator)

    assert enclosure.standings.on(day(-2)).exists()
    assert not enclosure.standings.on(day(-1)).exists()
    assert not Enclosure.objects.live().exists()


def test_the_same_change_sent_twice_happens_once(make_enclosure, coordinator, today):
    enclosure, idempotency_key = make_enclosure(), uuid.uuid4()

    for _ in range(2):
        change_state(
            enclosure,
            EnclosureState.NEEDS_REPAIR,
            on=today,
            by=coordinator,
            idempotency_key=idempotency_key,
        )

    assert enclosure.events.count() == 2


def test_no_state_is_said_for_a_day_before_the_last_one(make_enclosure, coordinator, day):
    enclosure = make_enclosure(since=day(-10))

    with pytest.raises(Elsewhere, match="is from 28 February 2027"):
        change_state(enclosure, EnclosureState.NEEDS_REPAIR, on=day(-11), by=coordinator)


def test_nothing_is_retired_before_it_stood_where_it_stands(
    make_home, make_enclosure, coordinator, day
):
    from habitats.enclosures.models.standing import stand

    enclosure = make_enclosure(since=day(-10))
    stand(enclosure, make_home(), day(-2), by=coordinator)

    with pytest.raises(Elsewhere, match="where it is since 8 March 2027"):
        change_state(enclosure, EnclosureState.RETIRED, on=day(-3), by=coordinator)
    assert enclosure.state_now() == EnclosureState.STANDING
