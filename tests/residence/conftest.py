"""An enclosure with two animals, in a foster's home."""

import pytest


@pytest.fixture
def nook(make_home, make_enclosure, make_animal, make_group, foster):
    home = make_home("Wren", area="North Quay", people=[foster])
    enclosure = make_enclosure("Nook", home)
    make_group(make_animal("Pip", grams=900), make_animal("Moss", grams=880), enclosure=enclosure)
    return enclosure
