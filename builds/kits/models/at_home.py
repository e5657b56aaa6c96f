"""A kit as its adopter puts it up: what is left at home, numbered as on its papers.

A box that has gone is begun again: what was put together at the rescue was taken apart for it.
"""

from collections.abc import Sequence
from copy import copy
from functools import cached_property

from builds.packing.at_home import Doing, left_at_home
from builds.plans.models.build_acts import Tick
from builds.plans.models.build_plans import BuildStep
from builds.plans.models.build_questions import words_on
from builds.plans.models.builds import Build, BuildState
from builds.plans.models.progress import Progress


class AtHome(Progress):
    """The steps that are left to do with the box. Each ``step.number`` counts from 1 at home, and
    is not to be saved.
    """

    @cached_property
    def has_gone(self) -> bool:
        return self.build.state_now() == BuildState.HANDED_OVER

    @property
    def words(self) -> int:
        """How many times something was said that changes how it stands; never fewer than before."""
        return words_on(self.build)

    @property
    def is_inspected(self) -> bool:
        """The adopter went through the inspection list, and every answer was yes."""
        return any(one.is_inspection and one.is_done for one in self.steps)

    def _counting(self) -> list[Tick]:
        if not self.has_gone:
            return super()._counting()
        through = Tick.objects.filter(build=self.build).through_links()
        return list(through.select_related("made_by").order_by("pk"))

    def _planned(self) -> list[tuple[BuildStep, Sequence[str]]]:
        planned = super()._planned()
        needs = left_at_home([doing_of(step) for step, _needs in planned])
        here = [copy(step) for step, _needs in planned if step.card["id"] in needs]
        for number, step in enumerate(here, start=1):
            step.number = number
        return [(step, needs[step.card["id"]]) for step in here]


def doing_of(step: BuildStep) -> Doing:
    """Steps that were planned by an earlier version may have kept no facts."""
    facts = step.card.get("facts") or [""]
    return Doing(step.card["id"], tuple(step.card["needs"]), facts[0])


def left_before_packing(build: Build, units: str) -> list[str]:
    """Titles of steps that are done at the rescue and that nobody ticked yet."""
    now = Progress(build, units)
    home = left_at_home([doing_of(one.step) for one in now.steps])
    left = [one for one in now.steps if one.step.card["id"] not in home and not one.is_done]
    return [one.card["title"] for one in left]
