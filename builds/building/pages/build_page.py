"""The overview of a build: steps done, by whom, and reports."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from typing import Any, NamedTuple

from django.core.paginator import Page, Paginator
from django.utils.timezone import localdate
from django.utils.translation import gettext as _

from builds.building.models.build_days import BuildDay, why_no_build_day
from builds.building.models.inspections import Inspection, Repair, may_inspect
from builds.building.models.panel_reports import PanelReport, waiting_on
from builds.building.models.replanning import CAN_BE_PLANNED_ANEW
from builds.building.models.reports import kinds_on
from builds.building.pages.build_days import work_left
from builds.plans.models.build_acts import BuildNote, BuildPhoto, Overtaken, Shortage, StrayAct
from builds.plans.models.builds import Build, BuildEvent, BuildState
from builds.plans.models.progress import LastAct, Progress, StepNow
from builds.plans.models.time_used import TimesUsed
from habitats.common.qr import qr_picture
from habitats.common.written import Written, given, written
from habitats.designs.models.structures import faults_of
from habitats.people.models.people import Person
from habitats.structure.faults import FileFault
from habitats.wording import message

REMARKS_A_PAGE = 20
ENDED = (BuildState.STOPPED, BuildState.HANDED_OVER)
# What a report says, by the kind that a phone sends.
REPORTED = {
    "tick": message("done"),
    "untick": message("not done"),
    "start": message("started"),
    "note": message("note"),
    "photo": message("photo"),
    "shortage": message("missing or damaged part"),
}


_EVENTS = written(
    lambda: (
        BuildEvent.objects.filter(build=given("build", Build))
        .select_related("made_by")
        .order_by("-pk")
    )
)
_PEOPLE = written(
    lambda: Person.objects.filter(builds=given("build", Build)).order_by(
        "first_name", "last_name", "pk"
    )
)


def _reports(kind: Any, *with_it: str) -> Written[Any]:
    return written(
        lambda: (
            kind._default_manager.filter(build=given("build", Build))
            .select_related("made_by", *with_it)
            .order_by("-pk")
        )
    )


_REPORTS: dict[Any, Written[Any]] = {
    **{kind: _reports(kind) for kind in (BuildNote, BuildPhoto, Inspection, Shortage, StrayAct)},
    Repair: _reports(Repair, "done__by"),
}


class Remark(NamedTuple):
    """A note or a photo: one of the two is None."""

    at: datetime
    by: Person
    step: str
    note: BuildNote | None
    photo: BuildPhoto | None


class Short(NamedTuple):
    """A shortage, and the step that it was found at, in words; empty for none."""

    shortage: Shortage
    step: str


class Late(NamedTuple):
    """A tick that reached us after the reader's own, newer word on its step."""

    row: Overtaken
    step: str


def late_words(build: Build, person: Person, now: Progress) -> list[Late]:
    """What this person has not read yet."""
    found = Overtaken.objects.unread_by(person).filter(tick__build=build)
    names = {one.step.key: f"{one.step.number}, {one.card['title']}" for one in now.steps}
    return [
        Late(one, names.get(one.tick.step_key, _("that was removed from the plan")))
        for one in found
    ]


class Stray(NamedTuple):
    """A report that was not applied, and what it was, in words."""

    act: StrayAct
    kind: str


@dataclass(frozen=True, eq=False)  # without slots: the database is asked once
class Reports:
    """What came up on a build; ``page`` is of notes and photos."""

    build: Build
    now: Progress
    page: str | None
    kinds: Collection[type[Any]]

    @cached_property
    def remarks(self) -> "Page[Remark]":
        """Notes and photos together, the newest first."""
        notes = [
            Remark(one.at, one.made_by, self._step(one.step_key), one, None)
            for one in self._some(BuildNote)
        ]
        photos = [
            Remark(one.at, one.made_by, self._step(one.step_key), None, one)
            for one in self._some(BuildPhoto)
        ]
        both = sorted([*notes, *photos], key=lambda one: one.at, reverse=True)
        return Paginator(both, REMARKS_A_PAGE).get_page(self.page)

    @cached_property
    def shortages(self) -> list[Short]:
        return [Short(one, self._step(one.step_key)) for one in self._some(Shortage)]

    @cached_property
    def repairs(self) -> list[Repair]:
        """Those that are open first, then what was mended last."""
        return sorted(self._some(Repair), key=lambda one: hasattr(one, "done"))

    @property
    def to_mend(self) -> int:
        return sum(not hasattr(one, "done") for one in self.repairs)

    @cached_property
    def inspections(self) -> Sequence[Inspection]:
        return self._some(Inspection)

    @cached_property
    def strays(self) -> list[Stray]:
        return [Stray(one, _kind_of(one)) for one in self._some(StrayAct)]

    def _some(self, kind: type[Any]) -> Sequence[Any]:
        """The newest first, with who made them; asked for only where there is any."""
        found = _REPORTS[kind](build=self.build) if kind in self.kinds else []
        for one in found:
            one.build = self.build
        return found

    def _step(self, key: str) -> str:
        """A step in words; empty for the build as a whole."""
        return self._names.get(key, _("a step removed from the plan")) if key else ""

    @cached_property
    def _names(self) -> dict[str, str]:
        return {
            one.step.key: _("step %(number)s, %(title)s")
            % {"number": one.step.number, "title": one.card["title"]}
            for one in self.now.steps
        }


