"""A paper is printed in a process of its own: the same, or a word why not."""

import pytest

from habitats.common.pdf import pdf_from
from habitats.common.printing import PrintFailed, printed_apart
from tests.common.conftest import page_of


def test_a_paper_printed_apart_is_the_same(settings):
    here = pdf_from(page_of())
    settings.PRINTS_APART = True

    assert pdf_from(page_of()) == here


def test_a_print_that_fails_apart_says_why():
    with pytest.raises(PrintFailed, match="TypeError"):
        printed_apart(None, "https://packet.invalid/", {})


def test_a_print_that_hangs_is_ended(monkeypatch):
    monkeypatch.setattr("habitats.common.printing.MOST_SECONDS", 0)

    with pytest.raises(PrintFailed, match="not done after"):
        printed_apart("<p>Cut the tray.</p>" * 2_000, "https://packet.invalid/", {})
