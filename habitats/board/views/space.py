"""Space: every home with its enclosures, drawn to one scale; or the same as a table."""

from datetime import date

from django.core.paginator import Page, Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.board.forms import RoomForm, SpaceForm
from habitats.board.pages.cards import BARS, HomeSpace, SpaceView
from habitats.board.pages.offers import answer_to
from habitats.drawing.residence import residence_key
from habitats.homes.models.homes import Home
from habitats.people.access import coordinator_or_403
from habitats.readings.models.homes_read import as_read
from habitats.readings.models.readings import Reading, ReadingQuerySet
from habitats.readings.models.unhoused import Unhoused
from habitats.rescue.models.rescue import Rescue

HOMES_A_PAGE = 15


@require_GET
def space(request: HttpRequest) -> HttpResponse:
    """All homes; or, where room is asked for, who could take the newcomers."""
    person = coordinator_or_403(request)
    today, form, room = timezone.localdate(), SpaceForm(request.GET), RoomForm.asked(request.GET)
    readings = Reading.objects.fresh(today).filter(form.wanted())
    newcomers = room.newcomers
    is_drawn = newcomers is not None or request.GET.get("view") != "table"
    shown = SpaceView(person.units, today, is_drawn)
    context = {
        "form": form,
        "room": room,
        "totals": _totals(form, readings, today),
        "unhoused": Unhoused.objects.fresh(today).count(),
        "shown": shown,
        "bar": BARS[person.units],
        "key": residence_key(),
        "rescue": Rescue.ours(),
    }
    if newcomers:
        context |= {"any": True, "answer": answer_to(newcomers, shown)}
        return render(request, "board/space.html", context)
    homes = as_read(Home.objects.all(), today, form.wanted("readings__"), every=not form.narrows)
    ordered = form.in_order(homes.filter(form.in_area()))
    page = Paginator(ordered, HOMES_A_PAGE).get_page(request.GET.get("page"))
    places = _places(shown, page, form, readings)
    context |= {"page": page, "places": places, "any": form.is_used or bool(places)}
    return render(request, "board/space.html", context, status=422 if room.errors else 200)


def _totals(form: SpaceForm, readings: ReadingQuerySet, today: date) -> dict[str, int]:
    if form.is_used:
        return readings.filter(form.in_area("home__")).totals()
    return Reading.totals_on(today)


def _places(
    shown: SpaceView, page: Page[Home], form: SpaceForm, readings: ReadingQuerySet
) -> list[HomeSpace]:
    """The homes of a page, and on the first what stands in none."""
    some = readings if form.narrows else None
    places = shown.places(list(page.object_list), some)
    if page.number == 1 and not form.has_area:
        places += [one for one in [shown.nowhere(some)] if one.cards]
    return places


@require_GET
def former_address(request: HttpRequest) -> HttpResponse:
    """Up to 0.2.0 the page was called board; its addresses stand in bookmarks, with filters."""
    coordinator_or_403(request)
    asked = request.GET.urlencode()
    return redirect(reverse("space") + (f"?{asked}" if asked else ""), permanent=True)
