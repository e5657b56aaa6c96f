"""Enclosures that were drawn before there was a bound on panels."""

import pytest

from habitats.designs.models import structures


@pytest.fixture
def lower_bound(monkeypatch):
    """Of three panels, from when it is asked for; nothing worked out under it is kept."""

    def lower():
        monkeypatch.setattr("habitats.structure.structure.MOST_PANELS", 3)
        structures._raised.cache_clear()

    yield lower
    structures._raised.cache_clear()


def test_one_of_more_panels_than_can_be_planned_is_still_read(make_enclosure, lower_bound):
    """Its animals stay on every page, though it could not be drawn today."""
    enclosure = make_enclosure("Long bay", plan=["#####"] * 3)
    lower_bound()

    assert structures.structure_of(enclosure.shape()) is None
    assert enclosure.structure() is not None
