"""Altering an enclosure that stands: its work and parts, shown before it is planned."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.building.forms.altering import PlanAlterationForm, TargetForm
from builds.building.models.altering import Outline, outline, plan_alteration
from builds.drawing.altering import alteration_picture
from builds.packet.paper.altering import change_of
from builds.plans.models.builds import CannotBuild
from habitats.common.sent import form_page
from habitats.enclosures.models import facts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.all_of, is_long=True)
def alter_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    """Choose a design and see what it takes; then plan the build that does it."""
    person, today = coordinator_or_403(request), timezone.localdate()
    seen = Enclosure.objects.visible_to(person, today).with_state().with_shape()
    enclosure = get_object_or_404(seen, code=code.upper())
    sent = request.POST if request.method == "POST" else request.GET
    target = TargetForm(sent if "design" in sent or request.method == "POST" else None)
    found: Outline | None = None
    if target.is_valid():
        try:
            found = outline(enclosure, target.cleaned_data["design"])
        except CannotBuild as reason:
            target.add_error("design", str(reason))
    form = PlanAlterationForm(
        request.POST if request.method == "POST" else None,
        today=today,
        initial={"design": sent.get("design", "")},
    )
    if found and accepted(request, form):
        answer = _planned(request, enclosure, form, person)
        if answer:
            return answer
    context = {"enclosure": enclosure, "target": target, "form": form, "found": found}
    if found:
        context["change"] = change_of(found.alteration, found.order)
        context["picture"] = alteration_picture(found.alteration)
    return form_page(request, "building/alter_enclosure.html", **context)


def _planned(
    request: HttpRequest, enclosure: Enclosure, form: PlanAlterationForm, person: Person
) -> HttpResponse | None:
    given = form.cleaned_data
    try:
        build = plan_alteration(
            enclosure,
            given["design"],
            by=person,
            on=timezone.localdate(),
            planned_on=given["planned_on"],
            people=list(given["people"]),
            idempotency_key=given["once"],
        )
    except CannotBuild as reason:
        form.add_error(None, str(reason))
        return None
    messages.success(request, _("“%(build)s” is planned.") % {"build": build})
    return redirect("builds:build", code=build.code)
