"""The points of a safety check: questions that are answered at an enclosure as it stands.

They ask for what comes with use. What is asked of a new one before an animal moves in is the
inspection at the end of its build.
"""

from typing import NamedTuple

from habitats.source import PRACTICE, Source
from habitats.structure.structure import Structure
from habitats.upkeep.kinds import FAULTS, FaultKind, can_be


class CheckPoint(NamedTuple):
    """A question; only yes is good. ``kind`` is the fault it is if not, ``why`` what it prevents.

    ``code`` stays the same for good: answers are kept by it.
    """

    code: str
    kind: FaultKind
    question: str
    why: str
    source: Source = PRACTICE


def points_for(structure: Structure) -> tuple[CheckPoint, ...]:
    """The points that apply to this structure, in the order of a walk round it."""
    return tuple(
        CheckPoint(kind.value, kind, row.question, row.why)
        for kind, row in FAULTS.items()
        if row.question and can_be(kind, structure)
    )
