"""Where a person is logged in, and what happened to accounts."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from habitats.people.access import coordinator_or_403, signed_in
from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.calendar_feeds import CalendarFeed
from habitats.people.models.devices import devices_of, end
from habitats.people.models.ending import end_all
from habitats.people.models.people import Person

EVENTS_A_PAGE = 50


@require_GET
def own_devices(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    context = {
        "devices": devices_of(person),
        "this": request.session.session_key,
        "feed": CalendarFeed.objects.open().filter(person=person).first(),
    }
    return render(request, "people/devices.html", context)


@require_POST
def end_device(request: HttpRequest, pk: int) -> HttpResponse:
    """One of the person's own."""
    person = signed_in(request)
    if end(person.devices.filter(pk=pk).exclude(session_key=request.session.session_key)):
        note(AccessEvent.Kind.DEVICES_ENDED, person, request)
        messages.success(request, _("That device is logged out."))
    return redirect("own_devices")


@require_POST
def end_other_devices(request: HttpRequest) -> HttpResponse:
    person = signed_in(request)
    ended = end(person.devices.exclude(session_key=request.session.session_key))
    if ended:
        note(AccessEvent.Kind.DEVICES_ENDED, person, request)
    messages.success(request, _ended(ended))
    return redirect("own_devices")


@require_POST
def end_all_devices(request: HttpRequest, pk: int) -> HttpResponse:
    """Of somebody whose phone was lost, calendar and all; one's own present device stays."""
    coordinator_or_403(request)
    person = get_object_or_404(Person, pk=pk)
    ended = end_all(person, but=request.session.session_key)
    if any(ended):
        note(AccessEvent.Kind.DEVICES_ENDED, person, request)
    messages.success(request, _ended(ended.devices))
    return redirect("person", pk=pk)


@require_GET
def access_log(request: HttpRequest) -> HttpResponse:
    """What happened to accounts, newest first; of one person, where the address names one."""
    coordinator_or_403(request)
    found = AccessEvent.objects.newest_first().select_related("person", "by")
    asked, person = request.GET.get("person", ""), None
    if asked.isdecimal():
        person = Person.objects.filter(pk=int(asked)).first()
        found = found.filter(person=person) if person else found.none()
    page = Paginator(found, EVENTS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "people/access_log.html", {"page": page, "person": person})


def _ended(count: int) -> str:
    if not count:
        return _("You are not logged in on any other device.")
    said = ngettext("Logged out on %(number)d device.", "Logged out on %(number)d devices.", count)
    return said % {"number": count}
