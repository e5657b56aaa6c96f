"""What a forecast of linens is asked about, and what it answers.

Masses are whole grams, spans whole days; days of the week count from Monday, 0.
One enclosure has one linen of one size at a time; an enclosure with several places for linens is
several needs here.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import NamedTuple


class WashStage(StrEnum):
    """Where a linen is on its way round, as far as a forecast tells it apart."""

    CLEAN = "clean"
    IN_USE = "in_use"
    SOILED = "soiled"
    WASHING = "washing"


@dataclass(frozen=True, slots=True)
class Laundry:
    """When is washed, and how much.

    ``load_g`` is the dry mass that one load may have. A linen washed on one day is ready
    ``days_to_clean`` days later; with 0 it is there for the changes of the next day, since a day's
    changes come before its wash.
    ``set_aside_washes``: how many loads, each with drying after it, a linen that is set aside goes
    through before it is clean. 1: both washes that a suspected ringworm asks for are run one after
    the other on the same load, which dries once.
    """

    wash_weekdays: frozenset[int]
    loads_per_day: int
    load_g: int
    days_to_clean: int
    set_aside_washes: int = 1

    @property
    def back_after(self) -> int:
        """Days until a linen that is washed can be laid in an enclosure again."""
        return max(1, self.days_to_clean)


@dataclass(frozen=True, slots=True)
class LinenNeed:
    """A place that wants a clean linen of a size each ``interval_days`` after it was changed.

    One in which no piece lies is bare, and due on the first day at the latest.
    ``lined_otherwise``: something lies there that is none of the pieces, so it is not bare.
    """

    id: str
    size: str
    interval_days: int
    last_changed: date
    lined_otherwise: bool = False


@dataclass(frozen=True, slots=True)
class LinenToday:
    """One linen today.

    ``enclosure``: the need it lies in, for one in use; else None.
    ``ready``: the day from which one in the wash is clean. None for others, and for one that was
    expected back before and did not come: it is not at hand in the whole of a forecast.
    ``set_aside``: kept apart for a suspected infection. It never shares a load with others, in the
    whole of a forecast: that it is free again is found by what was done, not forecast.
    """

    id: str
    size: str
    at: WashStage
    enclosure: str | None = None
    ready: date | None = None
    set_aside: bool = False


@dataclass(frozen=True, slots=True)
class ForecastInputs:
    """All that goes round through one laundry: the inputs of a forecast.

    ``sizes`` has the dry mass in grams of one linen of each size. Needs and pieces stand in the
    order that decides between equals. Ids are unique among each; a piece in use lies in a need of
    its own size, and no two in one.
    """

    start: date
    days: int
    sizes: Mapping[str, int]
    needs: tuple[LinenNeed, ...]
    pieces: tuple[LinenToday, ...]
    laundry: Laundry


class LinenShortage(NamedTuple):
    """An enclosure was due on this day and found no clean linen; one for each day it waits."""

    date: date
    size: str
    enclosure: str


class PlannedLoad(NamedTuple):
    """What goes into the machine together; ``linens`` are ids."""

    date: date
    linens: tuple[str, ...]
    grams: int
    programme: str


class Counts(NamedTuple):
    """How many linens of a size are where when a day ends."""

    clean: int
    in_use: int
    soiled: int
    washing: int


@dataclass(frozen=True, slots=True)
class Forecast:
    """What comes, day by day, if loads are washed as planned.

    ``runs_dry``: for each size the first day on which a change finds no clean linen; None if none
    does. ``overloaded``: wash days after which soiled linens are left.
    ``days``: for each size its counts at the end of each day, first day first.
    ``bound``: no plan of loads has fewer shortages than this; ``proved``: nor fewer than this plan.
    """

    shortages: tuple[LinenShortage, ...]
    loads: tuple[PlannedLoad, ...]
    runs_dry: Mapping[str, date | None]
    overloaded: tuple[date, ...] = ()
    days: Mapping[str, tuple[Counts, ...]] = field(default_factory=dict)
    bound: int = 0

    @property
    def proved(self) -> bool:
        return self.bound == len(self.shortages)
