"""A random history of a small rescue, undone act by act, leaves all as it was."""

import random

import pytest

from habitats.animals.models.acts import Undone
from habitats.animals.models.groups import Group
from habitats.animals.models.joining import begin_with, discharge, join, part, take_back
from habitats.animals.models.stays import leave, move_in
from habitats.animals.models.undoing import hindrance_to
from habitats.common.happened import Elsewhere
from tests.support.undoing import as_it_stands, last_act, undone

pytestmark = pytest.mark.django_db


@pytest.fixture
def little_rescue(make_home, make_enclosure, make_animal, make_group, day):
    home = make_home()
    enclosures = [make_enclosure(f"E{number}", home, since=day(-90)) for number in range(4)]
    animals = [
        make_animal(name, sex=sex, came_on=day(-80), born=day(-400))
        for name, sex in (("Ada", "F"), ("Bo", "M"), ("Cleo", "F"), ("Dot", "F"), ("Ed", "M"))
    ]
    make_group(animals[0], animals[1], since=day(-70), enclosure=enclosures[0])
    make_group(animals[2], since=day(-60), enclosure=enclosures[1])
    return animals, enclosures


def some_act(chosen, animals, enclosures, on, by):
    """One of the things that coordinators do, on whatever comes to hand."""
    animal, enclosure = chosen.choice(animals), chosen.choice(enclosures)
    group = chosen.choice(list(Group.objects.all()))
    match chosen.randrange(7):
        case 0 | 1:
            move_in(group, enclosure, on, by=by)
        case 2:
            join(group, animal, on, by=by)
        case 3:
            part(animal, on, by=by)
        case 4:
            leave(group, on, by=by)
        case 5:
            animal.refresh_from_db()
            if animal.is_here:
                discharge(animal, on, "adopted", by=by)
            else:
                take_back(animal, on, by=by)
        case 6:
            begin_with(chosen.sample(animals, 2), "guinea_pig", on, by=by)


@pytest.mark.spread(days=3)
@pytest.mark.parametrize("seed", range(6))
def test_after_each_act_of_a_random_history_undoing_leaves_all_as_before(
    seed, little_rescue, coordinator, day
):
    chosen = random.Random(seed)
    animals, enclosures = little_rescue
    compared = 0
    for step in range(14):
        before, last = as_it_stands(day), last_act()
        try:
            some_act(chosen, animals, enclosures, day(step - 20), coordinator)
        except Elsewhere:
            continue
        act = last_act()
        if act == last:
            continue
        if chosen.random() < 0.6:
            undone(act, coordinator)
            assert as_it_stands(day) == before
            compared += 1
    assert compared


@pytest.mark.spread(days=2)
@pytest.mark.parametrize("seed", range(2))
def test_a_history_is_undone_from_its_end_to_its_beginning(seed, little_rescue, coordinator, day):
    chosen = random.Random(100 + seed)
    animals, enclosures = little_rescue
    befores = []
    for step in range(10):
        before, last = as_it_stands(day), last_act()
        try:
            some_act(chosen, animals, enclosures, day(step - 20), coordinator)
        except Elsewhere:
            continue
        if last_act() != last:
            befores.append((last_act(), before))

    for act, before in reversed(befores):
        undone(act, coordinator)
        assert as_it_stands(day) == before

    assert Undone.objects.count() == len(befores)
    assert all(hindrance_to(act) for act, _before in befores)
