"""Work at the bench that comes more than once in a plan: told once, and then referred to.

Each step keeps its key and its tick. What tells two steps apart here is their facts without the
place where the piece goes later; the words that differ are told with the repeat.
"""

from collections import defaultdict
from collections.abc import Sequence
from typing import Any, NamedTuple

from builds.making.step import Task
from habitats.wording import counted, joined, message

# Which facts of a step are only for where its piece goes: a doorway and its side; the number of a
# blank among those of its tray or strip, its level, its ramp.
_PLACES: dict[str, tuple[int, ...]] = {
    Task.CUT_DOORWAY: (1, 2),
    Task.FILE_DOORWAY: (1, 2),
    Task.BEND_RAMP: (1, 2),
    Task.TIE_RAMP: (1, 2),
    Task.FOLD_STRIP: (1, 2),
    Task.CUT_BLANK: (1, 2, 3),
}


class ToldStep(NamedTuple):
    """A step among others: by facts, as they are or as they are stored, and by its sentences."""

    facts: Sequence[Any]
    instructions: Sequence[str]


class Again(NamedTuple):
    """``first`` is the number of the step that tells the work; ``instructions`` are the rest."""

    first: int
    instructions: tuple[str, ...]

    @property
    def sentence(self) -> str:
        return message("Do the same as in step %(number)d.", number=self.first)


class Repeats(NamedTuple):
    """By the numbers of steps, from 1: those told by an earlier one, and where each comes again."""

    again: dict[int, Again]
    later: dict[int, tuple[int, ...]]

    def sentence(self, number: int) -> str:
        """Beside the work that comes again; empty for work that does not."""
        steps = self.later.get(number, ())
        if not steps:
            return ""
        return counted(
            "Do this twice: here and in step %(steps)s.",
            "Do this once here and once in each of steps %(steps)s.",
            len(steps),
            steps=joined(", ", [str(one) for one in steps]),
        )

    def told(self, number: int, instructions: tuple[str, ...]) -> tuple[str, ...]:
        """What is said in the step where each work is told once."""
        again = self.again.get(number)
        if again is not None:
            return again.sentence, *again.instructions
        once_more = self.sentence(number)
        return (once_more, *instructions) if once_more else instructions


def repeats_in(steps: Sequence[ToldStep]) -> Repeats:
    """Steps whose work differs from an earlier one's in its place alone, by number from 1."""
    alike: dict[str, list[int]] = defaultdict(list)
    for number, step in enumerate(steps, start=1):
        places = _PLACES.get(step.facts[0]) if step.facts else None
        if places:
            work = [fact for at, fact in enumerate(step.facts) if at not in places]
            alike[repr(work)].append(number)
    again, later = {}, {}
    for first, *others in alike.values():
        full = steps[first - 1].instructions
        for number in others:
            rest = tuple(one for one in steps[number - 1].instructions if one not in full)
            again[number] = Again(first, rest)
        if others:
            later[first] = tuple(others)
    return Repeats(again, later)
