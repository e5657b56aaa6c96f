"""The calendar of a person: its page, and the feed that phones subscribe to."""

from datetime import UTC, datetime, time
from functools import partial

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.cache import patch_cache_control
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from habitats.board.models.calendar_entries import entries_for
from habitats.calendars import calendar_text
from habitats.common.public_address import public_address
from habitats.people.access import signed_in
from habitats.people.models.calendar_feeds import CalendarFeed

SECONDS_KEPT = 15 * 60


@require_GET
def calendar(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    feed = CalendarFeed.objects.open().filter(person=person).first()
    address = _address(request, feed) if feed else ""
    return render(request, "board/calendar.html", {"feed": feed, "address": address})


@require_POST
def renew_calendar(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    CalendarFeed.objects.renew(person)
    messages.success(
        request, _("Here is the address of your calendar. The old address no longer works.")
    )
    return redirect("calendar")


@require_POST
def revoke_calendar(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    if CalendarFeed.objects.revoke(person):
        messages.success(request, _("The address of your calendar is revoked. It no longer works."))
    return redirect("calendar")


@login_not_required
@require_GET
def calendar_feed(request: HttpRequest, secret: str) -> HttpResponse:
    """A person with the secret may read it; a revoked one is no page."""
    feeds = CalendarFeed.objects.open().select_related("person")
    feed = get_object_or_404(feeds, secret=secret)
    today = timezone.localdate()
    # The same all day long, so that what did not change is the same text.
    stamp = datetime.combine(today, time(), tzinfo=UTC)
    # A calendar asks without a log-in, so the language is not that of who is logged in.
    with translation.override(feed.person.language or translation.get_language()):
        entries = entries_for(feed.person, today, partial(public_address, request))
    text = calendar_text(f"Habitats: {feed.person.first_name or feed.person}", entries, stamp)
    response = HttpResponse(text, content_type="text/calendar; charset=utf-8")
    response["Content-Disposition"] = 'inline; filename="calendar.ics"'
    response["X-Robots-Tag"] = "noindex"
    patch_cache_control(response, private=True, max_age=SECONDS_KEPT)
    return response


def _address(request: HttpRequest, feed: CalendarFeed) -> str:
    return public_address(request, reverse("calendar_feed", args=[feed.secret]))
