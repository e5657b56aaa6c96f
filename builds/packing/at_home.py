"""What is left to do of a kit at home, out of its box.

The rescue measures panels, cuts and files wire, bends ramps and cuts sheet: work for the bench,
with a knife and with wire ends. Trays travel flat, so they are folded and taped at home, and what
came out of a box is counted again there. Common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from builds.making.step import Step, Task

BEFORE_PACKING = frozenset(
    {
        Task.MEASURE,
        Task.CUT_DOORWAY,
        Task.FILE_DOORWAY,
        Task.BEND_RAMP,
        Task.TIE_RAMP,
        Task.CUT_BLANK,
    }
)


class Doing(NamedTuple):
    """A step as this rule knows it; ``task`` is empty for one whose facts nobody kept."""

    id: str
    needs: tuple[str, ...]
    task: str


def left_at_home(work: Sequence[Doing]) -> dict[str, tuple[str, ...]]:
    """The steps that are left at home, by id in their order, and which of them each needs.

    What needs a step that is done before needs what that one needed.
    """
    left: dict[str, tuple[str, ...]] = {}
    behind: dict[str, tuple[str, ...]] = {}
    for one in work:
        needs = tuple(dict.fromkeys(n for need in one.needs for n in behind.get(need, (need,))))
        if one.task in BEFORE_PACKING:
            behind[one.id] = needs
        else:
            left[one.id] = needs
    return left


def steps_at_home(steps: Sequence[Step]) -> tuple[Step, ...]:
    """The same of steps as they are worked out."""
    needs = left_at_home([Doing(one.id, one.needs, one.task) for one in steps])
    return tuple(replace(one, needs=needs[one.id]) for one in steps if one.id in needs)
