"""On which devices a person is logged in, and how such a log-in is ended from elsewhere."""

import datetime
import re

from django.conf import settings
from django.contrib.auth.signals import user_logged_in
from django.contrib.sessions.models import Session
from django.db import models, transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.common.client_address import client_address
from habitats.people.models.people import Person

# Of a browser's own description: enough to tell one's phone from one's desk.
LONGEST_AGENT = 200
SEEN_EVERY = datetime.timedelta(hours=1)
SEEN, BEGUN = "seen", "log_in_begun"

# What browsers say of themselves, the more particular first: each also names those before it.
BROWSERS = (("Edg", "Edge"), ("Firefox", "Firefox"), ("Chrome", "Chrome"), ("Safari", "Safari"))
SYSTEMS = (
    ("Android", "Android"),
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Windows", "Windows"),
    ("Mac OS", "Mac"),
    ("Linux", "Linux"),
)


class Device(models.Model):
    """One log-in that goes on, with the session behind it. Its end deletes it."""

    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="devices"
    )
    session_key = models.CharField(max_length=40, unique=True)
    agent = models.CharField(max_length=LONGEST_AGENT, blank=True)
    address = models.CharField(max_length=50)
    since = models.DateTimeField(default=timezone.now)
    seen_at = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        """Such as “Firefox, Android”."""
        found = [_named(self.agent, BROWSERS), _named(self.agent, SYSTEMS)]
        return ", ".join(one for one in found if one) or _("Unknown device")


def devices_of(person: Person) -> "list[Device]":
    """Where the person is logged in now, last seen first."""
    live = Session.objects.filter(expire_date__gt=timezone.now()).values("session_key")
    return list(person.devices.filter(session_key__in=live).order_by("-seen_at", "-pk"))


def end(devices: "models.QuerySet[Device]") -> int:
    """Log out there. How many there were; what is kept on a phone and unsent stays on it."""
    with transaction.atomic():
        keys = list(devices.values_list("session_key", flat=True))
        Session.objects.filter(session_key__in=keys).delete()
        devices.filter(session_key__in=keys).delete()
    return len(keys)


def keep_up(request: HttpRequest, person: Person) -> None:
    """Remember, at most once an hour, that this device is still in use, so that its log-in goes on.

    A log-in from before devices were remembered is put on the list by it.
    """
    every = min(SEEN_EVERY, datetime.timedelta(seconds=settings.SESSION_COOKIE_AGE / 10))
    seen = request.session.get(SEEN)
    # Of a later hour it says nothing: a clock was set back, and the log-in would not go on.
    if seen and abs(_since(seen)) < every:
        return
    _remember(request, person)


def is_over(request: HttpRequest) -> bool:
    """Whether this log-in has gone on for as long as one may, in use or not."""
    begun = request.session.get(BEGUN)
    return begun is not None and _since(begun) > settings.LOG_IN_LASTS


def _since(moment: str) -> datetime.timedelta:
    return timezone.now() - datetime.datetime.fromisoformat(moment)


def take_over(request: HttpRequest, old_key: str | None) -> None:
    """A new password gave the session of this device a new key."""
    new_key = request.session.session_key
    Device.objects.filter(session_key=old_key).update(session_key=new_key)


def forget_ended() -> int:
    """Delete the rows of sessions that have run out. How many."""
    live = Session.objects.filter(expire_date__gt=timezone.now()).values("session_key")
    return Device.objects.exclude(session_key__in=live).delete()[0]


def _named(agent: str, names: tuple[tuple[str, str], ...]) -> str:
    return next((name for sign, name in names if re.search(sign, agent)), "")


def _logged_in(request: HttpRequest | None, user: Person, **_more: object) -> None:
    if request is None or not hasattr(request, "session"):
        return
    if request.session.session_key is None:
        request.session.create()
    _remember(request, user)


def _remember(request: HttpRequest, person: Person) -> None:
    now = timezone.now()
    request.session[SEEN] = now.isoformat()
    begun = request.session.get(BEGUN)
    # One that is still to come would last longer than one may: a clock was set back.
    if begun is None or _since(begun) < datetime.timedelta(0):
        request.session[BEGUN] = now.isoformat()
    Device.objects.update_or_create(
        session_key=request.session.session_key,
        defaults={
            "person": person,
            "agent": request.META.get("HTTP_USER_AGENT", "")[:LONGEST_AGENT],
            "address": client_address(request),
            "seen_at": now,
        },
    )


def listen() -> None:
    user_logged_in.connect(_logged_in, dispatch_uid="remember_device")
