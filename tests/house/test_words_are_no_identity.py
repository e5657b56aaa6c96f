"""What is told apart is told apart by codes: no code of ours asks for words that people read.

So a better sentence, or one in another language, changes nothing in what the program does. A
literal that reads like words has a capital and a small letter at its start, a comma after a
word, or a space among letters; an attribute that holds words has one of the names below.
"""

import ast
import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).parents[2]
FILES = sorted(
    path
    for app in ("habitats", "builds")
    for path in (ROOT / app).rglob("*.py")
    if "migrations" not in path.parts
)
LIKE_WORDS = re.compile(
    r"[A-Z][a-z]|[A-Za-z]+,|.*[A-Za-z] .*[A-Za-z]|.*[A-Za-z] $| [A-Za-z]", re.DOTALL
)
ASKING = {
    "startswith",
    "endswith",
    "removeprefix",
    "removesuffix",
    "partition",
    "rpartition",
    "split",
    "rsplit",
    "index",
    "find",
    "count",
    "get",
    "pop",
}
# By habit these hold what people read; a name can be typed, and is then looked for as such.
HOLDING_WORDS = {"words", "sentence", "title", "instructions", "cautions", "said"}
TEMPLATE_IF = re.compile(r"{%\s*(?:el)?if\s(.*?)%}", re.DOTALL)
COMPARED = re.compile(r"(?:==|!=|\bin)\s*[\"']([^\"']*)[\"']")

# The only reasons there are: what is asked for is no word of ours.
LITERALS = {
    ("habitats/checks.py", "Manifest"): "the name of a class of Django",
    ("habitats/common/languages.py", "Accept-Language"): "a header of HTTP",
    ("habitats/management/commands/untranslated.py", "msgid "): "how a line of a catalogue begins",
    ("habitats/rotation/spots.py", "ramp from "): "names of spots that were kept in English",
    ("habitats/rotation/spots.py", "the "): "names of spots that were kept in English",
    ("habitats/middleware.py", "Accept"): "a header of HTTP",
    ("habitats/middleware.py", "Content-Type"): "a header of HTTP",
    ("habitats/structure/fields.py", "Cc"): "a category of Unicode",
    ("habitats/structure/fields.py", "Zl"): "a category of Unicode",
    ("habitats/structure/fields.py", "Zp"): "a category of Unicode",
}
TEMPLATE_LITERALS = {
    ("enclosures/_state.html", "in use"): "the code of a state, kept in rows",
    ("building/_build_state.html", "handed over"): "the code of a state, kept in rows",
    ("kits/adopter.html", "handed over"): "the code of a state, kept in rows",
}
ATTRIBUTES = {
    ("builds/packing/sources.py", "words"): "sources are known by their text, as in advice",
}


class Asked(NamedTuple):
    path: str
    what: str
    line: int


def literals_asked_for(path: Path) -> Iterator[Asked]:
    for node in ast.walk(ast.parse(path.read_text())):
        for one in _asked(node):
            for literal in ast.walk(one):
                if isinstance(literal, ast.Constant) and isinstance(literal.value, str):
                    yield Asked(_name(path), literal.value, literal.lineno)


def words_asked(path: Path) -> Iterator[Asked]:
    """Attributes that hold words, where something hangs on what they say."""
    for node in ast.walk(ast.parse(path.read_text())):
        sides: list[ast.expr] = []
        if isinstance(node, ast.Compare) and not _is_about_nothing(node):
            sides = [node.left, *node.comparators]
        elif _is_asking(node):
            sides = [node.func.value]
        elif isinstance(node, ast.Dict):
            sides = [key for key in node.keys if key]
        elif isinstance(node, ast.Subscript):
            sides = [node.slice]
        for one in sides:
            if isinstance(one, ast.Attribute) and one.attr in HOLDING_WORDS:
                yield Asked(_name(path), one.attr, one.lineno)


def _asked(node: ast.AST) -> list[ast.expr]:
    if isinstance(node, ast.Compare):
        sides = [node.left, *node.comparators]
        return [
            one for one in sides if isinstance(one, ast.Constant | ast.Tuple | ast.Set | ast.List)
        ]
    if _is_asking(node):
        return node.args[:1]
    if isinstance(node, ast.MatchValue):
        return [node.value]
    return []


def _is_asking(node: ast.AST) -> bool:
    return (
        isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in ASKING
    )


def _is_about_nothing(node: ast.Compare) -> bool:
    """Whether it only asks if there are any words."""
    empty = [one for one in node.comparators if isinstance(one, ast.Constant) and not one.value]
    return len(empty) == len(node.comparators)


def _name(path: Path) -> str:
    return str(path.relative_to(ROOT))


@pytest.fixture(scope="module")
def literals() -> list[Asked]:
    return [one for path in FILES for one in literals_asked_for(path) if LIKE_WORDS.match(one.what)]


def test_no_code_asks_for_words(literals):
    assert [one for one in literals if one[:2] not in LITERALS] == []


def test_no_code_asks_what_words_say():
    asked = [one for path in FILES for one in words_asked(path)]

    assert [one for one in asked if one[:2] not in ATTRIBUTES] == []


def test_no_template_asks_for_words():
    found = [
        (str(path.relative_to(ROOT / "templates")), literal)
        for path in sorted((ROOT / "templates").rglob("*.html"))
        for asked in TEMPLATE_IF.findall(path.read_text())
        for literal in COMPARED.findall(asked)
        if re.match(r"[A-Z][a-z]|.*[A-Za-z] .*[A-Za-z]", literal)
    ]

    assert [one for one in found if one not in TEMPLATE_LITERALS] == []
    assert [one for one in TEMPLATE_LITERALS if one not in found] == [], "no longer asked for"


def test_every_exception_is_needed(literals):
    asked = {one[:2] for one in literals}

    assert [one for one in LITERALS if one not in asked] == [], "no longer asked for"


@pytest.mark.parametrize(
    "code",
    [
        'if part.what.startswith("liner,"): pass',
        'if part.what.startswith("liner "): pass',
        'if said == "Not yet": pass',
        'if "cannot be made" in message: pass',
        'if what in ("plain panel", "connector"): pass',
        'match what:\n    case "Ground tray": pass',
        'head = noun.partition(" to ")[0]',
    ],
)
def test_words_are_seen(code, tmp_path, monkeypatch):
    monkeypatch.setattr(f"{__name__}.ROOT", tmp_path)
    path = tmp_path / "some.py"
    path.write_text(code)

    found = [one for one in literals_asked_for(path) if LIKE_WORDS.match(one.what)]
    assert found
