"""An intake of one animal or of many, on one page; and what comes after it."""

import re
import uuid
from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any, NamedTuple
from urllib.parse import urlencode

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods

from habitats.animals.forms.arrivals import ArrivalForm
from habitats.animals.forms.groups import chosen_animals
from habitats.animals.forms.identity import unless_taken
from habitats.animals.forms.intake import ROWS_AT_FIRST, IntakeForm, PlaceChoice, rows_in
from habitats.animals.models.animals import Animal
from habitats.animals.models.companions import companions_of, with_facts
from habitats.animals.models.intake import MOST, take_in, taken_in_before
from habitats.animals.models.waiting_photos import forget, laid_by, lay_by
from habitats.animals.pages.groups_to_make import groups_to_make
from habitats.animals.pages.objection_rows import brought_rows
from habitats.animals.pages.rows import rows_of
from habitats.animals.views.at_the_door import at_the_door
from habitats.common.fields import PhotoField
from habitats.common.happened import Elsewhere
from habitats.common.sent import form_page
from habitats.people.access import coordinator_or_403
from habitats.people.models.people import Person
from habitats.rescue.models.rescue import Rescue
from habitats.rescue.models.standards import limits_of
from habitats.residence.pages.free_rooms import free_rooms, has_space, species_of_the_last
from habitats.welfare.quarantine import advised_until, ends_on
from habitats.welfare.values import Species
from habitats.wording import by_number, listed

HOW_MANY = re.compile(r"[1-9][0-9]?", re.ASCII)


class IsolationEnd(NamedTuple):
    """The first days on which it is over, at the earliest and as advised."""

    names: str
    least: date
    advised: date


@require_http_methods(["GET", "POST"])
def new_intake(request: HttpRequest) -> HttpResponse:
    """More rows are asked for before anything is saved; then all animals come in, or none."""
    person, today = coordinator_or_403(request), timezone.localdate()
    before = taken_in_before(_once(request))
    if before:
        return redirect(_after(before))
    places = free_rooms(today)
    if "row" in request.GET and request.headers.get("HX-Request"):
        return _more_rows(request, places, today)
    if request.method == "POST" and "more" not in request.POST:
        form = IntakeForm(request.POST, request.FILES, places=places, fits=has_space, today=today)
        made = _taken_in(request, form, person) if form.is_valid() else None
        if made:
            return redirect(_told(request, made))
        return form_page(request, "residence/intake.html", **_context(form, person))
    typed: dict[str, object] = {"species": species_of_the_last(), **_asked_place(request, places)}
    rows = ROWS_AT_FIRST
    if request.method == "POST":
        typed, rows = _typed(request, person), _twice(rows_in(request.POST))
    form = IntakeForm(places=places, fits=has_space, today=today, rows=rows, initial=typed)
    return render(request, "residence/intake.html", _context(form, person))


@require_GET
def taken_in(request: HttpRequest) -> HttpResponse:
    """Who came just now, where they are, until when they are apart, and what comes next."""
    coordinator_or_403(request)
    today = timezone.localdate()
    asked = request.GET.getlist("animal")[:MOST]
    came: list[Any] = sorted(
        chosen_animals(asked).with_weight(), key=lambda one: by_number(one.name)
    )
    rows = rows_of(came, today)
    if not rows:
        return redirect("animals")
    homeless = [row.animal for row in rows if row.place.group is None]
    unplaced = [str(row.animal) for row in rows if not row.place.enclosure]
    context = {
        "rows": rows,
        "homeless": homeless,
        "groups_to_make": groups_to_make(homeless),
        "to_weigh": any(one.grams is None for one in came),
        "unplaced": listed(unplaced),
        # Newcomers in quarantine are not proposed to each other: they are made groups first.
        "may_be_proposed": bool(unplaced)
        and not (len(homeless) > 1 and any(row.is_apart for row in rows)),
        "is_housed": any(row.place.enclosure for row in rows),
        "ends": _ends([row.animal for row in rows], today),
        "cards": urlencode({"animal": [row.animal.code for row in rows]}, doseq=True),
    }
    return render(request, "residence/taken_in.html", context)


def _context(form: IntakeForm, person: Person) -> dict[str, object]:
    for row in form.rows:
        _lay_photo_by(row, person)
    return {
        "form": form,
        "rows": form.rows,
        "brought": brought_rows(form.brought, form.companions()) if form.is_bound else None,
        "quarantines": _quarantine_days(),
        "next": len(form.rows) + 1,
        "may_have_more": len(form.rows) < MOST,
    }


