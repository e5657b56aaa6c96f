"""The time that steps really took, as far as those who did them said when they began."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta
from functools import cached_property
from typing import NamedTuple

from django.utils.timezone import localdate

from builds.plans.models.build_acts import Start, Tick
from builds.plans.models.builds import Build
from builds.plans.models.progress import Progress
from habitats.common.written import given, written

A_MINUTE = timedelta(minutes=1)
_STARTS = written(lambda: Start.objects.filter(build=given("build", Build)).order_by("pk"))


class Timed(NamedTuple):
    """Steps whose time is known: how many, the minutes that they took, those of the estimate."""

    steps: int
    used: int
    estimated: int


@dataclass(frozen=True, eq=False)  # without slots: the database is asked once
class TimesUsed:
    now: Progress

    @cached_property
    def minutes(self) -> Mapping[str, int]:
        """By the key of each step that is done and whose time is known; asks one question."""
        starts: dict[str, list[Start]] = {}
        for start in _STARTS(build=self.now.build):
            starts.setdefault(start.step_key, []).append(start)
        used = {
            step.step.key: minutes_used(step.ticks, starts.get(step.step.key, ()))
            for step in self.now.steps
        }
        return {key: minutes for key, minutes in used.items() if minutes is not None}

    @property
    def all(self) -> Timed:
        estimates = [
            int(step.card["minutes"]) for step in self.now.steps if step.step.key in self.minutes
        ]
        return Timed(len(estimates), sum(self.minutes.values()), sum(estimates))


def minutes_used(ticks: Sequence[Tick], starts: Iterable[Start]) -> int | None:
    """From the last start by the person who ticked the step first, to that tick.

    ``ticks`` of the step, the latest first. None where it was not begun by that person on that day:
    nobody works through the night. Who ticks through a link says no start.
    """
    if not ticks or ticks[-1].link_id:
        return None
    done = ticks[-1]
    begun = [
        one.at
        for one in starts
        if one.made_by_id == done.made_by_id
        and one.at <= done.at
        and localdate(one.at) == localdate(done.at)
    ]
    return max(1, round((done.at - max(begun)) / A_MINUTE)) if begun else None
