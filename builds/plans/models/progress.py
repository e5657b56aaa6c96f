"""The progress of builds: ticked steps, steps that wait for others, and who works on which.

Read off the plans and the acts each time; a build asks the same few questions however long it is.
"""

import uuid
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property, lru_cache
from typing import Any, NamedTuple

from django.db import models
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _

from builds.making.assembly import INSPECT
from builds.plans.models.build_acts import (
    BuildAct,
    BuildNote,
    BuildPhoto,
    Shortage,
    Start,
    Tick,
)
from builds.plans.models.build_plans import BuildPlan, BuildStep
from builds.plans.models.build_questions import counting_ticks_of, last_acts_of, newest_plan_of
from builds.plans.models.builds import Build
from habitats.people.models.people import Person


class StepRef(NamedTuple):
    """A step by what people call it."""

    number: int
    key: str
    title: str


@dataclass(frozen=True, slots=True)
class StepNow:
    """A step as it stands. ``ticks`` are of all who say that it is done, the latest first.

    ``card`` is what it says in the reader's units; ``waits_for`` are the steps that it needs and
    that nobody ticked; ``on_it`` are those who began it, and neither began nor ticked another
    since. ``needs`` are ids of all steps that come first.
    """

    step: BuildStep
    card: Mapping[str, Any]
    ticks: tuple[Tick, ...]
    waits_for: tuple[StepRef, ...]
    on_it: tuple[Start, ...]
    needs: tuple[str, ...] = ()

    @property
    def is_done(self) -> bool:
        return bool(self.ticks)

    @property
    def is_ready(self) -> bool:
        return not self.ticks and not self.waits_for

    @property
    def is_inspection(self) -> bool:
        """The last step: it is ticked by the inspection, not by hand."""
        return bool(self.card["id"] == INSPECT)

    @property
    def ref(self) -> StepRef:
        return StepRef(self.step.number, self.step.key, self.card["title"])


class LastAct(NamedTuple):
    """What somebody did last on a build; ``step`` None: on it as a whole, or on a step that is in
    the plan no more.
    """

    act: BuildAct
    kind: type[BuildAct] | str
    step: StepRef | None
    is_now: bool

    def told_of(self, who: str) -> str:
        on_a_step, on_a_removed_one, on_the_build = WHAT[self.kind]
        if self.step:
            given = {"who": who, "number": self.step.number, "title": self.step.title}
            return str(on_a_step % given)
        return str((on_a_removed_one if self.act.step_key else on_the_build) % {"who": who})


class Gone(NamedTuple):
    """A tick of a step that is in no more than an earlier plan."""

    tick: Tick
    title: str


OPENED_AGAIN, WAS_ON = "opened again", "was on"  # a tick taken back, a start that is over
# What somebody did: on a step, on one that is in the plan no more, on the build as a whole.
_Sentences = tuple[Any, Any, Any]
WHAT: dict[type[BuildAct] | str, _Sentences] = {
    Tick: (
        _("%(who)s ticked step %(number)d, %(title)s"),
        _("%(who)s ticked a step that was removed from the plan"),
        _("%(who)s ticked a step"),
    ),
    OPENED_AGAIN: (
        _("%(who)s reopened step %(number)d, %(title)s"),
        _("%(who)s reopened a step that was removed from the plan"),
        _("%(who)s reopened a step"),
    ),
    Start: (
        _("%(who)s is on step %(number)d, %(title)s"),
        _("%(who)s is on a step that was removed from the plan"),
        _("%(who)s is on the build"),
    ),
    WAS_ON: (
        _("%(who)s was on step %(number)d, %(title)s"),
        _("%(who)s was on a step that was removed from the plan"),
        _("%(who)s was on the build"),
    ),
    BuildNote: (
        _("%(who)s wrote a note on step %(number)d, %(title)s"),
        _("%(who)s wrote a note on a step that was removed from the plan"),
        _("%(who)s wrote a note"),
    ),
    BuildPhoto: (
        _("%(who)s took a photo of step %(number)d, %(title)s"),
        _("%(who)s took a photo of a step that was removed from the plan"),
        _("%(who)s took a photo"),
    ),
    Shortage: (
        _("%(who)s reported a shortage at step %(number)d, %(title)s"),
        _("%(who)s reported a shortage at a step that was removed from the plan"),
        _("%(who)s reported a shortage"),
    ),
}
KEPT = 64  # plans, of some hundred kilobytes each
_PlanKey = tuple[int, uuid.UUID, datetime]


