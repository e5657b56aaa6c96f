"""Routine checks of teeth and nails: those that are due, ticked together."""

from datetime import date
from typing import NamedTuple

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from habitats.animals.models.animals import Animal
from habitats.common.sent import form_page, sent_with
from habitats.health.forms.checks import ChecksForm
from habitats.health.models.dues import checks_due
from habitats.homes.models.homes import Home
from habitats.people.access import member_or_403
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import NAILS, TEETH

FOSTER = Person.Role.FOSTER
MOST_SHOWN = 100  # checks; what is left is shown once these are ticked


class CheckRow(NamedTuple):
    """An animal with the days on which its teeth and its nails are due; None: not in a week."""

    animal: Animal
    teeth: date | None
    nails: date | None


@require_http_methods(["GET", "POST"])
def routine_checks(request: HttpRequest) -> HttpResponse:
    """``?home=CODE``: of that home only."""
    person, today = member_or_403(request, FOSTER), timezone.localdate()
    home = _home_asked_for(request, person)
    rows, left_out = _rows(person, home, today)
    form = ChecksForm(sent_with(request), animals=_animals(request, person, rows), today=today)
    if request.method == "POST" and form.is_valid():
        _tell(request, form.append(by=person))
        return redirect(request.get_full_path())
    context = {"form": form, "rows": rows, "home": home, "today": today, "left_out": left_out}
    return form_page(request, "health/checks.html", **context)


def _home_asked_for(request: HttpRequest, person: Person) -> Home | None:
    code = request.GET.get("home")
    return get_object_or_404(Home.objects.cared_for_by(person), code=code.upper()) if code else None


def _rows(person: Person, home: Home | None, today: date) -> tuple[list[CheckRow], bool]:
    """Due first those that are due first; and whether there are more."""
    due = checks_due(person, today)
    if home:
        due = due.filter(home=home)
    days: dict[str, dict[str, date]] = {}
    found = list(due[: MOST_SHOWN + 1])
    for row in found[:MOST_SHOWN]:
        days.setdefault(row.animals[0][0], {})[row.kind] = row.day
    animals = Animal.objects.in_bulk(list(days), field_name="code")
    rows = [CheckRow(animals[code], of.get(TEETH), of.get(NAILS)) for code, of in days.items()]
    return rows, len(found) > MOST_SHOWN


def _animals(request: HttpRequest, person: Person, rows: list[CheckRow]) -> list[Animal]:
    """Those that may be ticked: who was checked meanwhile by another too, if the person sees it."""
    if request.method != "POST":
        return [row.animal for row in rows]
    ticked = {tick.partition("-")[2] for tick in request.POST.getlist("done")}
    seen = Animal.objects.visible_to(person, timezone.localdate()).here()
    return list(seen.filter(code__in=ticked))


def _tell(request: HttpRequest, number: int) -> None:
    if not number:
        messages.warning(request, _("No check was ticked. Nothing was recorded."))
        return
    words = ngettext("%(number)d check recorded.", "%(number)d checks recorded.", number)
    messages.success(request, words % {"number": number})
