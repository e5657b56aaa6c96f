"""Panels of another size than planned: a builder reports them, a coordinator answers."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.building.forms.panel_size import PanelAnswerForm, PanelReportForm
from builds.building.models.panel_reports import (
    PanelReport,
    compare_with,
    replan_with,
    report_panel,
)
from builds.building.views.builds import build_seen_by
from builds.plans.models import facts as build_facts
from builds.plans.models.builds import Build, CannotBuild
from builds.plans.models.progress import Progress
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.people.views.from_phones import takes_from_phones


@require_http_methods(["GET", "POST"])
@takes_from_phones
def report_panel_size(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    progress = Progress(found, person.units)
    planned = progress.plan.revision.shape().panel
    form = PanelReportForm(
        sent_with(request), units=person.units, initial={"squares": planned.squares}
    )
    if request.method == "POST" and form.is_valid():
        try:
            report_panel(
                found,
                form.panel,
                note=form.cleaned_data["note"],
                by=person,
                idempotency_key=form.cleaned_data["once"],
            )
        except CannotBuild as reason:
            form.add_error("size_mm", str(reason))
        else:
            messages.success(
                request, _("Reported. Cut nothing until a coordinator has re-planned the build.")
            )
            return redirect("builds:build", code=found.code)
    context = {"build": found, "form": form, "planned": planned}
    return form_page(request, "building/report_panel_size.html", **context)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Build), build_facts.plan_and_design)
def answer_panel_size(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """What re-planning would do, and the coordinator's word, which is taken once."""
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    report = get_object_or_404(PanelReport.objects.filter(build=found), pk=pk)
    progress = Progress(found, person.units)
    form = PanelAnswerForm(sent_with(request))
    why, change = "", None
    try:
        if accepted(request, form) and report.answered_at is None:
            return _answered(request, found, report, form, person)
        if report.answered_at is None:
            change = compare_with(progress, report)
    except CannotBuild as reason:
        why = str(reason)
    revision = progress.plan.revision
    told = {"design": revision.design, "planned": revision.shape().panel}
    context = {"build": found, "report": report, "change": change, "why": why, "form": form}
    return form_page(request, "building/answer_panel_size.html", **told, **context)


def _answered(
    request: HttpRequest, build: Build, report: PanelReport, form: PanelAnswerForm, by: Person
) -> HttpResponse:
    if form.cleaned_data["answer"] == PanelAnswerForm.KEEP:
        report.answer(is_taken=False, by=by)
        messages.success(request, _("The plan stays. Tell the builders which panels to use."))
    else:
        plan = replan_with(report, by=by, idempotency_key=form.cleaned_data["once"])
        messages.success(
            request, _("Re-planned. This is plan %(number)d.") % {"number": plan.number}
        )
    return redirect("builds:build", code=build.code)
