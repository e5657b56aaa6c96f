"""A kit of ours is checked as the enclosure at a new home."""

import uuid

import pytest

from builds.plans.models.builds import Build
from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.steps import AdoptionStep, reserve
from tests.support.behind_doors_of_builds import a_kit


@pytest.fixture
def kit(db):
    return Build.objects.get(code=a_kit()()["code"])


@pytest.fixture
def adoption(lives, coordinator, day):
    _group, animals, _enclosure = lives("Pip", "Moss")
    adopter = Adopter.objects.write_down(by=coordinator, name="Rue Marlow")
    step = AdoptionStep(day(-9), coordinator, uuid.uuid4())
    return reserve(adopter, animals, step, notes="")


def test_a_kit_becomes_the_enclosure_of_an_adoption(
    kit, adoption, answer_to, coordinating, text_of
):
    answer_to("ch-tschv")

    answer = coordinating.post(f"/builds/{kit.code}/kit/adoption/", {"adoption": adoption.code})

    check = HomeCheck.objects.get()
    assert answer.url == f"/adoptions/{adoption.code}/"
    assert (check.kind, check.note) == ("kit", kit.code)
    said = text_of(coordinating.get(answer.url))
    assert "A kit of ours" in said
    assert str(check.revision.design) in said


def test_where_nobody_is_reserved_the_page_says_what_to_do(kit, coordinating, text_of):
    said = text_of(coordinating.get(f"/builds/{kit.code}/kit/adoption/"))

    assert "No animals of this species are reserved or on trial." in said
