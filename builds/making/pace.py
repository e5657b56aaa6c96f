"""How long a rescue takes beside the table of times: learnt from steps whose time was kept.

The table (``times.py``) is for people who do it the first time; a rescue has builders of its own,
who are faster at one kind of work and slower at another. So each kind of work has a share, the
median of used by estimated time over the steps that were timed. A median, since one forgotten
start would spoil a mean; from a handful of steps on, since fewer say more of who did them than of
the work; and within bounds, since beyond them something else was timed. The figures of all three
are common practice, no source.

Plans keep the shares they were made with; so an old plan keeps its times.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from statistics import median
from typing import NamedTuple

from builds.making.step import Step, Task
from habitats.wording import message

LEAST_STEPS = 5
LEAST_PERCENT, MOST_PERCENT = 50, 300
WHOLE = 100
ROUNDED_TO = 5  # percent: a finer share would pretend to know


class WorkKind(StrEnum):
    """A kind of work, as far as its times are alike. Plans keep the code; words may change."""

    SORTING = "sorting"
    WIRE = "wire"
    SHEET = "sheet"
    RAISING = "raising"
    FITTING = "fitting"
    TAKING = "taking"
    MENDING = "mending"
    CHECKING = "checking"

    @property
    def words(self) -> str:
        return _WORDS[self]


_WORDS = {
    WorkKind.SORTING: message("Sorting and measuring"),
    WorkKind.WIRE: message("Wire at the bench: doorways, ramps"),
    WorkKind.SHEET: message("Sheet: cutting and folding"),
    WorkKind.RAISING: message("Putting up panels"),
    WorkKind.FITTING: message("Trays, ramps and liners into place"),
    WorkKind.TAKING: message("Taking off, and into the store"),
    WorkKind.MENDING: message("Mending faults"),
    WorkKind.CHECKING: message("Inspection"),
}
_TASKS = {
    WorkKind.SORTING: (Task.SORT, Task.MEASURE, Task.FETCH),
    WorkKind.WIRE: (Task.CUT_DOORWAY, Task.FILE_DOORWAY, Task.BEND_RAMP, Task.TIE_RAMP),
    WorkKind.SHEET: (Task.CUT_BLANK, Task.FOLD_TRAY, Task.FOLD_STRIP, Task.CUT_TRAY),
    WorkKind.RAISING: (
        Task.FLOOR,
        Task.WALL,
        Task.DIVIDER,
        Task.GUARD,
        Task.SUPPORT,
        Task.DOOR,
        Task.LID,
        Task.TURN,
    ),
    WorkKind.FITTING: (Task.LAY_TRAY, Task.SET_RAMP, Task.LINERS),
    WorkKind.TAKING: (Task.TAKE, Task.TAKE_CLOTH, Task.SORT_OUT, Task.CUT_DOWN, Task.INTO_STORE),
    WorkKind.MENDING: (Task.MEND,),
    WorkKind.CHECKING: (Task.INSPECT, Task.SAFETY_CHECK),
}
# Work with animals, and whatever is new, stay as the table has them.
KIND_OF: Mapping[str, WorkKind] = {
    str(task): kind for kind, tasks in _TASKS.items() for task in tasks
}


@dataclass(frozen=True, slots=True)
class WorkPace:
    """Shares in percent by kind of work; what is not there takes the table's time."""

    percents: Mapping[str, int]

    def minutes(self, task: str, table: int) -> int:
        """Whole minutes, rounded up as the table's are."""
        percent = self.percents.get(KIND_OF.get(task, ""), WHOLE)
        return -(-table * percent // WHOLE)

    def steps(self, steps: Sequence[Step]) -> tuple[Step, ...]:
        """The same with their minutes at this pace."""
        return tuple(replace(one, minutes=self.minutes(one.task, one.minutes)) for one in steps)


AS_THE_TABLE = WorkPace({})


class TimedStep(NamedTuple):
    """A step whose time is known: the table's minutes, and those that it really took."""

    task: str
    table: int
    used: int


class Learnt(NamedTuple):
    """What is known of a kind of work. ``percent`` None: too few steps were timed."""

    kind: WorkKind
    steps: int
    table: int
    used: int
    percent: int | None


def learn(timed: Iterable[TimedStep]) -> tuple[Learnt, ...]:
    """For each kind of work that was timed, in the order of a build."""
    found: dict[WorkKind, list[TimedStep]] = {}
    for one in timed:
        if one.task in KIND_OF and one.table > 0:
            found.setdefault(KIND_OF[one.task], []).append(one)
    return tuple(_learnt(kind, found[kind]) for kind in WorkKind if kind in found)


def pace_of(learnt: Iterable[Learnt]) -> WorkPace:
    return WorkPace({one.kind.value: one.percent for one in learnt if one.percent is not None})


def _learnt(kind: WorkKind, steps: Sequence[TimedStep]) -> Learnt:
    percent = None
    if len(steps) >= LEAST_STEPS:
        share = median(WHOLE * one.used / one.table for one in steps)
        rounded = ROUNDED_TO * round(share / ROUNDED_TO)
        percent = min(max(rounded, LEAST_PERCENT), MOST_PERCENT)
    table, used = sum(one.table for one in steps), sum(one.used for one in steps)
    return Learnt(kind, len(steps), table, used, percent)
