"""An enclosure with two animals, in a foster's home; an intake, and a free enclosure for it."""

import uuid

import pytest

from tests.support.intakes import SENT, rows


@pytest.fixture
def nook(make_home, make_enclosure, make_animal, make_group, foster):
    home = make_home("Wren", area="North Quay", people=[foster])
    enclosure = make_enclosure("Nook", home)
    make_group(make_animal("Pip", grams=900), make_animal("Moss", grams=880), enclosure=enclosure)
    return enclosure


@pytest.fixture
def send(coordinating):
    """`send({"name": "Pip"}, {"name": "Moss"}, place=code)`: the form of an intake, sent."""

    def send(*animals, **common):
        given = {"once": str(uuid.uuid4()), **SENT, **rows(*animals), **common}
        return coordinating.post("/intake/", {k: v for k, v in given.items() if v is not None})

    return send


@pytest.fixture
def bay(make_home, make_enclosure, answer_to):
    """A free enclosure for two, in a home with a room for isolation."""
    answer_to("ch-tschv")
    home = make_home("The depot", isolation_places=1, most_enclosures=5)
    return make_enclosure("Bay 1", home, plan=("####", "####"))
