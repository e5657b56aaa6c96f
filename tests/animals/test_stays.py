"""Who was where: spans that end once, never overlap, and are told for any day in one query."""

import uuid

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext

from habitats.animals.models.animals import Animal
from habitats.animals.models.stays import Stay, leave, move_in
from habitats.common.happened import Elsewhere
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.standing import stand

pytestmark = pytest.mark.django_db


def test_a_group_that_moves_leaves_the_enclosure_it_was_in(
    make_home, make_animal, make_enclosure, make_group, coordinator, day
):
    home = make_home()
    old, new = make_enclosure("Old", home), make_enclosure("New", home)
    group = make_group(make_animal(), enclosure=old)

    move_in(group, new, day(0), by=coordinator)

    assert [stay.enclosure for stay in Stay.objects.on(day(0))] == [new]
    assert [stay.enclosure for stay in Stay.objects.on(day(-1))] == [old]
    assert (old.state_now(), new.state_now()) == (EnclosureState.STANDING, EnclosureState.IN_USE)


def test_the_same_move_sent_twice_happens_once(
    make_home, make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure, idempotency_key = make_enclosure(home=make_home()), uuid.uuid4()
    group = make_group(make_animal())

    for _ in range(2):
        move_in(group, enclosure, day(0), by=coordinator, idempotency_key=idempotency_key)

    assert group.stays.count() == 1


@pytest.mark.parametrize(
    "state",
    [
        EnclosureState.PLANNED,
        EnclosureState.BUILDING,
        EnclosureState.NEEDS_REPAIR,
        EnclosureState.RETIRED,
    ],
)
def test_nobody_moves_into_an_enclosure_that_is_not_standing(
    state, make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure = make_enclosure(state=state)

    with pytest.raises(Elsewhere, match="Choose an enclosure that is standing"):
        move_in(make_group(make_animal()), enclosure, day(0), by=coordinator)


def test_nobody_moves_in_before_the_enclosure_stood(
    make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure = make_enclosure(since=day(-20))

    with pytest.raises(Elsewhere, match=r"ready to move into since 18 February 2027\. Enter"):
        move_in(make_group(make_animal()), enclosure, day(-21), by=coordinator)

    assert move_in(make_group(make_animal()), enclosure, day(-20), by=coordinator).is_open


def test_a_group_moves_nowhere_before_anybody_was_in_it(
    make_animal, make_enclosure, make_group, coordinator, day
):
    group = make_group(make_animal(), since=day(-5))

    with pytest.raises(Elsewhere, match=r"group .* had no animals before 5 March 2027"):
        move_in(group, make_enclosure(), day(-6), by=coordinator)


def test_nobody_moves_in_before_the_enclosure_was_mended(
    make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure = make_enclosure(since=day(-90))
    enclosure.set_state(EnclosureState.NEEDS_REPAIR, on=day(-30), by=coordinator)
    enclosure.set_state(EnclosureState.STANDING, on=day(-8), by=coordinator)

    with pytest.raises(Elsewhere, match="ready to move into since 2 March 2027"):
        move_in(make_group(make_animal()), enclosure, day(-9), by=coordinator)


def test_an_enclosure_that_is_taken_says_by_whom_and_since_when(
    make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure = make_enclosure()
    make_group(make_animal("Pip"), enclosure=enclosure)

    with pytest.raises(Elsewhere, match="occupied by Pip since 30 November 2026"):
        move_in(make_group(make_animal("Moss")), enclosure, day(0), by=coordinator)


def test_an_animal_admitted_elsewhere_leaves_its_group(make_animal, make_group, coordinator, day):
    animal = make_animal()
    old, new = make_group(animal), make_group(make_animal("Moss"))

    new.admit(animal, day(-5), by=coordinator)

    assert [one.group for one in animal.memberships.on(day(-6))] == [old]
    assert [one.group for one in animal.memberships.on(day(-5))] == [new]


def test_who_was_where_on_a_day_is_one_query(
    make_home, make_animal, make_enclosure, make_group, coordinator, day
):
    home = make_home()
    make_group(make_animal("Pip"), make_animal("Moss"), enclosure=make_enclosure(home=home))

    with CaptureQueriesContext(
        connection,
    ) as queries:
        there = Animal.objects.where(day(-3), home=home)
        names = sorted(there.values_list("name", flat=True))

    assert names == ["Moss", "Pip"]
    assert len(queries) == 1


@pytest.mark.parametrize("until", [None, 0])
def test_the_database_refuses_a_stay_that_overlaps(
    until, make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure = make_enclosure()
    make_group(make_animal(), enclosure=enclosure, since=day(-10)).stays.get().end(
        day(-2), coordinator
    )
    group = make_group(make_animal("Moss"))
    ended = {} if until is None else {"until": day(until), "ended_by": coordinator}

    with pytest.raises(IntegrityError), transaction.atomic():
        Stay.objects.create(
            group=group, enclosure=enclosure, since=day(-5), made_by=coordinator, **ended
        )


def test_a_stay_may_begin_on_the_day_another_ends(
    make_animal, make_enclosure, make_group, coordinator, day
):
    enclosure = make_enclosure()
    leave(make_group(make_animal(), enclosure=enclosure), day(-2), by=coordinator)

    move_in(make_group(make_animal("Moss")), enclosure, day(-2), by=coordinator)

    assert Stay.objects.on(day(-2)).count() == 1


def test_a_move_undone_on_the_same_day_covers_no_day(
    make_animal, make_enclosure, make_group, coordinator, day
):
    right, wrong = make_enclosure("Right"), make_enclosure("Wrong")
    group = make_group(make_animal())
    move_in(group, wrong, day(0), by=coordinator)

    move_in(group, right, day(0), by=coordinator)

    assert [stay.enclosure for stay in Stay.objects.on(day(0))] == [right]


def test_an_enclosure_moves_from_home_to_home(make_home, make_enclosure, coordinator, day):
    first, second = make_home("Wren"), make_home("Ash")
    enclosure = make_enclosure(home=first)

    stand(enclosure, second, day(0), by=coordinator)

    assert [one.home for one in enclosure.standings.on(day(-1))] == [first]
    assert [one.home for one in enclosure.standings.on(day(0))] == [second]


def test_what_happened_is_never_edited(make_animal, make_group, day):
    membership = make_group(make_animal()).memberships.get()
    membership.since = day(-1)

    with pytest.raises(TypeError, match="never edited"):
        membership.save()


def test_a_span_ends_once(make_animal, make_group, coordinator, day):
    membership = make_group(make_animal()).memberships.get()

    assert membership.end(day(0), coordinator)
    assert not membership.end(day(5), coordinator)
    assert membership.until == day(0)


def test_a_foster_sees_what_stands_in_the_own_home(
    make_home, make_enclosure, foster, builder, laundry, today
):
    mine = make_enclosure("Mine", make_home(people=[foster]))
    make_enclosure("Theirs", make_home("Ash"))

    assert list(Enclosure.objects.visible_to(foster, today)) == [mine]
    assert Enclosure.objects.visible_to(builder, today).count() == 2
    assert not Enclosure.objects.visible_to(laundry, today)
