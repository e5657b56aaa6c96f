"""Clients of the cast, and who takes."""

import uuid

import pytest


@pytest.fixture
def coordinating(client_of, coordinator):
    return client_of(coordinator)


@pytest.fixture
def building(client_of, builder):
    return client_of(builder)


@pytest.fixture
def says(builder):
    """Who does it, and once: `take([pull], {...}, **says())`."""
    return lambda: {"by": builder, "once": uuid.uuid4()}


@pytest.fixture
def text_of():
    """The page's words with plain blanks and quotes."""
    return lambda response: response.content.decode().replace("\xa0", " ").replace("&#x27;", "'")
