"""An adopter, and a pair that lives together and is reserved."""

import uuid

import pytest

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.steps import AdoptionStep, reserve
from habitats.welfare.new_home import CompanyAtHome


@pytest.fixture
def adopter(coordinator):
    return Adopter.objects.write_down(by=coordinator, name="Rue Marlow", phone="555 0101")


@pytest.fixture
def step(coordinator, day):
    """`step(-3)`: something done three days before today, with a key of its own."""

    def make(days=0, note=""):
        return AdoptionStep(day(days), coordinator, uuid.uuid4(), note)

    return make


@pytest.fixture
def make_reserved(adopter, step):
    """`make_reserved(pip, moss)`: reserved for the adopter since 20 days."""

    def make(*animals, **at_home):
        return reserve(adopter, animals, step(-20), notes="", at_home=CompanyAtHome(**at_home))

    return make


@pytest.fixture
def pair(lives):
    """Pip and Moss, two sows of one group in one enclosure."""
    group, animals, enclosure = lives("Pip", "Moss", grams=900)
    return group, animals, enclosure
