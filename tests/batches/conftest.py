"""A kind of sheet, and a design to plan on it."""

import pytest

from habitats.designs.models.designs import Design
from tests.support.designs import make_design
from tests.support.sheets import make_kind


@pytest.fixture
def kind(db):
    return make_kind()


@pytest.fixture
def drawn(coordinator):
    return Design.objects.draw(make_design(name="Two by four"), by=coordinator)
