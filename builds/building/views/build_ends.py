"""The end of a build: re-planning, inspection, repairs, hand-over."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_http_methods

from builds.building.forms.build_ends import (
    HandOverForm,
    InspectionForm,
    PlanAnewForm,
    RepairMendedForm,
)
from builds.building.models import facts as inspection_facts
from builds.building.models.handing_over import hand_over_to_home
from builds.building.models.inspecting import inspect, may_be_ticked_first, why_not_yet
from builds.building.models.inspections import Repair, may_inspect
from builds.building.models.panel_reports import settle
from builds.building.models.replanning import compare, plan_anew
from builds.building.views.builds import build_seen_by
from builds.plans.models import facts as build_facts
from builds.plans.models.builds import Build, BuildState, CannotBuild
from builds.plans.models.progress import Progress
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.people.views.from_phones import takes_from_phones

NOT_YOURS_TO_SIGN = gettext_lazy(
    "An inspection is signed by a coordinator, or by a builder who is on the build. "
    "Ask a coordinator to put you on it."
)


@require_http_methods(["GET", "POST"])
@takes_from_phones
@based_on(row_of(Build), inspection_facts.plan_and_inspection)
def inspect_build(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    if not may_inspect(person, list(found.people.all())):
        raise PermissionDenied(NOT_YOURS_TO_SIGN)
    progress = Progress(found, person.units)
    form = InspectionForm(
        sent_with(request),
        points=progress.plan.questions,
        today=timezone.localdate(),
        initial={"signed": person.full_name},
    )
    if accepted(request, form):
        try:
            return _inspected(request, found, form, person)
        except CannotBuild as reason:
            form.add_error(None, str(reason))
    why = why_not_yet(found, progress) if request.method == "GET" else ""
    # Stored ahead, the page serves a phone on which the steps are ticked later, without signal.
    may_wait = may_be_ticked_first(found)
    context = {"build": found, "form": form, "why": why, "may_wait": may_wait}
    return form_page(request, "building/inspect_build.html", **context)


@require_http_methods(["GET", "POST"])
@takes_from_phones
@based_on(row_of(Repair, "pk"), inspection_facts.repair_done)
def mend_repair(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    repair = get_object_or_404(Repair.objects.filter(build=found), pk=pk)
    form = RepairMendedForm(sent_with(request), today=timezone.localdate())
    if accepted(request, form):
        repair.mend(form.cleaned_data["day"], by=person, note=form.cleaned_data["note"])
        left = Repair.objects.filter(build=found).open().count()
        messages.success(request, _mended(left))
        return redirect("builds:build", code=found.code)
    return form_page(request, "building/mend_repair.html", build=found, repair=repair, form=form)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Build), build_facts.plan_and_design, is_long=True)
def replan_build(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    progress = Progress(found, person.units)
    design = progress.plan.revision.design
    form = PlanAnewForm(sent_with(request))
    why, change = "", None
    try:
        if accepted(request, form):
            plan = plan_anew(found, design, by=person, idempotency_key=form.cleaned_data["once"])
            settle(found, by=person)
            messages.success(
                request, _("Re-planned. This is plan %(number)d.") % {"number": plan.number}
            )
            return redirect("builds:build", code=found.code)
        change = compare(progress, design)
    except CannotBuild as reason:
        why = str(reason)
    context = {"build": found, "design": design, "change": change, "why": why, "form": form}
    return form_page(request, "building/replan_build.html", **context)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Build), build_facts.plan_and_state)
def hand_over_build(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    if found.is_kit:
        return redirect("builds:hand_over_kit", code=found.code)
    form = HandOverForm(sent_with(request), build=found, person=person, today=timezone.localdate())
    if accepted(request, form):
        try:
            return _handed_over(request, found, form, person)
        except CannotBuild as reason:
            form.add_error(None, str(reason))
    is_inspected = found.state_now() == BuildState.INSPECTED
    return form_page(
        request, "building/hand_over.html", build=found, form=form, is_inspected=is_inspected
    )


def _mended(left: int) -> str:
    if not left:
        return _("Mended. Now inspect the build again.")
    return ngettext(
        "Mended. %(count)d more point to mend.", "Mended. %(count)d more points to mend.", left
    ) % {"count": left}


def _inspected(
    request: HttpRequest, build: Build, form: InspectionForm, person: Person
) -> HttpResponse:
    """Raises ``CannotBuild``."""
    given = form.cleaned_data
    made = inspect(
        build,
        form.answers(),
        signed=given["signed"],
        on=given["day"],
        at=timezone.now(),
        by=person,
        idempotency_key=given["once"],
    )
    if made.has_passed:
        messages.success(request, _("Every point passed: the build is inspected."))
    else:
        count = made.repairs.count()
        messages.warning(
            request,
            ngettext(
                "%(count)d point did not pass. Mend it, then inspect again. "
                "No animal goes in before that.",
                "%(count)d points did not pass. Mend them, then inspect again. "
                "No animal goes in before that.",
                count,
            )
            % {"count": count},
        )
    return redirect("builds:build", code=build.code)


def _handed_over(
    request: HttpRequest, build: Build, form: HandOverForm, person: Person
) -> HttpResponse:
    """Raises ``CannotBuild``."""
    given = form.cleaned_data
    said = {
        "on": given["day"],
        "by": person,
        "idempotency_key": given["once"],
        "note": given["note"],
    }
    hand_over_to_home(build, given["home"], given.get("label", ""), **said)
    messages.success(
        request, _("Handed over to %(home)s. A group can move in.") % {"home": build.home}
    )
    return redirect("builds:build", code=build.code)
