"""The health log of an animal: what happened, latest first; entries and their corrections."""

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.core.paginator import Paginator
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from habitats.animals.pages.rows import animal_seen_by
from habitats.common.sent import form_page, sent_with
from habitats.health.forms.entries import AnimalReportForm, CorrectionForm, EntryForm
from habitats.health.models.entries import HealthEntry
from habitats.health.pages.in_short import health_in_short
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue

FOSTER = Person.Role.FOSTER
ENTRIES_A_PAGE = 30


@require_GET
def health_log(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    animal = animal_seen_by(person, code)
    entries = animal.health_entries.select_related(
        "made_by", "correction__made_by", "corrects", "settles"
    )
    context = {
        "animal": animal,
        "health": health_in_short(animal, timezone.localdate(), timezone.now()),
        "treatments": animal.treatments.select_related("stop", "animal").latest_first(),
        "entries": Paginator(entries.latest_first(), ENTRIES_A_PAGE).get_page(
            request.GET.get("page")
        ),
    }
    return render(request, "health/log.html", context)


@require_http_methods(["GET", "POST"])
def new_health_entry(request: HttpRequest, code: str) -> HttpResponse:
    """``?kind=visit&settles=7``: what the page was opened for."""
    person = member_or_403(request, FOSTER)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    asked = {name: request.GET[name] for name in ("kind", "settles") if name in request.GET}
    form = EntryForm(sent_with(request), animal=animal, today=today, initial=asked)
    if request.method == "POST" and form.is_valid():
        _tell(request, form.append(by=person))
        return redirect("health_log", code=animal.code)
    return form_page(request, "health/new_entry.html", form=form, animal=animal)


@require_http_methods(["GET", "POST"])
def report_animal(request: HttpRequest, code: str) -> HttpResponse:
    """Ill, missing, died, or young born: it comes up on the coordinators' Today at once."""
    person = member_or_403(request, FOSTER)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    form = AnimalReportForm(sent_with(request), animal=animal, today=today)
    if request.method == "POST" and form.is_valid():
        made = form.append(by=person)
        values = {"animal": animal, "kind": made.kind_words}
        words = _("%(animal)s: %(kind)s. Reported; the coordinators see it on Today.") % values
        messages.success(request, words)
        return redirect("animal", code=animal.code)
    context = {"form": form, "animal": animal, "rescue": Rescue.ours()}
    return form_page(request, "health/report.html", **context)


@require_http_methods(["GET", "POST"])
def correct_health_entry(request: HttpRequest, code: str, pk: int) -> HttpResponse:
    """A new entry in the place of one: coordinators correct any, others what they wrote."""
    person = member_or_403(request, FOSTER)
    animal, today = animal_seen_by(person, code), timezone.localdate()
    entry = get_object_or_404(animal.health_entries.select_related("animal", "settles"), pk=pk)
    if not person.is_coordinator and entry.made_by_id != person.pk:
        raise PermissionDenied(
            _("Another person wrote this entry. Ask a coordinator to correct it.")
        )
    form = CorrectionForm(sent_with(request), entry=entry, today=today)
    if request.method == "POST" and form.is_valid():
        made = _corrected(entry, form, person)
        if made is None:
            messages.warning(request, _("This entry was corrected meanwhile. See below."))
        else:
            messages.success(request, _("Correction saved. The earlier entry stays below."))
            if made.is_nothing_eaten:
                _tell(request, made)
        return redirect("health_log", code=animal.code)
    return form_page(request, "health/correct_entry.html", form=form, animal=animal, entry=entry)


@transaction.atomic
def _corrected(entry: HealthEntry, form: CorrectionForm, by: Person) -> HealthEntry | None:
    """None where another correction came first: of two at once, the second is told."""
    HealthEntry.objects.select_for_update(no_key=True).get(pk=entry.pk)
    others = HealthEntry.objects.filter(corrects=entry)
    if others.exclude(idempotency_key=form.cleaned_data["once"]).exists():
        return None
    return form.append(by=by)


def _tell(request: HttpRequest, entry: HealthEntry) -> None:
    values = {"kind": entry.kind_words, "animal": entry.animal}
    if entry.is_nothing_eaten:
        messages.warning(
            request,
            _("%(animal)s ate nothing: this is an emergency. Call a vet now.") % values,
        )
    else:
        messages.success(request, _("%(animal)s: %(kind)s recorded.") % values)
