"""Clients of the cast, a stocked store, and what a page says."""

import pytest

from builds.store.models import movements
from tests.support.sheets import make_place
from tests.support.store import make_item


@pytest.fixture
def coordinating(client_of, coordinator):
    return client_of(coordinator)


@pytest.fixture
def building(client_of, builder):
    return client_of(builder)


@pytest.fixture
def text_of():
    """The page's words with plain blanks and quotes."""
    return lambda response: response.content.decode().replace("\xa0", " ").replace("&#x27;", "'")


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
