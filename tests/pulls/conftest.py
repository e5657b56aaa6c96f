"""Who takes."""

import uuid

import pytest


@pytest.fixture
def says(builder):
    """Who does it, and once: `take([pull], {...}, **says())`."""
    return lambda: {"by": builder, "idempotency_key": uuid.uuid4()}
