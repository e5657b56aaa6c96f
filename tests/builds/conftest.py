"""Clients of the cast on the small rescue's day."""

import pytest


@pytest.fixture
def coordinating(client_of, coordinator, this_day):
    return client_of(coordinator)


@pytest.fixture
def building(client_of, builder, this_day):
    return client_of(builder)
