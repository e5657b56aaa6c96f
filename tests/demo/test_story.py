"""The demo tells its story: everybody has a name, and only what the story says is amiss."""

import re

import pytest
from django.utils import timezone

import builds.demo
from builds.demo.story import AMISS, HOMES
from builds.plans.models.builds import Build
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Membership, Override
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home, HomeContact
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import DueRow
from habitats.readings.models.reading_off import Urgency
from habitats.readings.models.readings import Reading
from habitats.welfare.ahead import DueKind

NAMES = [
    (Animal, "name"),
    (Home, "name"),
    (HomeContact, "full_name"),
    (HomeContact, "phone"),
    (Enclosure, "label"),
    (Build, "name"),
    (Person, "first_name"),
]


@pytest.fixture
def readings(demo):
    return Reading.objects.filter(day=timezone.localdate()).select_related("enclosure", "home")


def test_no_two_share_a_name(demo):
    for model, field in NAMES:
        names = list(model.objects.values_list(field, flat=True))

        assert len(names) > 4
        assert sorted(set(names)) == sorted(names)


def test_the_plot_tells_of_every_home_and_of_nobody_who_is_not_there(demo):
    plot = re.findall(r"^- (.+?), (.+?): (.+?)(?=^- |\n\n)", builds.demo.__doc__, re.M | re.S)

    assert [(name, area) for name, area, _what in plot] == [(one.name, one.area) for one in HOMES]
    there = {
        *Animal.objects.values_list("name", flat=True),
        *Home.objects.values_list("name", flat=True),
    }
    living = {home.name: _words_of(home) for home in HOMES}
    for name, _area, what in plot:
        inside = set(re.findall(r"(?<=[a-z,] )[A-Z][a-z]+", " ".join(what.split())))
        told = inside | set(re.findall(r"[A-Z][a-z]+", what)) & there
        assert told <= living[name] | {"Marmalade", "Nutmeg"}


def _words_of(home):
    animals = {animal.name for enclosure in home.enclosures for animal in enclosure.animals}
    return animals.union(*(enclosure.label.split() for enclosure in home.enclosures))


def test_no_home_has_more_or_larger_enclosures_than_it_can_look_after(demo):
    today = timezone.localdate()
    standing = list(Standing.objects.on(today).select_related("home", "enclosure__revision"))
    coming = Build.objects.live().filter(home__isnull=False).select_related("home")
    for home in Home.objects.all():
        there = [one.enclosure for one in standing if one.home == home]
        to_come = sum(one.home == home for one in coming)

        assert len(there) + to_come <= home.most_enclosures, home
        for enclosure in there:
            rows, cols = _spread(enclosure.shape())
            panel_mm = enclosure.shape().panel.size_mm
            assert home.fits(cols * panel_mm, rows * panel_mm), enclosure


def _spread(design):
    cells = design.levels[0].cells
    rows, cols = {row for row, _col in cells}, {col for _row, col in cells}
    return max(rows) - min(rows) + 1, max(cols) - min(cols) + 1


def test_nothing_is_amiss_but_what_the_story_says(readings):
    wrong = {one.enclosure.label: _amiss(one) for one in readings.filter(urgency=Urgency.WRONG)}

    assert wrong == AMISS


def _amiss(reading):
    if reading.unsafe_faults:
        return "unsafe"
    if DueRow.objects.filter(enclosure=reading.enclosure, kind=DueKind.PART).exists():
        return "part"
    return "company" if reading.blocks else "floor"


def test_the_standard_has_a_figure_for_everybody(readings):
    assert not readings.filter(animals__gt=0, passes__isnull=True)


def test_one_override_holds_and_one_holds_no_longer(demo):
    holding = Override.objects.holding(
        Membership.objects.open().values_list("group", flat=True).distinct()
    )

    assert Override.objects.count() == 2
    assert [one.reason for one in holding] == ["The vet felt two young, and is on call."]
