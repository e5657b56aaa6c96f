"""A step: one thing a builder does and ticks, and what the structure has more of afterwards."""

from collections.abc import Iterable
from dataclasses import dataclass

from habitats.structure.lattice import Joint, Place


@dataclass(frozen=True, slots=True)
class Added:
    """A part a step puts to use: ``what`` in the words of the part list, and how many."""

    what: str
    count: int


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the assembly.

    ``id`` is stable for the same design and unique in it; ``needs`` are ids of steps that come
    first. ``places``, ``joints``, ``trays`` (level indexes) and ``ramps`` (indexes) say what now
    stands that did not before; all are empty for steps at the bench. ``people`` is 1 or 2.
    ``bench`` tells work on loose parts (cutting, bending, folding) from work on the enclosure.
    """

    id: str
    title: str
    instructions: tuple[str, ...]
    needs: tuple[str, ...] = ()
    adds: tuple[Added, ...] = ()
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    minutes: int = 5
    people: int = 1
    bench: bool = False
    places: tuple[Place, ...] = ()
    joints: tuple[Joint, ...] = ()
    trays: tuple[int, ...] = ()
    ramps: tuple[int, ...] = ()


def work_summary(steps: Iterable[Step]) -> tuple[int, int]:
    """Minutes of work in all, for one pair of hands after the other, and the people it takes."""
    done = tuple(steps)
    return sum(step.minutes for step in done), max((step.people for step in done), default=1)
