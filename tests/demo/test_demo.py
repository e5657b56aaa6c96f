"""The demo: an invented rescue, brought into an empty installation and no other."""

import uuid
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.utils import timezone

from builds.demo.designs import DESIGNS
from builds.demo.homes import fill_homes
from builds.demo.rescue import PASSWORD, PEOPLE, draw_designs
from builds.demo.story import HOMES
from habitats.animals.models.animals import Animal
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home
from habitats.people.models.people import Person
from habitats.structure.read import design_from


def test_the_demo_has_a_person_of_each_role_and_its_designs(demo):
    assert {one.roles for one in Person.objects.all()} == set(Person.Role)
    assert Design.objects.count() == len(DESIGNS)
    assert all(f"{one.username:8}{PASSWORD}" in demo.told for one in PEOPLE)
    assert all(one.check_password(PASSWORD) for one in Person.objects.all())


def test_a_second_run_changes_nothing(demo):
    Design.objects.first().archive()
    before = {model: model.objects.count() for model in (Animal, Enclosure, Home)}

    call_command("demo", stdout=StringIO())

    assert Design.objects.count() == len(DESIGNS)
    assert Person.objects.count() == len(PEOPLE)
    assert Design.objects.archived().count() == 1
    assert {model: model.objects.count() for model in before} == before


def test_the_demo_does_not_come_into_a_real_rescue(make_person):
    make_person("cora", role="coordinator")

    with pytest.raises(CommandError, match="not the demo's, so nothing was changed"):
        call_command("demo")

    assert Person.objects.count() == 1
    assert not Design.objects.exists()


def test_if_empty_keeps_silent_in_a_real_rescue(make_person, capsys):
    make_person("cora", role="coordinator")

    call_command("demo", if_empty=True)

    assert capsys.readouterr().out == ""
    assert Person.objects.count() == 1


def test_only_the_unfinished_design_has_faults(demo):
    assert [one.name for one in Design.objects.all() if one.faults()] == ["Landing, not finished"]


def test_no_demo_design_is_a_worked_value():
    """Panels of 355, 355.6 and 350 mm with 7 mm are those of the worked values."""
    for document in DESIGNS:
        assert design_from(document).panel.size_mm not in (355, 356, 350)


def test_the_first_home_is_the_fosters_own(demo):
    ines = Person.objects.get(username="ines")

    assert Animal.objects.visible_to(ines, timezone.localdate()).count() == 7


def test_a_network_to_measure_with_goes_on_after_the_story_and_shares_no_name(coordinator, foster):
    draw_designs(coordinator, uuid.uuid4())

    fill_homes(coordinator, foster, timezone.localdate(), homes=len(HOMES) + 14)

    assert Home.objects.count() == len(HOMES) + 14
    for model, name in ((Home, "name"), (Animal, "name"), (Enclosure, "label")):
        names = list(model.objects.values_list(name, flat=True))
        assert len(set(names)) == len(names)


def test_the_demo_says_how_many_homes_it_can_make(db):
    with pytest.raises(CommandError, match="--homes 0 given; 1 to 20000 are allowed"):
        call_command("demo", homes=0)


def test_a_server_that_is_to_be_empty_is_told_of_the_people_of_the_demo(demo, capsys):
    call_command("demo", warn=True)

    assert "people of the demo are in this database (" in capsys.readouterr().out


def test_a_server_without_the_demo_is_told_nothing_of_it(coordinator, capsys):
    call_command("demo", warn=True)

    assert capsys.readouterr().out == ""
