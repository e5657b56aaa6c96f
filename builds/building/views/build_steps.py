"""One step a screen, and its acts, each with one tap."""

from functools import cached_property
from typing import NamedTuple
from uuid import UUID, uuid4

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_POST

from builds.batches.models.shares import cut_by
from builds.building.forms.build_acts import BuildActForm, NoteForm, StepPhotoForm
from builds.building.models.intake import STRAY, ActAnswer, take
from builds.building.models.panel_reports import PanelReport, may_be_reported, waiting_on
from builds.building.pages.build_page import ENDED, Late, Remark, late_words
from builds.building.views.builds import build_seen_by
from builds.making.bench import MEASURE, cut_step_id
from builds.making.part_names import part_name
from builds.making.repeats import Repeats, ToldStep, repeats_in
from builds.making.step import Task
from builds.plans.models.build_acts import Start
from builds.plans.models.build_plans import BuildStep, StepPictures
from builds.plans.models.builds import Build, BuildState
from builds.plans.models.progress import Progress, StepNow, neighbours
from builds.sheets import InPlan
from habitats.people.access import member_or_403
from habitats.people.models.people import Person


class StepPartRow(NamedTuple):
    """A part that the step takes, to report with one tap; each report has a key of its own."""

    what: str
    name: str
    idempotency_key: UUID


class SameWork(NamedTuple):
    """What a step says where an earlier one, of this key, tells the same work."""

    sentence: str
    key: str
    instructions: tuple[str, ...]


class BuildStepPage:
    """One step of a build as its screen shows it."""

    def __init__(self, build: Build, key: str, person: Person) -> None:
        self.build, self.person = build, person
        self.now = Progress(build, person.units)
        found = [step for step in self.now.steps if step.step.key == key]
        if not found:
            raise Http404(_("This step is not in the build’s plan."))
        self.step: StepNow = found[0]

    @cached_property
    def state(self) -> BuildState:
        return BuildState(self.build.state_now())

    @property
    def is_open(self) -> bool:
        return self.state not in ENDED

    @cached_property
    def seen(self) -> StepPictures:
        return self.step.step.seen(self.person.units)

    @cached_property
    def in_plan(self) -> InPlan | None:
        """The sheet plan of a batch that has the piece which this step cuts."""
        if self.step.card.get("facts", [])[:1] != [Task.CUT_BLANK]:
            return None
        return cut_by(self.now.plan)

    @property
    def words_in_plan(self) -> str:
        """Where the piece lies in it."""
        pieces = self.in_plan.pieces if self.in_plan else {}
        mine = (code for code in pieces if cut_step_id(code) == self.step.card["id"])
        code = next(mine, None)
        return self.in_plan.words_for(code) if self.in_plan and code else ""

    @property
    def before(self) -> StepNow | None:
        return neighbours(self.now, self.step)[0]

    @property
    def after(self) -> StepNow | None:
        return neighbours(self.now, self.step)[1]

    @cached_property
    def panel_report(self) -> PanelReport | None:
        """Panels of another size wait for an answer; said where there is something to cut."""
        return waiting_on(self.build) if self.step.card["bench"] else None

    @property
    def may_report_panel(self) -> bool:
        """On the step that measures a panel."""
        is_measured = self.step.card["id"] == MEASURE
        return is_measured and may_be_reported(self.now.plan, self.state)

    @cached_property
    def overtaken(self) -> list[Late]:
        return late_words(self.build, self.person, self.now)

    @property
    def others(self) -> list[Start]:
        """Who else is on this step."""
        return [one for one in self.step.on_it if one.made_by_id != self.person.pk]

    @property
    def own(self) -> Start | None:
        """Since when this person is on it: the clock runs from there."""
        return next((one for one in self.step.on_it if one.made_by_id == self.person.pk), None)

    @property
    def parts(self) -> list[StepPartRow]:
        codes = [one["what"] for one in self.step.card["adds"]]
        return [StepPartRow(code, part_name(code), uuid4()) for code in codes]

    @cached_property
    def _repeats(self) -> Repeats:
        cards = [one.card for one in self.now.steps]
        return repeats_in([ToldStep(one.get("facts", ()), one["instructions"]) for one in cards])

    @property
    def same_work(self) -> SameWork | None:
        again = self._repeats.again.get(self.step.step.number)
        if again is None:
            return None
        key = self.now.steps[again.first - 1].step.key
        return SameWork(again.sentence, key, again.instructions)

    @property
    def comes_again(self) -> str:
        return self._repeats.sentence(self.step.step.number)

    @property
    def seconds(self) -> int:
        return int(self.step.card["minutes"]) * 60

    @cached_property
    def remarks(self) -> list[Remark]:
        """Notes and photos of this step, the newest first."""
        key = self.step.step.key
        notes = self.build.buildnotes.filter(step_key=key).select_related("made_by")
        photos = self.build.buildphotos.filter(step_key=key).select_related("made_by")
        both = [
            *(Remark(one.at, one.made_by, "", one, None) for one in notes),
            *(Remark(one.at, one.made_by, "", None, one) for one in photos),
        ]
        return sorted(both, key=lambda one: one.at, reverse=True)


@gzip_page
@require_GET
def build_step(request: HttpRequest, code: str, key: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    now = BuildStep.objects.key_now(found, key)
    if now != key:
        return redirect("builds:build_step", code=found.code, key=now)
    context = {
        "build": found,
        "page": BuildStepPage(found, key, person),
        "once": uuid4(),
        "note": NoteForm(initial={"step": key}),
        "photo": StepPhotoForm(initial={"step": key}),
    }
    return render(request, "building/build_step.html", context)


@require_POST
def tick_step(request: HttpRequest, code: str, key: str) -> HttpResponse:
    """Tick it, and go on to what can be done next."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    key = BuildStep.objects.key_now(found, key)
    answer = _act(request, person, found, key, "tick")
    progress = Progress(found, person.units)
    number = next((one.step.number for one in progress.steps if one.step.key == key), 0)
    following = progress.next_after(number)
    if answer.outcome == STRAY or following is None:
        return redirect("builds:build", code=found.code)
    return redirect("builds:build_step", code=found.code, key=following.step.key)


@require_POST
def untick_step(request: HttpRequest, code: str, key: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return _and_back(request, person, code, key, "untick")


@require_POST
def start_step(request: HttpRequest, code: str, key: str) -> HttpResponse:
    """Say that one is on it: the others see it, and the clock runs."""
    person = member_or_403(request, Person.Role.BUILDER)
    return _and_back(request, person, code, key, "start")


def act_message(request: HttpRequest, answer: ActAnswer) -> None:
    """Say what became of an act."""
    add_message = messages.error if answer.outcome == STRAY else messages.success
    add_message(request, str(answer.sentence))


def _and_back(request: HttpRequest, person: Person, code: str, key: str, kind: str) -> HttpResponse:
    found = build_seen_by(person, code)
    key = BuildStep.objects.key_now(found, key)
    answer = _act(request, person, found, key, kind)
    if answer.outcome == STRAY:
        return redirect("builds:build", code=found.code)
    return redirect("builds:build_step", code=found.code, key=key)


def _act(request: HttpRequest, person: Person, build: Build, key: str, kind: str) -> ActAnswer:
    form = BuildActForm(request.POST)
    form.is_valid()  # what is wrong with it is only its once, which is made anew then
    act = {"once": form.cleaned_data["once"], "kind": kind, "step": key}
    answer = take(person, build, act, timezone.now())
    act_message(request, answer)
    return answer
