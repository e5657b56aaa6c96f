"""Imports are told what day it is: import contracts cannot see a clock that a date reads."""

import ast
from pathlib import Path

import habitats.imports

CLOCKS = {"today", "now", "utcnow"}


def test_nothing_in_imports_reads_a_clock():
    for path in Path(habitats.imports.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            reads = isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)
            assert not (reads and node.func.attr in CLOCKS), path.name
