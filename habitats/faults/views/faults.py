"""Faults: reported on a phone, listed by urgency, looked at, said to be mended."""

from typing import NamedTuple

from django.contrib import messages
from django.core.paginator import Paginator
from django.db import models
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from habitats.common.fields import A_KEY
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page, sent_with
from habitats.drawing.fault_places import FloorDrawing, Marked, floor_drawing
from habitats.enclosures.models import facts as enclosure_facts
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.enclosures.views import enclosure_seen_by
from habitats.faults.forms.faults import FaultForm, FindFaultsForm, MendForm
from habitats.faults.models import facts as fault_facts
from habitats.faults.models.faults import Fault, FaultQuerySet
from habitats.faults.models.mended_news import see_mended
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.people.views.from_phones import takes_from_phones
from habitats.structure.structure import Structure
from habitats.structure.words import level_words
from habitats.upkeep.places import FloorPoint, level_of
from habitats.upkeep.urgency import OUT_OF_REACH

FAULTS_A_PAGE = 50
COORDINATOR, BUILDER, FOSTER, _LAUNDRY = Person.Role


class FloorToTap(NamedTuple):
    """A level to tap on."""

    z: int
    words: str
    drawing: FloorDrawing


@require_http_methods(["GET", "POST"])
@takes_from_phones
@based_on(row_of(Enclosure), enclosure_facts.as_built)
def report_fault(request: HttpRequest, code: str) -> HttpResponse:
    person, today = member_or_403(request, BUILDER, FOSTER), timezone.localdate()
    enclosure = enclosure_seen_by(person, code)
    structure = enclosure.structure()
    if structure is None:
        raise Http404("This enclosure cannot be drawn as it stands.")
    form = FaultForm(
        sent_with(request),
        request.FILES or None,
        enclosure=enclosure,
        structure=structure,
        today=today,
        again=_mended_before(enclosure, request.GET.get("again", "")),
    )
    if accepted(request, form):
        try:
            fault = form.report(by=person)
        except Elsewhere as reason:
            form.add_error(None, str(reason))
        else:
            messages.success(request, _("Reported: %(fault)s. Thank you.") % {"fault": fault})
            return redirect("fault", pk=fault.pk)
    floors = [_floor_to_tap(structure, level) for level in range(len(structure.design.levels))]
    context = {"enclosure": enclosure, "form": form, "floors": floors, "caution": OUT_OF_REACH}
    return form_page(request, "faults/report_fault.html", **context)


@require_GET
def faults(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, BUILDER)
    form = FindFaultsForm(request.GET)
    seen = Fault.objects.visible_to(person, timezone.localdate())
    page = Paginator(form.found(listed(seen)), FAULTS_A_PAGE).get_page(request.GET.get("page"))
    context = {"form": form, "page": page, "any": seen.exists()}
    return render(request, "faults/faults.html", context)


def listed(faults: FaultQuerySet) -> FaultQuerySet:
    """With all that a line of a list shows: one query more."""
    where = Standing.objects.on(timezone.localdate()).select_related("home")
    standing = models.Prefetch("enclosure__standings", where, to_attr="standing_now")
    return faults.select_related(
        "enclosure", "revision", "mended__made_by", "made_by"
    ).prefetch_related(standing)


@require_http_methods(["GET", "POST"])
@takes_from_phones
@based_on(row_of(Fault, "pk"), fault_facts.mended)
def fault(request: HttpRequest, pk: int) -> HttpResponse:
    """What is wrong and where; and, sent with the form, that it is mended."""
    person, today = member_or_403(request, BUILDER, FOSTER), timezone.localdate()
    found = _fault_seen_by(person, pk)
    may_mend = found.is_open and may_say_mended(person, found)
    form = MendForm(sent_with(request), fault=found, today=today)
    if request.method == "POST" and not may_mend:
        if not _is_sent_again(request, found):
            messages.warning(request, _why_not(found))
        return redirect("fault", pk=found.pk)
    if accepted(request, form):
        try:
            form.mend(by=person)
        except Elsewhere as reason:
            form.add_error("day", str(reason))
        else:
            messages.success(request, _("Marked as mended: %(fault)s.") % {"fault": found})
            return redirect("fault", pk=found.pk)
    context = {
        "fault": found,
        "form": form if may_mend else None,
        "drawing": _drawing_of(found),
        "home": _home_of(found.enclosure),
        "caution": OUT_OF_REACH if found.is_open and found.is_unsafe else "",
        "lived_in": found.enclosure.stays.on(today).exists(),
        "today": today,
    }
    return form_page(request, "faults/fault.html", **context)


@require_POST
def see_mended_fault(request: HttpRequest, pk: int) -> HttpResponse:
    """Today tells it no more to this person."""
    person = member_or_403(request, FOSTER)
    found = _fault_seen_by(person, pk)
    if not found.is_open:
        see_mended(found.mended, by=person)
    return redirect("today")


@require_GET
def fault_photo(request: HttpRequest, pk: int) -> FileResponse:
    """The photo, for those who may see the fault."""
    person = member_or_403(request, BUILDER, FOSTER)
    found = _fault_seen_by(person, pk)
    try:
        opened = found.photo.open("rb")
    except (ValueError, FileNotFoundError) as none:
        raise Http404("There is no photo of this fault.") from none
    answer = FileResponse(opened, content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=86400"
    return answer


def may_say_mended(person: Person, found: Fault) -> bool:
    """A foster says so of what is not unsafe; that is left to those who mend and place."""
    return person.has_role(COORDINATOR, BUILDER) or not found.is_unsafe


def _mended_before(enclosure: Enclosure, key: str) -> Fault | None:
    """The fault that is said to be mended and is not; None where the address names none."""
    if not A_KEY.fullmatch(key):
        return None
    return enclosure.faults.filter(pk=int(key), mended__isnull=False).first()


def _is_sent_again(request: HttpRequest, found: Fault) -> bool:
    """The very form that marked it: a phone sends again what it heard no answer to."""
    done = None if found.is_open else found.mended
    return done is not None and str(done.idempotency_key) == request.POST.get("once")


def _why_not(found: Fault) -> str:
    if not found.is_open:
        return _("It was marked as mended before. Nothing was changed.")
    return _("A builder or a coordinator has to look at an unsafe fault and mark it as mended.")


def _fault_seen_by(person: Person, pk: int) -> Fault:
    seen = Fault.objects.visible_to(person, timezone.localdate())
    return get_object_or_404(
        seen.select_related("enclosure", "revision", "mended__made_by", "made_by", "safety_check"),
        pk=pk,
    )


def _home_of(enclosure: Enclosure):  # type: ignore[no-untyped-def]
    standing = enclosure.standings.on(timezone.localdate()).select_related("home").first()
    return standing.home if standing else None


def _floor_to_tap(structure: Structure, level: int) -> FloorToTap:
    words = str(level_words(structure, level))
    title = _("Floor: %(level)s") % {"level": words}
    drawing = floor_drawing(
        structure, level, (), title=title, description=_("North is at the top.")
    )
    return FloorToTap(structure.design.levels[level].z, words, drawing)


def _drawing_of(found: Fault) -> str:
    """The level with the fault marked; empty where the place was not said."""
    structure, where = found.structure(), found.where
    return _marked(structure, where, str(found.where_words())) if structure and where else ""


def _marked(structure: Structure, where: FloorPoint, words: str) -> str:
    level = level_of(structure, where.z)
    marks = [Marked(where.x_mm, where.y_mm)]
    title = _("Place of the fault: %(place)s") % {"place": words}
    return floor_drawing(structure, level, marks, title=title, description=capfirst(words)).svg
