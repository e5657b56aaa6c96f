"""Homes in a list, and the page of one."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from habitats.animals.models.counts import with_counts
from habitats.common import facts
from habitats.common.name_order import InNameOrder
from habitats.common.sent import UNPROCESSABLE
from habitats.homes.forms.homes import CloseHomeForm, FindHomesForm
from habitats.homes.models.homes import Home, HomeContact
from habitats.homes.views import FOSTER, HOMES_A_PAGE, STANDINGS_SHOWN, home_seen_by
from habitats.people.access import coordinator_or_403, member_or_403
from habitats.people.models.people import Person
from habitats.people.views.based_on import accepted, based_on, row_of
from habitats.readings.models.readings import Reading
from habitats.readings.pages import rows_of
from habitats.traces.pages.notes import notes_for


@require_GET
def homes(request: HttpRequest) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    seen = Home.objects.cared_for_by(person)
    if not person.is_coordinator and seen.count() == 1:
        return redirect("home_page", code=seen.get().code)
    form = FindHomesForm(request.GET)
    found = InNameOrder(with_counts(form.found(seen), timezone.localdate()), "name", "area")
    context = {
        "form": form,
        "homes": Paginator(found, HOMES_A_PAGE).get_page(request.GET.get("page")),
        "any": seen.exists(),
    }
    return render(request, "residence/homes.html", context)


@require_GET
def home_page(request: HttpRequest, code: str) -> HttpResponse:
    person = member_or_403(request, FOSTER)
    home = home_seen_by(person, code)
    if home.code != code.upper():
        return redirect("home_page", code=home.code)
    return _home_page(request, person, home)


@require_POST
@based_on(row_of(Home), facts.closed)
def close_home(request: HttpRequest, code: str) -> HttpResponse:
    person = coordinator_or_403(request)
    home = home_seen_by(person, code)
    form = CloseHomeForm(request.POST, home=home, today=timezone.localdate())
    if not accepted(request, form):
        return _home_page(request, person, home, closing=form)
    home.close(form.cleaned_data["day"])
    messages.success(
        request, _("%(home)s is closed: it takes no more enclosures.") % {"home": home}
    )
    return redirect("home_page", code=home.code)


def _home_page(
    request: HttpRequest, person: Person, home: Home, *, closing: CloseHomeForm | None = None
) -> HttpResponse:
    today = timezone.localdate()
    standing = home.standings.on(today).values("enclosure")
    readings = Reading.objects.fresh(today, pk__in=standing).filter(home=home)
    enclosures = rows_of(readings, person)
    past = home.standings.filter(until__isnull=False).select_related("enclosure")
    context = {
        "home": home,
        "enclosures": enclosures,
        "animals": sum(one.reading.animals for one in enclosures),
        "people": home.people.order_by("first_name", "username", "pk"),
        "sees_contact": HomeContact.may_be_seen_by(person, home),
        "past": past.newest_first()[:STANDINGS_SHOWN],
        "absences": home.absences.not_over(today),
        "closing": closing or CloseHomeForm(home=home, today=today),
        "today": today,
        "trace_notes": () if person.is_coordinator else notes_for(person, today),
    }
    status = UNPROCESSABLE if closing else 200
    return render(request, "residence/home.html", context, status=status)
