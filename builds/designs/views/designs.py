"""Designs: the list drawn to one scale, the sheet of one, and acts on a whole design."""

import uuid
from dataclasses import replace

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from builds.common.fields import OnceForm
from builds.common.parts import is_part, varied
from builds.common.reckonings import corner_view as seen_from
from builds.common.reckonings import sheet_pieces
from builds.designs.forms.designs import FindForm, NameForm, NewDesignForm
from builds.designs.pages.board_plan import corner_named
from builds.designs.pages.design_list import cards_of
from builds.designs.pages.design_seen import (
    design_drawn_by,
    design_seen_by,
    listed_design_seen_by,
)
from builds.designs.pages.design_sheet import DesignSheet
from habitats.basis import Fact
from habitats.common.facts import fact
from habitats.common.sent import form_page, sent_with
from habitats.designs.models.designs import Design
from habitats.designs.models.structures import structure_of
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.rescue.models.rescue import Rescue
from habitats.structure.read import LONGEST_NAME

DESIGNS_A_PAGE = 30
MOST_OF_A_NAME = LONGEST_NAME - 20  # leaves room for what is said of it


@require_GET
def designs(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    form = FindForm(request.GET)
    found = form.found(Design.objects.visible_to(person).listed().live().with_revision().by_name())
    context = {
        "form": form,
        **_listed(request, found, person),
        "any": Design.objects.visible_to(person).listed().live().exists(),
        "archived": Design.objects.visible_to(person).listed().archived().count(),
    }
    return render(request, "designs/designs.html", context)


@require_GET
def archived_designs(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = Design.objects.visible_to(person).listed().archived().with_revision().by_name()
    return render(request, "designs/archived_designs.html", _listed(request, found, person))


@require_GET
def design(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    found = design_seen_by(person, code)
    context = {"sheet": DesignSheet(found, person.units), "once": uuid.uuid4()}
    return render(request, "designs/design.html", context)


@require_GET
def corner_view(request: HttpRequest, code: str) -> HttpResponse:
    """The view from a raised corner by itself: of a large design it comes after the page."""
    person = member_or_403(request, Person.Role.BUILDER)
    found = design_seen_by(person, code)
    shape = found.last_sound_shape()
    structure = structure_of(shape) if shape else None
    if structure is None:
        raise Http404(_("There is nothing to show until the drawing can be made."))
    corner = seen_from(structure, corner_named(request.GET.get("corner", "")))
    context = {"design": found, "corner": corner, "pieces": sheet_pieces(structure)}
    template = "designs/_corner.html" if is_part(request) else "designs/corner.html"
    return varied(render(request, template, context))


@require_GET
def short_link(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, Person.Role.BUILDER)
    return redirect("builds:design", code=design_seen_by(person, code).code)


@require_http_methods(["GET", "POST"])
def new_design(request: HttpRequest) -> HttpResponse:
    person = coordinator_or_403(request)
    initial: dict[str, object] = {"once": uuid.uuid4()}
    if panel := Rescue.ours().panel:
        initial |= {"size_mm": panel.size_mm, "squares": panel.squares}
    form = NewDesignForm(sent_with(request), units=person.units, initial=initial)
    if request.method == "POST" and form.is_valid():
        made = Design.objects.draw(
            form.shape(), by=person, idempotency_key=form.cleaned_data["once"]
        )
        return redirect("builds:board", code=made.code)
    return form_page(request, "designs/new_design.html", form=form)


def _name_now(design: Design) -> list[Fact]:
    drawn = design.current
    return [fact(design, "name", _("Name"), drawn.pk if drawn else design.name, design.name)]


@require_http_methods(["GET", "POST"])
@based_on(row_of(Design), _name_now)
def rename_design(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = design_drawn_by(person, code)
    form = NameForm(sent_with(request), initial={"name": found.name})
    if accepted(request, form):
        found.change(replace(found.shape(), name=form.cleaned_data["name"]), by=person)
        messages.success(request, _("Renamed to “%(name)s”.") % {"name": found.name})
        return redirect("builds:design", code=found.code)
    return form_page(request, "designs/rename_design.html", form=form, design=found)


@require_POST
def copy_design(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = design_seen_by(person, code)
    name = _("%(name)s, copy") % {"name": found.name[:MOST_OF_A_NAME]}
    form = OnceForm(request.POST)
    idempotency_key = form.cleaned_data["once"] if form.is_valid() else None
    copied = Design.objects.draw(
        replace(found.shape(), name=name), by=person, idempotency_key=idempotency_key
    )
    messages.success(
        request,
        _("This is a copy of “%(name)s”. You can rename it or draw on it.") % {"name": found.name},
    )
    return redirect("builds:design", code=copied.code)


@require_POST
def archive_design(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = listed_design_seen_by(person, code)
    found.archive(at=timezone.now())
    messages.success(
        request,
        _("“%(name)s” is archived. You can restore it on its sheet.") % {"name": found.name},
    )
    return redirect("builds:design", code=found.code)


@require_POST
def unarchive_design(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    found = listed_design_seen_by(person, code)
    found.unarchive()
    messages.success(request, _("“%(name)s” is restored.") % {"name": found.name})
    return redirect("builds:design", code=found.code)


def _listed(request: HttpRequest, found: QuerySet[Design], person: Person) -> dict[str, object]:
    """One page of the designs, all of a page drawn to one scale."""
    pages = Paginator(found, DESIGNS_A_PAGE).get_page(request.GET.get("page"))
    return {"pages": pages, "list": cards_of(pages.object_list, person.units)}
