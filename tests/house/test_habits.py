"""Hooks ask what `make check` asks, tables alone are laid out by hand, DEVELOPERS.md is true."""

import ast
import re
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
OF_DJANGO = {"management", "migrations", "templatetags"}  # folders of an app that are no rooms
# Each is read down its columns, which the formatter would break up into one value a line.
LAID_OUT_BY_HAND = {
    "builds/making/kinds.py": "how each kind of part is put up, one a row",
    "habitats/structure/kinds.py": "the kinds of part, one a row",
    "habitats/upkeep/kinds.py": "the kinds of fault, with what is asked of each",
    "tests/rotation/test_rotate_command.py": "a rescue's linens, one a line",
    "tests/drawing/test_rules_of_drawing.py": "rules of drawing, one a line",
    "tests/rotation/test_states.py": "the ways of a linen, one a line",
}


def test_the_hooks_run_before_a_commit_what_make_check_runs():
    makefile = (ROOT / "Makefile").read_text()
    assert re.search(r"^check: lint system-checks\b", makefile, re.MULTILINE)
    recipes = re.findall(r"^(?:lint|system-checks):.*\n((?:\t.*\n)+)", makefile, flags=re.MULTILINE)
    asked = (
        "".join(recipes)
        .replace("$(MANAGE)", "$(BIN)/python manage.py")
        .replace("$(BIN)", ".venv/bin")
        .replace("\t", "")
        .splitlines()
    )

    hooks = (ROOT / ".pre-commit-config.yaml").read_text()
    entries = re.findall(r"^ *entry: (?:env )?(.+)$", hooks, re.MULTILINE)

    assert entries == asked
    assert hooks.count("- repo:") == hooks.count("- repo: local")


def test_only_tables_are_laid_out_by_hand():
    by_hand = re.compile(r"# fmt: *" + "(?:skip|off)")
    found = [
        str(path.relative_to(ROOT))
        for folder in ("habitats", "builds", "tests")
        for path in (ROOT / folder).rglob("*.py")
        if "migrations" not in path.parts
        for _each in by_hand.findall(path.read_text())
    ]

    assert sorted(found) == sorted(LAID_OUT_BY_HAND)  # one table a file


def test_a_lock_lets_others_point_at_the_row():
    """Else who adds a row that points at a locked one waits at the end of its transaction, with
    locks of its own: PostgreSQL ends one of two that wait for each other."""
    asked = re.compile(r"select_for_update\((?![^)]*\)?[^)]*no_key=True)")
    found = [
        str(path.relative_to(ROOT))
        for folder in ("habitats", "builds")
        for path in (ROOT / folder).rglob("*.py")
        if asked.search(path.read_text())
    ]

    assert found == []


def called_on(tree):
    """Of each lock, the methods called before and after it, in one chain, with their arguments."""
    inside = {id(one.func.value) for one in ast.walk(tree) if is_method(one)}
    for outermost in (one for one in ast.walk(tree) if is_method(one) and id(one) not in inside):
        chain, one = {}, outermost
        while is_method(one):
            chain[one.func.attr] = [getattr(arg, "value", None) for arg in one.args]
            one = one.func.value
        if "select_for_update" in chain:
            yield outermost.lineno, chain


def is_method(node):
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)


def is_in_order(chain):
    """A count locks nothing. Of several rows, who locks them by another name or by none may wait
    in a circle with who locks them by key."""
    if {"count", "aggregate"} & chain.keys():
        return False
    by = str(next(iter(chain.get("order_by", [])), ""))
    return bool({"get", "first", "exists"} & chain.keys()) or by == "pk" or by.endswith("_id")


def test_several_rows_are_locked_in_the_order_of_their_keys():
    found = [
        f"{path.relative_to(ROOT)}:{line}"
        for folder in ("habitats", "builds")
        for path in (ROOT / folder).rglob("*.py")
        for line, chain in called_on(ast.parse(path.read_text()))
        if not is_in_order(chain)
    ]

    assert found == []


@pytest.mark.parametrize(
    ("chain", "is_sound"),
    [
        ("rows.select_for_update().get(pk=1)", True),
        ('rows.filter(a=1).select_for_update().order_by("pk")', True),
        ("rows.select_for_update().filter(a=1)", False),
        ('rows.select_for_update().order_by("name")', False),
        ('rows.select_for_update().order_by("pk").count()', False),
    ],
)
def test_a_lock_of_several_rows_is_known_when_it_is_seen(chain, is_sound):
    ((_line, found),) = called_on(ast.parse(chain))

    assert is_in_order(found) is is_sound


def test_developers_are_told_of_no_file_that_is_not_there():
    """By its path from here; a name without a folder is that of some file."""
    prose = re.sub(r"```.*?```", "", (ROOT / "DEVELOPERS.md").read_text(), flags=re.DOTALL)
    folders = [ROOT / name for name in ("habitats", "builds", "templates", "static", "tests")]
    known = {path.name for folder in folders for path in folder.rglob("*.*")}

    missing = [
        name
        for name in re.findall(r"`([\w./-]+\.(?:py|js|css|html|toml|md))`", prose)
        if not ((ROOT / name).is_file() or name in known or "FEATURE" in name)
    ]

    assert missing == []


@pytest.mark.parametrize(("app", "after"), [("habitats", "builds"), ("builds", "templates")])
def test_the_map_for_developers_has_every_room(app, after):
    developers = (ROOT / "DEVELOPERS.md").read_text()
    rooms_told = developers.partition(f"\n{app}/ ")[2].partition(f"\n{after}/ ")[0]

    rooms = {path.parent.name for path in (ROOT / app).glob("*/__init__.py")}

    assert set(re.findall(r"^  (\w+)/ ", rooms_told, re.MULTILINE)) == rooms - OF_DJANGO
