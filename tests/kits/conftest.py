"""A kit, and one with a link that its adopter opens without an account."""

import pytest

from builds.kits.models.kits import Packing
from tests.support.kits import make_kit, make_link


@pytest.fixture
def adopter(client_of, this_day):
    """Somebody without an account."""
    return client_of(None)


@pytest.fixture
def link(this_day):
    return make_link()


@pytest.fixture
def here(link):
    return f"/k/{link.token}/"


@pytest.fixture
def kit():
    return make_kit()


@pytest.fixture
def line(kit):
    """The first line of its list."""
    return Packing(kit).lines[0]