def _kind_of(act: StrayAct) -> str:
    kind = str(act.payload.get("kind", ""))
    return REPORTED.get(kind, kind)


class BuildPage:
    """Everything that the overview shows to this person; ``page`` is of notes and photos."""

    def __init__(self, build: Build, person: Person, *, link: str, page: str | None) -> None:
        self.build, self.person, self.link, self.page = build, person, link, page
        self.now = Progress(build, person.units)

    @cached_property
    def events(self) -> list[BuildEvent]:
        return _EVENTS(build=self.build)

    @property
    def state(self) -> BuildState:
        return BuildState(self.events[0].state)

    @property
    def is_open(self) -> bool:
        """Whether steps are ticked and reports taken."""
        return self.state not in ENDED

    @property
    def faults(self) -> tuple[FileFault, ...]:
        """What has been found to be wrong with the design since, while it is being built."""
        return faults_of(self.now.plan.revision.shape()) if self.is_open else ()

    @cached_property
    def next(self) -> StepNow | None:
        """What this person does next; None when all is done."""
        return self.now.next_for(self.person)

    @cached_property
    def times(self) -> TimesUsed:
        return TimesUsed(self.now)

    @property
    def steps(self) -> list[tuple[StepNow, int | None]]:
        """Each step, and the minutes that it really took; None where they are not known."""
        return [(one, self.times.minutes.get(one.step.key)) for one in self.now.steps]

    @cached_property
    def people(self) -> list[Person]:
        return _PEOPLE(build=self.build)

    @property
    def last_acts(self) -> list[tuple[LastAct, str]]:
        """The last act of each person, and it in a sentence for this reader."""
        return [
            (one, one.told_of(one.act.made_by.name_for(self.person))) for one in self.now.people
        ]

    @property
    def quiet_people(self) -> list[Person]:
        """Those who are on the build and did nothing yet."""
        busy = {one.act.made_by_id for one in self.now.people}
        return [one for one in self.people if one.pk not in busy]

    @property
    def can_be_inspected(self) -> bool:
        return self.state == BuildState.BUILDING and may_inspect(self.person, self.people)

    @property
    def can_be_planned_anew(self) -> bool:
        may = self.person.is_coordinator and not self.now.plan.is_repair
        return may and self.state in CAN_BE_PLANNED_ANEW

    @property
    def can_be_handed_over(self) -> bool:
        return self.person.is_coordinator and self.state == BuildState.INSPECTED

    @property
    def why_not_handed_over(self) -> str:
        """In a sentence; empty where it can be, and where it is."""
        if self.state == BuildState.HANDED_OVER or self.can_be_handed_over:
            return ""
        if self.state == BuildState.INSPECTED:
            return _("The hand-over is for a coordinator.")
        if self.state == BuildState.STOPPED:
            return _("It is stopped, so it cannot be handed over.")
        if self.reports.to_mend:
            return _("It can be handed over once its repairs are done and it passes inspection.")
        return _("It can be handed over once it passes inspection.")

    @cached_property
    def days(self) -> list[BuildDay]:
        """Build days from today on."""
        if BuildDay not in self._kinds:
            return []
        return list(self.build.days.filter(on__gte=localdate()).soonest_first())

    @cached_property
    def why_no_build_day(self) -> str:
        return why_no_build_day(self.build)

    @property
    def minutes_left(self) -> tuple[int, int]:
        """At the bench, and on the enclosure."""
        bench, enclosure = (work_left(self.now, bench=one) for one in (True, False))
        return bench.minutes, enclosure.minutes

    @cached_property
    def panel_report(self) -> PanelReport | None:
        """Panels were measured otherwise than planned, and nobody answered yet."""
        return waiting_on(self.build) if PanelReport in self._kinds else None

    @cached_property
    def reports(self) -> Reports:
        return Reports(self.build, self.now, self.page, self._kinds)

    @cached_property
    def overtaken(self) -> list[Late]:
        if Overtaken not in self._kinds:
            return []
        return late_words(self.build, self.person, self.now)

    @cached_property
    def _kinds(self) -> Collection[type[Any]]:
        return kinds_on(self.build, self.person, localdate())

    @property
    def qr(self) -> str:
        return qr_picture(self.link, self.build.code, "build")