class Progress:
    """One build read for somebody who reads lengths in ``units``."""

    def __init__(self, build: Build, units: str) -> None:
        self.build, self.units = build, units
        self.plan = newest_plan_of(build)

    @cached_property
    def steps(self) -> tuple[StepNow, ...]:
        planned = self._planned()
        steps = [step for step, _needs in planned]
        cards = _kept_cards(_known_by(self.plan), self.units)
        refs = {
            cards[step.key]["id"]: StepRef(step.number, step.key, cards[step.key]["title"])
            for step in steps
        }
        return tuple(
            StepNow(
                step,
                cards[step.key],
                self._ticks.get(step.key, ()),
                tuple(refs[need] for need in needs if refs[need].key not in self._ticks),
                tuple(one for one in self._starts if one.step_key == step.key),
                tuple(needs),
            )
            for step, needs in planned
        )

    def _planned(self) -> list[tuple[BuildStep, Sequence[str]]]:
        """The steps in their order, and the ids of those that each needs."""
        steps = _kept_steps(_known_by(self.plan))
        return [(step, step.card["needs"]) for step in steps]

    @property
    def former_keys(self) -> Mapping[str, str]:
        """Of steps that had another key in an earlier version: that one, by the one now."""
        return _kept_former_keys(_known_by(self.plan))

    @property
    def total(self) -> int:
        return len(self.steps)

    @cached_property
    def done(self) -> int:
        return sum(step.is_done for step in self.steps)

    @property
    def minutes_left(self) -> int:
        return sum(int(step.card["minutes"]) for step in self.steps if not step.is_done)

    @property
    def not_ticked(self) -> tuple[StepRef, ...]:
        """Steps that have to be ticked before it can be inspected."""
        return tuple(s.ref for s in self.steps if not s.is_done and not s.is_inspection)

    @cached_property
    def next(self) -> StepNow | None:
        """What can be done now, rather one that nobody is on; None when all is done."""
        ready = [step for step in self.steps if step.is_ready]
        free = [step for step in ready if not step.on_it]
        return next(iter([*free, *ready]), None)

    def next_for(self, person: Person) -> StepNow | None:
        """The same for this person: first of all what they began themselves.

        `build-ticks.js` chooses alike on a phone without signal.
        """
        ready = (step for step in self.steps if step.is_ready)
        own = (step for step in ready if any(one.made_by_id == person.pk for one in step.on_it))
        return next(own, None) or self.next

    def next_after(self, number: int) -> StepNow | None:
        """The same for somebody who just did that step: rather one further on."""
        ready = [step for step in self.steps if step.is_ready and not step.on_it]
        further = [step for step in ready if step.step.number > number]
        return next(iter([*further, *ready]), None) or self.next

    @cached_property
    def gone(self) -> tuple[Gone, ...]:
        """Ticks of steps that were removed from the plan since."""
        here = {step.step.key for step in self.steps}
        ticks = [ticks[0] for key, ticks in self._ticks.items() if key not in here]
        titles = self._earlier_titles([tick.step_key for tick in ticks]) if ticks else {}
        return tuple(Gone(tick, titles.get(tick.step_key, gettext("A step"))) for tick in ticks)

    @cached_property
    def people(self) -> tuple[LastAct, ...]:
        """The last act of each person, the latest first."""
        refs = {step.step.key: step for step in self.steps}
        return tuple(self._last_act(act, refs) for act in self._last_acts)

    def _last_act(self, act: BuildAct, steps: Mapping[str, StepNow]) -> LastAct:
        step = steps.get(act.step_key)
        is_now = act in self._starts
        kind: type[BuildAct] | str = type(act)
        if isinstance(act, Tick) and not act.is_done:
            kind = OPENED_AGAIN
        elif isinstance(act, Start) and not is_now:
            kind = WAS_ON
        return LastAct(act, kind, step.ref if step else None, is_now)

    @cached_property
    def _ticks(self) -> dict[str, tuple[Tick, ...]]:
        """Of each step that is done those who ticked it since it was last opened again."""
        found: dict[str, tuple[Tick, ...]] = {}
        for tick in self._counting():
            if tick.is_done:
                found[tick.step_key] = (tick, *found.get(tick.step_key, ()))
            else:
                found.pop(tick.step_key, None)
        return found

    def _counting(self) -> list[Tick]:
        return counting_ticks_of(self.build)

    @cached_property
    def _starts(self) -> tuple[Start, ...]:
        """Those who are on a step that nobody ticked yet.

        A note, a photo or a report on the way ends nothing; a tick does, and another start.
        """
        steps = [act for act in self._acts if isinstance(act, Start | Tick)]
        return tuple(
            act
            for act in _last_of_each(steps)
            if isinstance(act, Start) and act.step_key not in self._ticks
        )

    @cached_property
    def _last_acts(self) -> tuple[BuildAct, ...]:
        return _last_of_each(self._acts)

    @cached_property
    def _acts(self) -> list[BuildAct]:
        """The last of each kind of each person."""
        return last_acts_of(self.build)

    def _earlier_titles(self, keys: Sequence[str]) -> dict[str, str]:
        steps = BuildStep.objects.filter(plan__build=self.build, key__in=keys).defer("pictures")
        return {step.key: step.card_in(self.units)["title"] for step in steps}


