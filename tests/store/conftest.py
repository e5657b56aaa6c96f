"""A stocked store."""

import pytest

from builds.store.models import movements
from tests.support.sheets import make_place
from tests.support.store import make_item


@pytest.fixture
def panel(db):
    return make_item()


@pytest.fixture
def rack(db):
    return make_place("Rack")


@pytest.fixture
def loft(db):
    return make_place("Loft")


@pytest.fixture
def ten(panel, rack, coordinator):
    """Ten panels on the rack: their stock."""
    movements.take_in(panel, rack, 10, by=coordinator)
    return panel.stocks.get()
