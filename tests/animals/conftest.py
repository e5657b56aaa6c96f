"""Animals that live somewhere."""

import pytest


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
