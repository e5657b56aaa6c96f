"""Altering an enclosure that stands: its work and parts, shown before it is planned.

Into what was drawn on it, or into a design out of the list.
"""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from builds.building.forms.altering import PlanAlterationForm, PlanChangeForm, TargetForm
from builds.building.models.altering import Outline, outline, plan_alteration, refuse_to_alter
from builds.building.pages.change_board import refuge_words
from builds.drawing.altering import alteration_picture
from builds.packet.paper.altering import change_of
from builds.plans.models.builds import CannotBuild
from habitats.common.sent import form_page, sent_with
from habitats.designs.models.designs import Design
from habitats.enclosures.models import facts
from habitats.enclosures.models.drawings import all_drawn, open_drawing
from habitats.enclosures.models.enclosures import Enclosure
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), facts.all_of, is_long=True)
def alter_enclosure(request: HttpRequest, code: str) -> HttpResponse:
    """Choose a design and see what it takes; then plan the build that does it."""
    person = coordinator_or_403(request)
    enclosure = _enclosure(person, code)
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
        today=timezone.localdate(),
        initial={"design": sent.get("design", "")},
    )
    if found and accepted(request, form):
        answer = _planned(request, enclosure, form.cleaned_data["design"], form, person)
        if answer:
            return answer
    return _shown(request, enclosure, form, found, target=target)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Enclosure), all_drawn, is_long=True)
def plan_change(request: HttpRequest, code: str) -> HttpResponse:
    """What was drawn on the enclosure: what it takes, and the build that does it."""
    person = coordinator_or_403(request)
    enclosure = _enclosure(person, code)
    form = PlanChangeForm(sent_with(request), today=timezone.localdate())
    drawing = open_drawing(enclosure)
    try:
        if drawing is None:
            raise CannotBuild(_("Nothing is drawn yet: the drawing matches the enclosure."))
        refuse_to_alter(enclosure)
        found = outline(enclosure, drawing)
    except CannotBuild as reason:
        messages.error(request, str(reason))
        return redirect("builds:change_enclosure", code=enclosure.code)
    if accepted(request, form):
        answer = _planned(request, enclosure, drawing, form, person)
        if answer:
            return answer
    return _shown(request, enclosure, form, found)


def _enclosure(person: Person, code: str) -> Enclosure:
    seen = Enclosure.objects.visible_to(person, timezone.localdate()).with_state().with_shape()
    return get_object_or_404(seen, code=code.upper())


def _shown(
    request: HttpRequest,
    enclosure: Enclosure,
    form: PlanChangeForm,
    found: Outline | None,
    *,
    target: TargetForm | None = None,
) -> HttpResponse:
    """``target``: where a design is chosen; None: what was drawn on the enclosure."""
    context: dict[str, object] = {"enclosure": enclosure, "target": target, "form": form}
    if found:
        context |= {
            "found": found,
            "change": change_of(found.alteration, found.order),
            "picture": alteration_picture(found.alteration),
            "animals": enclosure.stays.open().select_related("group").first(),
            "refuge": refuge_words(found.order),
        }
    return form_page(request, "building/alter_enclosure.html", **context)


def _planned(
    request: HttpRequest,
    enclosure: Enclosure,
    design: Design,
    form: PlanChangeForm,
    person: Person,
) -> HttpResponse | None:
    given = form.cleaned_data
    try:
        build = plan_alteration(
            enclosure,
            design,
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
