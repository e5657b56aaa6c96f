"""A name stands for one idea in the whole code base."""

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).parents[2]
# A row and the pure value of the same idea, or Django's own name: the only reasons there are.
DOUBLES = {
    "Alteration": "what an alteration changes, and the row that it was made",
    "Command": "Django finds a command by its module; the class has this name in each",
    "Design": "a design as drawn, and the rows that keep it",
    "Kind": "one key of a kind of part in three tables: what it is, how it is made and drawn",
    "Offcut": "a rectangle of sheet left over: of a layout, of an old blank, in the store",
}


def test_no_two_classes_have_one_name_and_two_meanings():
    """One that a class or a function holds, or that a file keeps to itself, is read with it."""
    places = defaultdict(list)
    for path in sorted(
        path for app in ("habitats", "builds") for path in (ROOT / app).rglob("*.py")
    ):
        if "migrations" not in path.parts:
            for name in _classes(path):
                places[name].append(str(path.relative_to(ROOT)))
    twice = {name: files for name, files in places.items() if len(files) > 1}

    assert {name: files for name, files in twice.items() if name not in DOUBLES} == {}
    assert [name for name in DOUBLES if name not in twice] == [], "no longer defined twice"


def _classes(path: Path) -> Iterator[str]:
    for node in ast.parse(path.read_text()).body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield node.name
