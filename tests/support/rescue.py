"""A small rescue of our own making: homes, enclosures, animals; `day` counts from a fixed one."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from habitats.enclosures.models.setting_up import set_up

TODAY = date(2027, 3, 10)


@pytest.fixture
def today():
    return TODAY


@pytest.fixture
def this_day(monkeypatch):
    """Pages, too, take `today` for the day it is; what happened keeps the day it has."""
    real = timezone.localdate

    def day_of(value=None, *zone):
        return TODAY if value is None else real(value, *zone)

    monkeypatch.setattr("django.utils.timezone.localdate", day_of)
    return TODAY


@pytest.fixture
def day():
    """`day(-3)`: three days before today."""
    return lambda days: TODAY + timedelta(days=days)


@pytest.fixture
def make_home(coordinator):
    from habitats.homes.models.homes import Home

    def make(name="Wren", **facts):
        people = facts.pop("people", ())
        home = Home.objects.take_on(by=coordinator, name=name, **facts)
        home.people.set(people)
        return home

    return make


@pytest.fixture
def make_animal(coordinator, day):
    from habitats.animals.models.animals import Animal

    def make(name="Pip", **facts):
        facts = {"species": "guinea_pig", "sex": "F", "came_on": day(-300), **facts}
        grams = facts.pop("grams", None)
        animal = Animal.objects.take_in(by=coordinator, name=name, **facts)
        if grams:
            animal.weigh(grams, day(-1), by=coordinator)
        return animal

    return make


@pytest.fixture
def make_drawn(coordinator):
    """`make_drawn(["##", "##"], name="Low")`: as `make_design`, kept."""
    from habitats.designs.models.designs import Design
    from tests.support.designs import make_design

    def make(*args, **changes):
        return Design.objects.draw(make_design(*args, **changes), by=coordinator)

    return make


@pytest.fixture
def make_enclosure(coordinator, day, make_drawn):
    from habitats.enclosures.models.standing import stand
    from habitats.faults.models.safety_checks import SafetyCheck

    def make(
        label="North wall", home=None, state="standing", since=None, is_checked=True, **design
    ):
        drawn = make_drawn(**design)
        enclosure = set_up(drawn.current, label, by=coordinator, state=state, on=since or day(-300))
        if home is not None:
            stand(enclosure, home, since or day(-300), by=coordinator)
        if is_checked:
            SafetyCheck.objects.create(
                enclosure=enclosure, on=day(-1), answers=[], made_by=coordinator
            )
        return enclosure

    return make


@pytest.fixture
def make_group(coordinator, day):
    from habitats.animals.models.groups import Group
    from habitats.animals.models.stays import move_in

    def make(*animals, enclosure=None, since=None, species="guinea_pig"):
        since = since or day(-100)
        group = Group.objects.begin(species, by=coordinator)
        for animal in animals:
            group.admit(animal, since, by=coordinator)
        if enclosure is not None:
            move_in(group, enclosure, since, by=coordinator)
        return group

    return make


@pytest.fixture
def answer_to(db):
    """`answer_to("ch-tschv")`: the rule set for guinea pigs that the rescue answers to."""
    from habitats.rescue.models.rescue import Rescue

    def choose(rules: str, **changes: object) -> Rescue:
        rescue = Rescue.ours()
        rescue.guinea_pig_rules = rules
        for name, value in changes.items():
            setattr(rescue, name, value)
        rescue.save()
        return rescue

    return choose


@pytest.fixture
def lives(make_animal, make_group, make_enclosure, make_home):
    """`lives("Pip", home=home, sex="M")`: an animal, its group and its enclosure in a home."""

    def make(*names, home=None, species="guinea_pig", plan=("####", "####"), **facts):
        home = home or make_home()
        animals = [make_animal(name, species=species, **facts) for name in names]
        enclosure = make_enclosure(f"Of {names[0]}", home, plan=plan)
        group = make_group(*animals, enclosure=enclosure, species=species)
        return group, animals, enclosure

    return make
