"""The style sheets use the tokens that there are, and write no colour of their own."""

import re
from pathlib import Path

import pytest

CSS = Path(__file__).parents[2] / "static" / "css"
SHEETS = sorted(path.name for path in CSS.glob("*.css"))
# Laid out by WeasyPrint on white paper, without the tokens of the screen.
PRINT_ONLY = {"print.css", "pulls-print.css", "report-print.css", "traces-print.css"}


def without_remarks(name: str) -> str:
    return re.sub(r"/\*.*?\*/", "", (CSS / name).read_text(), flags=re.S)


def defined(name: str) -> set[str]:
    return set(re.findall(r"(--[a-z0-9-]+):", without_remarks(name)))


@pytest.mark.parametrize("name", SHEETS)
def test_every_token_that_is_used_exists(name):
    used = set(re.findall(r"var\((--[a-z0-9-]+)", without_remarks(name)))

    assert used <= defined("tokens.css") | defined(name)


@pytest.mark.parametrize("name", sorted(set(SHEETS) - PRINT_ONLY - {"tokens.css"}))
def test_colours_are_written_down_once(name):
    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[^{}]*;)", without_remarks(name)) == []
