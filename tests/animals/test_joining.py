"""Animals that join, part and leave: nobody is in two places, and empty groups free their floor."""

import uuid

import pytest

from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.joining import begin_with, discharge, join, part, take_back
from habitats.animals.models.stays import Stay
from habitats.common.happened import Elsewhere
from habitats.enclosures.models.enclosures import EnclosureState

pytestmark = pytest.mark.django_db


def test_the_last_animal_that_joins_another_group_frees_the_enclosure(lives, coordinator, day):
    old, (pip,), enclosure = lives("Pip")
    new, _animals, _other = lives("Moss")

    join(new, pip, day(0), by=coordinator)

    assert not Stay.objects.on(day(0)).filter(group=old).exists()
    assert enclosure.state_now() == EnclosureState.STANDING
    assert Stay.objects.on(day(-1)).filter(group=old).exists()


def test_an_animal_that_parts_leaves_the_others_where_they_are(lives, coordinator, day):
    group, (pip, moss), enclosure = lives("Pip", "Moss")

    part(pip, day(0), by=coordinator)

    assert [one.animal for one in group.memberships.on(day(0))] == [moss]
    assert enclosure.state_now() == EnclosureState.IN_USE


def test_joining_twice_with_one_key_happens_once(lives, make_animal, coordinator, day):
    group, _animals, _enclosure = lives("Pip")
    moss, idempotency_key = make_animal("Moss"), uuid.uuid4()

    for _ in range(2):
        join(group, moss, day(0), by=coordinator, idempotency_key=idempotency_key)

    assert moss.memberships.count() == 1


def test_a_new_group_sent_twice_is_one_group(make_animal, coordinator, day):
    animals, idempotency_key = [make_animal("Pip"), make_animal("Moss")], uuid.uuid4()

    for _ in range(2):
        begin_with(animals, "guinea_pig", day(0), by=coordinator, idempotency_key=idempotency_key)

    assert Group.objects.count() == 1
    assert Membership.objects.on(day(0)).count() == 2


def test_a_group_that_cannot_begin_leaves_nothing_behind(make_animal, coordinator, day):
    gone = make_animal("Moss", left_on=day(-5), left_why="adopted")

    with pytest.raises(Elsewhere, match="left on 5 March 2027"):
        begin_with([make_animal(), gone], "guinea_pig", day(0), by=coordinator)

    assert not Group.objects.exists()
    assert not Membership.objects.exists()


def test_an_animal_that_is_there_already_is_told_so(lives, coordinator, day):
    group, (pip,), _enclosure = lives("Pip")

    with pytest.raises(Elsewhere, match="lives in this group already"):
        join(group, pip, day(0), by=coordinator)


def test_nobody_joins_a_group_before_it_came(lives, make_animal, coordinator, day):
    group, _animals, _enclosure = lives("Pip")
    moss = make_animal("Moss", came_on=day(-2))

    with pytest.raises(Elsewhere, match="came to us on 8 March 2027"):
        join(group, moss, day(-3), by=coordinator)


def test_nobody_leaves_the_rescue_before_it_came(make_animal, coordinator, day):
    with pytest.raises(Elsewhere, match="came to us on 8 March 2027"):
        discharge(make_animal(came_on=day(-2)), day(-3), "adopted", by=coordinator)


def test_an_animal_that_leaves_the_rescue_leaves_its_group_and_can_be_taken_back(
    lives, coordinator, day
):
    group, (pip,), enclosure = lives("Pip")

    discharge(pip, day(0), "adopted", by=coordinator)
    assert not group.memberships.open().exists()
    assert enclosure.state_now() == EnclosureState.STANDING

    take_back(pip, day(0), by=coordinator)
    pip.refresh_from_db()
    assert (pip.left_on, pip.left_why) == (None, "")


def test_a_day_before_an_animal_came_into_its_group_is_refused(lives, coordinator, day):
    _group, (pip,), _enclosure = lives("Pip")

    with pytest.raises(Elsewhere, match="30 November 2026"):
        part(pip, day(-101), by=coordinator)


def test_a_foster_no_longer_sees_an_animal_that_left_the_group_in_their_home(
    lives, make_home, foster, coordinator, day
):
    from habitats.animals.models.animals import Animal

    _group, (pip, moss), _enclosure = lives("Pip", "Moss", home=make_home(people=[foster]))

    part(pip, day(-1), by=coordinator)

    assert list(Animal.objects.visible_to(foster, day(0))) == [moss]
