"""Today: what has to be done now, for each role what it can do, and what can wait."""

from typing import cast

from django.core.paginator import Paginator
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from habitats.board.models.tasks import dues_in_enclosures
from habitats.board.pages.folds import KINDS, waiting, waiting_rows
from habitats.board.pages.today_page import TodayPage
from habitats.people.access import member_or_403, signed_in
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import DueRowQuerySet
from habitats.readings.models.first_dues import ShownDue
from habitats.rescue.models.rescue import Rescue
from habitats.traces.pages.notes import notes_for

FOSTER = Person.Role.FOSTER
ROWS_A_PAGE = 50


@require_GET
def today(request: HttpRequest) -> HttpResponse:
    person, day = signed_in(request), timezone.localdate()
    context = {
        "day": day,
        "page": TodayPage(person, day),
        "rescue": Rescue.ours(),
        "trace_notes": notes_for(person, day),
    }
    return render(request, "board/today.html", context)


@require_GET
def today_kind(request: HttpRequest, kind: str) -> HttpResponse:
    """All that can wait, of one kind."""
    person, day = member_or_403(request, FOSTER), timezone.localdate()
    if kind not in KINDS:
        raise Http404
    found = waiting(KINDS[kind], day, dues_in_enclosures(person, day))
    page = Paginator(found, ROWS_A_PAGE).get_page(request.GET.get("page"))
    shown, number = cast(DueRowQuerySet, page.object_list), page.paginator.count
    context = {
        "title": KINDS[kind].words(number) % {"number": number},
        "page": page,
        "rows": waiting_rows(person, ShownDue.of(shown), day),
    }
    return render(request, "board/today_kind.html", context)