def _last_of_each(acts: Iterable[BuildAct]) -> tuple[BuildAct, ...]:
    """Of each person, the latest first.

    By when it was done: what a phone kept without signal reaches us in one moment.
    """
    last: dict[int, BuildAct] = {}
    for act in acts:
        known = last.get(act.made_by_id)
        if known is None or act.at > known.at:
            last[act.made_by_id] = act
    return tuple(sorted(last.values(), key=lambda act: act.at, reverse=True))


class Count(NamedTuple):
    """How many steps of how many are ticked."""

    done: int
    total: int


def neighbours(now: Progress, step: StepNow) -> tuple[StepNow | None, StepNow | None]:
    """The step before it and the one after; None where it is the first or the last."""
    at = step.step.number - 1
    return (
        now.steps[at - 1] if at > 0 else None,
        now.steps[at + 1] if at + 1 < len(now.steps) else None,
    )


def counts_of(builds: Iterable[Build]) -> dict[int, Count]:
    """By the build's key; three questions for however many builds."""
    keys = [build.pk for build in builds]
    newest = BuildPlan.objects.filter(build__in=keys).values("build").annotate(last=_LAST)
    steps = BuildStep.objects.filter(plan__in=newest.values("last"))
    done = set(
        Tick.objects.filter(build__in=keys)
        .last_words()
        .filter(is_done=True)
        .values_list("build", "step_key")
    )
    counts: dict[int, Count] = {}
    for build, key in steps.values_list("plan__build", "key"):
        was = counts.get(build, Count(0, 0))
        counts[build] = Count(was.done + ((build, key) in done), was.total + 1)
    return counts


_LAST = models.Max("pk")


def _known_by(plan: BuildPlan) -> _PlanKey:
    """One that was rolled back is made of the same request, at another moment."""
    return plan.pk, plan.idempotency_key, plan.made_at


@lru_cache(maxsize=KEPT)
def _kept_steps(plan: _PlanKey) -> tuple[BuildStep, ...]:
    """The steps of a plan without their pictures, not to be changed.

    Kept at hand, since a plan is never changed.
    """
    return tuple(BuildStep.objects.filter(plan=plan[0]).defer("pictures"))


@lru_cache(maxsize=KEPT)
def _kept_cards(plan: _PlanKey, units: str) -> dict[str, dict[str, Any]]:
    """What they say, by their keys."""
    return {step.key: step.card_in(units) for step in _kept_steps(plan)}


@lru_cache(maxsize=KEPT)
def _kept_former_keys(plan: _PlanKey) -> dict[str, str]:
    """Those of the plan's build, which has no newer plan."""
    had = BuildStep.objects.filter(plan__build__plans=plan[0])
    return dict(had.exclude(former_key="").values_list("key", "former_key"))