def _quarantine_days() -> dict[str, tuple[int, int]]:
    """By species, the least days at intake, and those that are advised."""
    limits = limits_of(Rescue.ours())
    return {
        one.value: (limits.quarantine_days(one), limits.quarantine_advised_days(one))
        for one in Species
    }


def _asked_place(request: HttpRequest, places: Sequence[PlaceChoice]) -> dict[str, object]:
    """The enclosure that the address names, if it is one of those that are free."""
    into = request.GET.get("into", "").upper()
    return {"place": into} if any(one.code == into for one in places) else {}


def _more_rows(request: HttpRequest, places: Sequence[PlaceChoice], today: date) -> HttpResponse:
    """For a page that has so many already."""
    typed = request.GET.get("row", "")
    first = int(typed) if HOW_MANY.fullmatch(typed) else ROWS_AT_FIRST + 1
    last = _twice(first - 1)
    form = IntakeForm(places=places, fits=has_space, today=today, rows=last)
    context = {"rows": form.rows[first - 1 :], "next": last + 1, "may_have_more": last < MOST}
    return render(request, "residence/_arrivals.html", context)


def _twice(rows: int) -> int:
    """How many there are after asking for more: the many of one case are few taps away."""
    return min(2 * max(rows, 1), MOST)


def _once(request: HttpRequest) -> uuid.UUID | None:
    try:
        return uuid.UUID(request.POST.get("once", ""))
    except ValueError:
        return None


def _taken_in(request: HttpRequest, form: IntakeForm, by: Person) -> list[Animal]:
    """The animals; none if it cannot be, and then the form says why."""
    photos = {str(row.prefix): _photo_of(row, by) for row in form.somebody}
    key = form.cleaned_data["once"]
    try:
        with at_the_door(request):
            made = unless_taken(
                lambda: take_in(form.intake(photos), by=by, idempotency_key=key), form.somebody
            )
    except Elsewhere as reason:
        form.add_error("place", str(reason))
        return []
    for row in form.somebody if made else ():
        forget(row.cleaned_data["waiting"], by)
    return made or []


def _photo_of(row: ArrivalForm, by: Person) -> bytes | None:
    photo: bytes | None = row.cleaned_data["photo"]
    return photo or laid_by(row.cleaned_data["waiting"], by)


def _lay_photo_by(row: ArrivalForm, by: Person) -> None:
    """The row tells the name of its photo, since no page can send the file back."""
    given = row.cleaned_data if row.is_bound and row.is_somebody else {}
    photo, name = given.get("photo"), str(row["waiting"].value() or "")
    if photo:
        name = lay_by(photo, by)
    row.waits_as = name if name and laid_by(name, by) else ""


def _typed(request: HttpRequest, by: Person) -> dict[str, object]:
    """All that was typed, with photos laid by, where only more rows are wanted."""
    typed: dict[str, object] = dict(request.POST.items())
    typed |= {name: name in request.POST for name in ("is_apart", "together")}
    field = PhotoField(required=False)
    for name, file in request.FILES.items():
        try:
            photo = field.clean(file)
        except forms.ValidationError:
            continue
        if photo and name.endswith("-photo"):
            typed[f"{name.removesuffix('-photo')}-waiting"] = lay_by(photo, by)
    return typed


def _told(request: HttpRequest, made: Sequence[Animal]) -> str:
    words = ngettext("%(number)d animal taken in.", "%(number)d animals taken in.", len(made))
    messages.success(request, words % {"number": len(made)})
    return _after(made)


def _after(made: Sequence[Animal]) -> str:
    codes = urlencode({"animal": [one.code for one in made]}, doseq=True)
    return f"{reverse('taken_in')}?{codes}"


def _ends(animals: Sequence[Animal], today: date) -> list[IsolationEnd]:
    """Until when they are apart: a line for each last day, with who it is about."""
    limits = limits_of(Rescue.ours())
    found: dict[tuple[date, date], list[str]] = defaultdict(list)
    facts = with_facts(Animal.objects.filter(pk__in=[one.pk for one in animals]).by_name(), today)
    for one in companions_of(facts):
        least, advised = ends_on(one, limits), advised_until(one, limits)
        if least and advised:
            found[least, advised].append(one.name)
    ends = sorted(found.items())
    return [IsolationEnd(listed(sorted(names, key=by_number)), *days) for days, names in ends]
