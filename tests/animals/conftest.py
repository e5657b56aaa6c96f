"""An animal that may not join yet."""

import pytest

from habitats.animals.models.quarantines import Quarantine


@pytest.fixture
def apart(make_animal, coordinator, day):
    """An animal in quarantine since three days ago."""
    animal = make_animal("Nut", came_on=day(-3))
    Quarantine.objects.create(animal=animal, since=day(-3), made_by=coordinator)
    return animal
