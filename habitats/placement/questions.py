"""What is worked out of a case, asked as a value: so it can be done elsewhere, and found again.

The same question has the same answer, and the same mark.
"""

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass, field, fields, is_dataclass
from typing import NamedTuple

from habitats.placement.held_up import held_up
from habitats.placement.moves import ProposedMove, moves_of
from habitats.placement.proposing import propose, second_best
from habitats.placement.room_for_more import RoomForMore, room_for_more
from habitats.placement.sooner import sooner
from habitats.placement.values import (
    Contradiction,
    GroupToPlace,
    Placing,
    PlacingCase,
    RuledOut,
)

# Another one where the same question gets another answer than it had, so that no older one is told.
EDITION = 1


@dataclass(frozen=True, slots=True)
class ToPlace:
    """Who lives where. ``not_yet``: enclosures that do not stand. ``tries_again``: urgent groups
    are given what stands, where that costs others nothing."""

    case: PlacingCase
    not_yet: frozenset[str] = frozenset()
    tries_again: bool = True


@dataclass(frozen=True, slots=True)
class NextBestOf:
    """Where else a group could live. ``best``: what was answered before; None: look for it too."""

    asked: ToPlace
    group: str
    best: Placing | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class MorePairs:
    """How many of these newcomers could be taken."""

    case: PlacingCase
    newcomers: tuple[GroupToPlace, ...]


Question = ToPlace | NextBestOf | MorePairs


class Proposed(NamedTuple):
    """A placing, all its moves in their order, and the groups that cannot move yet."""

    placing: Placing
    moves: tuple[ProposedMove, ...]
    held: frozenset[str]


# Of ``ToPlace``; of ``NextBestOf`` (None: there is no other place); of ``MorePairs``.
Answer = Proposed | Contradiction | Placing | RoomForMore | None


def answer(question: Question) -> Answer:
    """A ``Contradiction`` is given, not raised: it says why there is no placing."""
    try:
        if isinstance(question, ToPlace):
            return _proposed(question)
        if isinstance(question, MorePairs):
            return room_for_more(question.case, question.newcomers)
        best = question.best or _proposed(question.asked).placing
        return second_best(question.asked.case, best, question.group)
    except Contradiction as clash:
        return clash


def _proposed(asked: ToPlace) -> Proposed:
    case, placing = asked.case, propose(asked.case)
    if asked.tries_again:
        placing = sooner(case, placing, asked.not_yet)
    return Proposed(placing, moves_of(case, placing), held_up(case, placing, asked.not_yet))


def pairs_of_case(case: PlacingCase) -> int:
    """How many pairs of who asks and a place that stands: what the work grows with."""
    return (len(case.groups) + len(case.unions)) * len(case.enclosures)


def case_of(question: Question) -> PlacingCase:
    return question.asked.case if isinstance(question, NextBestOf) else question.case


def mark_of(question: Question) -> str:
    """The same on every machine, however its parts are ordered and whatever language is spoken."""
    told = [EDITION, type(question).__name__, _plain(question)]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()


def _plain(value: object) -> object:
    if isinstance(value, PlacingCase):
        # Only its goals and pins have an order that counts.
        parts = {one.name: _plain(getattr(value, one.name)) for one in fields(value)}
        return {name: part if name == "order" else _sorted(part) for name, part in parts.items()}
    if isinstance(value, RuledOut):
        return [value.group, value.enclosure]  # why is said in a language
    if is_dataclass(value):
        return [_plain(getattr(value, one.name)) for one in fields(value) if one.compare]
    if isinstance(value, frozenset):
        return _sorted(list(_all_plain(value)))
    if isinstance(value, tuple):
        return list(_all_plain(value))
    return value


def _all_plain(values: "frozenset[object] | tuple[object, ...]") -> Iterator[object]:
    return (_plain(one) for one in values)


def _sorted(values: object) -> object:
    return sorted(values, key=json.dumps) if isinstance(values, list) else values
