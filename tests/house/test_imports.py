"""What a module imports stands at its top, so that the contracts see it and no circle hides."""

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
APPS = ("habitats", "builds")
# Django's own place to connect what has to wait until all models are there.
READY = "apps.py"


def _modules() -> dict[str, Path]:
    """By dotted name, every module of ours; packages under their own name."""
    found = {}
    for app in APPS:
        for path in (ROOT / app).rglob("*.py"):
            if "migrations" not in path.parts:
                parts = path.relative_to(ROOT).with_suffix("").parts
                found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


MODULES = _modules()
FUNCTIONS = (ast.FunctionDef, ast.AsyncFunctionDef)


def _imported(node: ast.AST, name: str) -> list[str]:
    """The modules of ours that this one statement in the module of that name imports."""
    if isinstance(node, ast.Import):
        meant = [one.name for one in node.names]
    elif isinstance(node, ast.ImportFrom):
        is_package = MODULES.get(name, Path()).name == "__init__.py"
        package = name if is_package else name.rpartition(".")[0]
        base = package.rsplit(".", node.level - 1)[0] if node.level else ""
        origin = ".".join(filter(None, [base, node.module or ""]))
        named = [f"{origin}.{one.name}" for one in node.names]
        meant = [one if one in MODULES else origin for one in named]
    else:
        meant = []
    return [one for one in meant if one.split(".")[0] in APPS]


def _is_for_types(node: ast.AST) -> bool:
    return isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)


def _hidden(tree: ast.Module, name: str, file: str) -> Iterator[str]:
    """What is imported inside a function or for the type checker only."""
    for outer in ast.walk(tree):
        is_ready = isinstance(outer, FUNCTIONS) and file == READY
        if (isinstance(outer, FUNCTIONS) and not is_ready) or _is_for_types(outer):
            for inner in ast.walk(outer):
                for module in _imported(inner, name):
                    yield f"{name}, line {inner.lineno}: {module}"


def _circle(needs: dict[str, set[str]]) -> list[str]:
    """Modules that import each other in a ring; none where there is no ring."""
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as found:
        return list(found.args[1])
    return []


def test_every_import_of_ours_stands_at_the_top_of_its_module():
    hidden = {
        one
        for name, path in MODULES.items()
        for one in _hidden(ast.parse(path.read_text()), name, path.name)
    }

    assert not hidden


def test_no_files_import_each_other_in_a_ring():
    needs = {
        name: {
            module
            for node in ast.walk(ast.parse(path.read_text()))
            if path.name != READY
            for module in _imported(node, name)
        }
        for name, path in MODULES.items()
    }

    assert not _circle(needs)


@pytest.mark.parametrize(
    "program",
    [
        "def late():\n    from habitats.homes.models.homes import Home",
        "class Q:\n    async def late(self):\n        import builds.making.parts",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from builds.making import parts",
        "def late():\n    from ..structure import design",
    ],
)
def test_a_hidden_import_is_found(program):
    assert list(_hidden(ast.parse(program), "habitats.animals.models.animals", "animals.py"))


@pytest.mark.parametrize(
    "program", ["from habitats.homes.models.homes import Home", "def late():\n    import json"]
)
def test_an_import_at_the_top_or_of_others_is_none_of_these(program):
    assert not list(_hidden(ast.parse(program), "habitats.animals.models.animals", "animals.py"))


def test_a_ring_is_found_whatever_its_length():
    assert _circle({"a": {"b"}, "b": {"c"}, "c": {"a"}})
    assert not _circle({"a": {"b", "c"}, "b": {"c"}, "c": set()})
