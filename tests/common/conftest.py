"""Papers that are kept in a folder of the test, by a printer that prints numbers."""

from dataclasses import dataclass
from itertools import count
from pathlib import Path

import pytest

from habitats.common.addresses import address_of, picture_address
from habitats.common.page import PrintedPage

PICTURE = picture_address("1.svg")


@pytest.fixture
def data(settings, tmp_path) -> Path:
    """Where papers are kept in this test."""
    settings.DATA_DIR, settings.PRINTS_MB = tmp_path / "data", 1
    return tmp_path / "data"


@pytest.fixture
def kept(data):
    """`kept()`: the files that are kept, by name."""
    return lambda: sorted((data / "prints").glob("*"))


@pytest.fixture
def printer(monkeypatch):
    """Each print is another: its number, and the page. `printer.size`: its bytes at least."""

    class Printer:
        size = 0
        numbers = count(1)

        def __init__(self, *, string, **more):
            self.string = string

        def write_pdf(self, **more):
            words = f"print {next(Printer.numbers)}: {self.string}"
            return words.encode().ljust(Printer.size)

    monkeypatch.setattr("weasyprint.HTML", Printer)
    return Printer


def page_of(words="Cut the tray.", picture=b"<svg/>", sheet="css/print.css"):
    link = f'<link rel="stylesheet" href="{address_of(sheet)}">'
    return PrintedPage(f'{link}<p>{words}</p><img src="{PICTURE}">', {PICTURE: picture})


@dataclass(frozen=True)
class Facts:
    words: str = "Cut the tray."
    sections: frozenset[str] = frozenset({"steps", "plans", "cover"})
