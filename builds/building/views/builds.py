"""Builds: the list, a new build, its overview, and changes to the build as a whole."""

from typing import NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.building.forms.builds import (
    ALL,
    MINE,
    BuildStateForm,
    EditBuildForm,
    FindBuildsForm,
    NewBuildForm,
    offered,
)
from builds.building.pages.build_page import BuildPage
from builds.plans.models import facts as build_facts
from builds.plans.models.build_questions import build_of_code
from builds.plans.models.builds import LONGEST_NAME, Build, BuildState, CannotBuild
from builds.plans.models.progress import Count, counts_of
from habitats.common.public_address import public_address
from habitats.common.sent import form_page, sent_with
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.first_built import is_not_built
from habitats.enclosures.models.standing import home_of
from habitats.homes.models.homes import Home
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person, sees_workshop
from habitats.people.views.based_on import accepted, based_on, row_of

UNPROCESSABLE = 422
BUILDS_A_PAGE = 50
NONE_YET = Count(0, 0)


class BuildRow(NamedTuple):
    """One line of the list."""

    build: Build
    state: BuildState
    far: Count


@require_GET
def builds(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    form = FindBuildsForm(_asked(request, person))
    seen = Build.objects.visible_to(person)
    found = form.found(seen, person).soonest_first().select_related("home")
    page = Paginator(found.prefetch_related("people"), BUILDS_A_PAGE)
    shown = page.get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": shown,
        "rows": rows_of(list(shown.object_list)),
        "any": seen.exists(),
        "home": _home(form),
        "is_mine": form["whose"].value() == MINE,
        "is_narrowed": any(form[name].value() for name in ("words", "state")),
    }
    return render(request, "building/builds.html", context)


def rows_of(found: list[Build]) -> list[BuildRow]:
    """Builds loaded ``with_state``, each with how far it is: three questions for all of them."""
    counts = counts_of(found)
    return [
        BuildRow(one, BuildState(one.state), counts.get(one.pk, NONE_YET))  # type: ignore[attr-defined]
        for one in found
    ]


@require_http_methods(["GET", "POST"])
def new_build(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    today = timezone.localdate()
    form = NewBuildForm(
        sent_with(request), today=today, units=person.units, initial=_named(request)
    )
    if request.method == "POST" and form.is_valid():
        try:
            made = form.plan(by=person, on=today)
        except CannotBuild as reason:
            form.add_error("design", str(reason))
        else:
            messages.success(request, _("“%(build)s” is planned.") % {"build": made})
            return redirect("builds:build", code=made.code)
    return form_page(request, "building/new_build.html", form=form)


@gzip_page
@require_GET
def build(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return build_page(request, person, build_seen_by(person, code))


@require_GET
def build_link(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return redirect("builds:build", code=build_seen_by(person, code).code)


@require_http_methods(["GET", "POST"])
@based_on(row_of(Build), build_facts.assignment)
def edit_build(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = build_seen_by(person, code)
    today = timezone.localdate()
    form = EditBuildForm(sent_with(request), build=found, today=today, units=person.units)
    if accepted(request, form):
        form.keep(found)
        messages.success(request, _("Changes saved."))
        return redirect("builds:build", code=found.code)
    return form_page(request, "building/edit_build.html", form=form, build=found)


@require_POST
@based_on(row_of(Build), build_facts.build_state)
def set_build_state(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = build_seen_by(person, code)
    form = BuildStateForm(
        request.POST, state=found.state_now(), person=person, today=timezone.localdate()
    )
    if accepted(request, form):
        try:
            form.set_state(found, by=person)
        except CannotBuild as reason:
            form.add_error("state", str(reason))
        else:
            messages.success(request, _("State saved."))
            return redirect("builds:build", code=found.code)
    return build_page(request, person, found, state_form=form)


def build_seen_by(person: Person, code: str) -> Build:
    """The build, if the person may see it; else there is no such page."""
    found = build_of_code(code) if sees_workshop(person) else None
    if found is None:
        raise Http404
    return found


def build_page(
    request: HttpRequest, person: Person, found: Build, *, state_form: BuildStateForm | None = None
) -> HttpResponse:
    """The overview. A form that comes with it was refused."""
    link = public_address(request, f"/b/{found.code}/")
    page = BuildPage(found, person, link=link, page=request.GET.get("page"))
    context = {"build": found, "page": page, "state_form": state_form or _state_form(page, person)}
    return render(
        request, "building/build.html", context, status=UNPROCESSABLE if state_form else 200
    )


def _state_form(page: BuildPage, person: Person) -> BuildStateForm | None:
    """What may be said next; None where nothing can, or not by this person."""
    if not offered(page.state, person):
        return None
    return BuildStateForm(state=page.state, person=person, today=timezone.localdate())


def _asked(request: HttpRequest, person: Person) -> QueryDict:
    """What the address asks for; a builder who asks for nothing has their own builds."""
    asked = request.GET.copy()
    if "whose" not in asked:
        mine = Build.objects.filter(people=person).live()
        is_on_some = not person.is_coordinator and mine.exists()
        asked["whose"] = MINE if is_on_some and "home" not in asked else ALL
    return asked


def _home(form: FindBuildsForm) -> Home | None:
    """The home that the list is narrowed to."""
    code = form.cleaned_data.get("home") if form.is_valid() else ""
    return Home.objects.filter(code=code.upper()).first() if code else None


def _named(request: HttpRequest) -> dict[str, object]:
    """What the address names: a planned enclosure, or a design and a home."""
    if planned := _planned(request.GET.get("enclosure", "")):
        there = home_of(planned)
        return {
            "enclosure": planned.code,
            "design": planned.revision.design.code,
            "name": planned.label,
            "home": there.code if there else "",
        }
    design = Design.objects.listed().filter(code=request.GET.get("design", "").upper()).first()
    home = request.GET.get("home", "")
    if design is None:
        return {"home": home}
    return {"home": home, "design": design.code, "name": design.name[:LONGEST_NAME]}


def _planned(code: str) -> Enclosure | None:
    """The enclosure with this code, if it does not stand yet."""
    if not code:
        return None
    found = Enclosure.objects.select_related("revision__design").filter(code=code.upper()).first()
    return found if found and is_not_built(found) else None
