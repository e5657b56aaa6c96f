"""Build days: planned by a coordinator, read by who is on the build, and as a calendar entry."""

from functools import partial
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.building.forms.build_days import BuildDayForm
from builds.building.models import facts as build_facts
from builds.building.models.build_days import (
    BuildDay,
    change_build_day,
    plan_build_day,
    why_no_build_day,
)
from builds.building.pages.build_days import BuildDayPage, entry_of
from builds.building.views.builds import build_seen_by
from builds.plans.models.builds import Build, CannotBuild
from habitats.calendars import calendar_text
from habitats.common.public_address import public_address
from habitats.common.sent import form_page, sent_with
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, refuse_if_changed, row_of


@require_http_methods(["GET", "POST"])
def new_build_day(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    if request.method == "GET" and (why := why_no_build_day(found)):
        messages.error(request, why)
        return redirect("builds:build", code=found.code)
    form = BuildDayForm(
        sent_with(request), people=_who_may_come(found, person), today=timezone.localdate()
    )
    if request.method == "POST" and form.is_valid():
        key: UUID = form.cleaned_data["once"]
        try:
            day = plan_build_day(found, form.facts, form.coming, by=person, key=key)
        except CannotBuild as reason:
            form.add_error(None, str(reason))
        else:
            messages.success(request, _("The build day is planned."))
            return redirect("builds:build_day", code=found.code, pk=day.pk)
    return form_page(request, "building/edit_build_day.html", build=found, form=form, day=None)


@require_http_methods(["GET", "POST"])
@based_on(row_of(BuildDay, "pk"), build_facts.build_day)
def edit_build_day(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    day = get_object_or_404(found.days, pk=pk)
    if request.method == "GET" and (why := why_no_build_day(found)):
        messages.error(request, why)
        return redirect("builds:build_day", code=found.code, pk=day.pk)
    people = _who_may_come(found, person, day)
    form = BuildDayForm(sent_with(request), people=people, today=timezone.localdate(), day=day)
    if accepted(request, form):
        try:
            change_build_day(day, form.facts, form.coming)
        except CannotBuild as reason:
            form.add_error(None, str(reason))
        else:
            messages.success(request, _("Changes saved."))
            return redirect("builds:build_day", code=found.code, pk=day.pk)
    return form_page(request, "building/edit_build_day.html", build=found, form=form, day=day)


@require_POST
@based_on(row_of(BuildDay, "pk"), build_facts.build_day)
def delete_build_day(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    day = get_object_or_404(found.days, pk=pk)
    refuse_if_changed(request)
    day.delete()
    messages.success(request, _("The build day is deleted."))
    return redirect("builds:build", code=found.code)


@require_GET
def build_day(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    day = get_object_or_404(found.days.select_related("build"), pk=pk)
    context = {
        "build": found,
        "day": day,
        "page": BuildDayPage(day, person),
        "why_fixed": why_no_build_day(found) if person.is_coordinator else "",
    }
    return render(request, "building/build_day.html", context)


@require_GET
def build_day_entry(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """One entry, to be opened by the calendar of the person who asks."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    day = get_object_or_404(found.days.select_related("build"), pk=pk)
    mine = day.coming.filter(person=person).first()
    entry = entry_of(day, mine, partial(public_address, request))
    text = calendar_text(entry.title, [entry], timezone.now())
    response = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="build-day-{found.code}.ics"'
    return response


def _who_may_come(build: Build, person: Person, day: BuildDay | None = None) -> list[Person]:
    """Who is on the build, who plans it, and who was asked before."""
    asked = set(day.coming.values_list("person", flat=True)) if day else set()
    known = {*build.people.values_list("pk", flat=True), person.pk, *asked}
    return list(Person.objects.filter(pk__in=known).order_by("first_name", "last_name", "pk"))
