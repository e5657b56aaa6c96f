"""A build that is under way."""

import pytest

from tests.support.builds import make_build


@pytest.fixture
def under_way(builder):
    """A build that is begun, with the builder of the cast on it."""
    return make_build("Nook by the door", state="building", people=[builder])
