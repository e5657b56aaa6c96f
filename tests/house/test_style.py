"""The style sheets use the tokens that there are, write no colour of their own, share no class."""

import re
from pathlib import Path

import pytest

CSS = Path(__file__).parents[2] / "static" / "css"
TEMPLATES = CSS.parents[1] / "templates"
SHEETS = sorted(path.name for path in CSS.glob("*.css"))
# Laid out by WeasyPrint on white paper, without the tokens of the screen.
PRINT_ONLY = {name for name in SHEETS if name.endswith("print.css")}


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


@pytest.mark.parametrize("name", SHEETS)
def test_no_word_is_written_by_a_style_sheet(name):
    """Nobody could translate it."""
    values = re.findall(r"(?:string-set|content):([^;]*)", without_remarks(name))
    texts = [text for value in values for text in re.findall(r'"([^"]*)"', value)]
    bare = [re.sub(r"\\[0-9A-Fa-f]{1,6}", "", text) for text in texts]

    assert [text for text in bare if re.search(r"[A-Za-z]{2}", text)] == []


# --- A class is said in one sheet ---

# What every page loads, in this order; the sheet of its feature comes after.
COMMON = ["tokens.css", "base.css", "lists.css", "figures.css", "forms.css", "drawing.css"]
# Sheets of the screen and of paper never meet, but for this one, which is of both.
OF_BOTH = {"packet.css"}
ON_PAPER = PRINT_ONLY | OF_BOTH
ON_SCREEN = set(SHEETS) - ON_PAPER | OF_BOTH
EXCEPTIONS = {
    "target": "On pages of a build it is as high as a thumb at a desk too: builders wear gloves.",
    "packet": "packet-print.css gives in millimetres what packet.css says for the screen too.",
}


def rules_of(text: str) -> list[str]:
    """The selectors of all rules, one each: what stands before a brace, but for @-rules."""
    heads = re.findall(r"([^{};]+)\{", text)
    return [
        one.strip()
        for head in heads
        if not head.strip().startswith("@")
        for one in re.split(r",(?![^(]*\))", head)
    ]


def begun_with(rules: list[str]) -> set[str]:
    """The classes that rules begin with: `.card > h3` is a rule of cards, wherever it stands."""
    firsts = [re.split(r"[\s>+~]", rule)[0] for rule in rules]
    found = [re.search(r"\.([a-zA-Z][\w-]*)", one) for one in firsts]
    return {one[1] for one in found if one}


def twice_said(names: set[str]) -> dict[str, list[str]]:
    where: dict[str, list[str]] = {}
    for name in sorted(names):
        for one in begun_with(rules_of(without_remarks(name))):
            where.setdefault(one, []).append(name)
    return {one: sheets for one, sheets in where.items() if len(sheets) > 1}


@pytest.mark.parametrize("names", [ON_SCREEN, ON_PAPER], ids=["screen", "paper"])
def test_the_rules_of_a_class_stand_in_one_sheet(names):
    assert {one: at for one, at in twice_said(names).items() if one not in EXCEPTIONS} == {}


def test_no_exception_is_kept_that_nothing_needs():
    assert {*twice_said(ON_SCREEN), *twice_said(ON_PAPER)} == EXCEPTIONS.keys()


def test_a_rule_belongs_to_the_class_that_it_begins_with():
    text = """
        .card > h3, td .target { margin: 0; }
        details.more:has(.two, .three) p { margin: 0; }
        @media (max-width: 40rem) { .by-row th { display: block; } }
    """

    assert begun_with(rules_of(text)) == {"card", "more", "by-row"}


def test_every_page_loads_the_components_before_the_sheet_of_its_feature():
    shared = (TEMPLATES / "_style_sheets.html").read_text()
    bases = [path for path in TEMPLATES.rglob("*.html") if "_style_sheets.html" in path.read_text()]

    assert re.findall(r"css/([\w-]+\.css)", shared) == COMMON
    assert {path.name for path in bases} == {"base.html", "adopter_base.html"}
    for path in bases:
        text = path.read_text()
        assert "css/" not in text[: text.index("_style_sheets.html")]
