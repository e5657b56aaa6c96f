"""Planning a repair of an enclosure from its open faults."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.building.forms.repairing import PlanRepairForm
from builds.building.models.repair_builds import plan_repair as planned
from builds.building.models.repair_builds import refuse_repair
from builds.plans.models.builds import Build, CannotBuild
from habitats.common.sent import form_page, sent_with
from habitats.enclosures.models.enclosures import Enclosure
from habitats.faults.models import facts
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.upkeep.urgency import OUT_OF_REACH


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.open_faults, is_long=True)
def plan_repair(request: HttpRequest, code: str) -> HttpResponse:
    """Tick faults, say who mends them and when; or read why nothing can be planned."""
    person, today = coordinator_or_403(request), timezone.localdate()
    seen = Enclosure.objects.visible_to(person, today).with_state().with_shape()
    enclosure = get_object_or_404(seen, code=code.upper())
    form = PlanRepairForm(sent_with(request), enclosure=enclosure, today=today)
    if accepted(request, form):
        build = _planned(enclosure, form, person)
        if build:
            messages.success(request, _("“%(build)s” is planned.") % {"build": build})
            return redirect("builds:build", code=build.code)
    context = {"enclosure": enclosure, "form": form, "why_not": _why_not(enclosure)}
    context["caution"] = OUT_OF_REACH if enclosure.faults.open().unsafe().exists() else ""
    return form_page(request, "building/plan_repair.html", **context)


def _planned(enclosure: Enclosure, form: PlanRepairForm, person: Person) -> Build | None:
    given = form.cleaned_data
    try:
        return planned(
            enclosure,
            list(given["faults"]),
            by=person,
            on=timezone.localdate(),
            people=list(given["people"]),
            planned_on=given["planned_on"],
            idempotency_key=given["once"],
        )
    except CannotBuild as reason:
        form.add_error(None, str(reason))
        return None


def _why_not(enclosure: Enclosure) -> str:
    """In a sentence; empty where a repair can be planned."""
    try:
        refuse_repair(enclosure)
    except CannotBuild as reason:
        return str(reason)
    return ""
