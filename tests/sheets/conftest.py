"""Clients, and what WeasyPrint says while it prints."""

import logging
from collections.abc import Iterator
from io import BytesIO

import pypdf
import pytest


@pytest.fixture
def coordinating(client_of, coordinator):
    return client_of(coordinator)


@pytest.fixture
def building(client_of, builder):
    return client_of(builder)


@pytest.fixture
def text_of():
    """The page's words with plain blanks."""
    return lambda response: response.content.decode().replace("\xa0", " ")


@pytest.fixture
def no_print_warnings() -> Iterator[None]:
    """Fails the test for anything WeasyPrint warns of."""
    said: list[str] = []
    handler = logging.Handler(logging.WARNING)
    handler.emit = lambda record: said.append(record.getMessage())  # type: ignore[method-assign]
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    yield
    logger.removeHandler(handler)
    assert said == []


@pytest.fixture
def words_of():
    """`words_of(pdf)`: the text of each page, with single blanks."""

    def read(pdf: bytes) -> list[str]:
        pages = pypdf.PdfReader(BytesIO(pdf)).pages
        return [" ".join(page.extract_text().split()) for page in pages]

    return read
