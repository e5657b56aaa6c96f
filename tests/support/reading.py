"""How tests read what comes back: a page, a paper, and how much was asked for it."""

import logging
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO

import pypdf
import pytest


@pytest.fixture
def text_of() -> Callable[..., str]:
    """`text_of(response)`: the page with plain blanks and quotes, on one line."""

    def read(response) -> str:
        page = response.content.decode().replace("\xa0", " ").replace("&#x27;", "'")
        return " ".join(page.split())

    return read


@pytest.fixture(scope="session")
def words_of() -> Callable[[bytes], list[str]]:
    """`words_of(pdf)`: the text of each page, with single blanks."""

    def read(pdf: bytes) -> list[str]:
        pages = pypdf.PdfReader(BytesIO(pdf)).pages
        return [" ".join(page.extract_text().split()) for page in pages]

    return read


@pytest.fixture
def queries_for() -> Callable[..., int]:
    """`queries_for(client, address)`: how many queries a page asks, once it was opened before."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    def count(client, address: str) -> int:
        assert client.get(address).status_code == 200
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    return count


@pytest.fixture
def no_print_warnings() -> Iterator[None]:
    """Fails the test for anything WeasyPrint warns of."""
    with printed_without_warnings():
        yield


@contextmanager
def printed_without_warnings() -> Iterator[None]:
    """WeasyPrint warns of nothing while this is open."""
    said: list[str] = []
    handler = logging.Handler(logging.WARNING)
    handler.emit = lambda record: said.append(record.getMessage())  # type: ignore[method-assign]
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    try:
        yield
    finally:
        logger.removeHandler(handler)
    assert said == []


def fits(page) -> bool:
    """Whether nothing of a page in a browser lies beyond the width of its screen."""
    return page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
