"""The key of a step: its work in codes and numbers, never its words.

A step's *facts* say what is done, where and with how much. They are stored with the step, as JSON,
and its key is made of them; so a better sentence, or another language, changes no key, and a
tick counts wherever the same work is asked for. What only describes the work is no fact: names,
minutes, tools, and which step comes first.

The lattice is as large as the drawing, so a design that grows to the north or west has all its
places moved. ``in_step_with`` finds by how much, and tells the new facts in the old places.
"""

import hashlib
import json
from collections.abc import Iterator, Sequence
from typing import Any, TypeAlias

from habitats.structure.lattice import Cell, Joint, PanelPlace

KEY_LENGTH = 12

# Codes, numbers, places on the lattice, and tuples of these.
Fact: TypeAlias = "str | int | tuple[Fact, ...] | None"
Facts: TypeAlias = tuple[Fact, ...]
# The same as JSON; a place is an object ``{"at": [row, col, ...]}``.
Coded: TypeAlias = list[Any]

_AT = "at"


def coded(facts: Facts) -> Coded:
    """The facts as they are stored."""
    return [_coded(one) for one in facts]


def _coded(fact: Fact) -> Any:
    match fact:
        case PanelPlace():
            return {_AT: [fact.row, fact.col, fact.z, fact.face.value]}
        case Joint() | Cell():
            return {_AT: [*fact]}
        case tuple():
            return [_coded(one) for one in fact]
    return fact


def key_of(facts: Coded) -> str:
    """The key of a step with these facts: the same for the same work, and for no other."""
    text = json.dumps(facts, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()[:KEY_LENGTH]


def in_step_with(before: Sequence[Coded], now: Sequence[Coded]) -> list[Coded]:
    """The facts of ``now``, all moved alike, so that as many as can be are among ``before``."""
    known = {key_of(one) for one in before}

    def worth(shift: tuple[int, int]) -> tuple[int, int, tuple[int, int]]:
        kept = sum(key_of(_moved(one, *shift)) in known for one in now)
        return kept, -abs(shift[0]) - abs(shift[1]), shift

    best = max({(0, 0), *_shifts(before, now)}, key=worth)
    return [_moved(one, *best) for one in now]


def _shifts(before: Sequence[Coded], now: Sequence[Coded]) -> Iterator[tuple[int, int]]:
    """Every way to bring one step over one of its kind."""
    for old in before:
        for new in now:
            was, is_now = next(_places(old), None), next(_places(new), None)
            if old[0] == new[0] and was and is_now:
                yield was[0] - is_now[0], was[1] - is_now[1]


def _places(fact: Any) -> Iterator[list[Any]]:
    if isinstance(fact, dict):
        yield fact[_AT]
    elif isinstance(fact, list):
        for one in fact:
            yield from _places(one)


def _moved(fact: Any, rows: int, cols: int) -> Any:
    if isinstance(fact, dict):
        row, col, *rest = fact[_AT]
        return {_AT: [row + rows, col + cols, *rest]}
    if isinstance(fact, list):
        return [_moved(one, rows, cols) for one in fact]
    return fact
