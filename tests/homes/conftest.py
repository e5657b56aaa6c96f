"""Clients of the cast on the small rescue's day, and what a page or a print says."""

import logging
from collections.abc import Iterator
from io import BytesIO

import pypdf
import pytest


@pytest.fixture
def coordinating(client_of, coordinator, this_day):
    return client_of(coordinator)


@pytest.fixture
def fostering(client_of, foster, this_day):
    return client_of(foster)


@pytest.fixture
def building(client_of, builder, this_day):
    return client_of(builder)


@pytest.fixture
def text_of():
    """The page's words with plain blanks and quotes."""
    return lambda response: response.content.decode().replace("\xa0", " ").replace("&#x27;", "'")


@pytest.fixture
def words_of():
    """`words_of(pdf)`: the text of each page, with single blanks."""

    def read(pdf: bytes) -> list[str]:
        pages = pypdf.PdfReader(BytesIO(pdf)).pages
        return [" ".join(page.extract_text().split()) for page in pages]

    return read


@pytest.fixture
def answer_to():
    """`answer_to("ch-tschv")`: the rule set for guinea pigs that the rescue answers to."""
    from habitats.rescue.models.rescue import Rescue

    def choose(rules: str, **changes: object) -> Rescue:
        rescue = Rescue.ours()
        rescue.guinea_pig_rules = rules
        for name, value in changes.items():
            setattr(rescue, name, value)
        rescue.save()
        return rescue

    return choose


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
