"""What happened to accounts: log-ins, refusals, passwords, roles, what was taken out of the house.

Written by signals of Django's and by the views that change an account; read by coordinators.
"""

import datetime
from typing import Any, Self

from django.conf import settings
from django.contrib.auth.signals import user_logged_in, user_logged_out, user_login_failed
from django.db import models
from django.http import HttpRequest
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from habitats.common.client_address import client_address
from habitats.common.happened import refuse_edit
from habitats.people.models.log_in_locks import forget_tries
from habitats.people.models.people import Person

# Common practice, no source: long enough to see what happened in the same season a year ago.
KEPT = datetime.timedelta(days=400)
# Refusals of one account, of one address, and of all together that are written in an hour: what
# goes on longer says no more. Common practice, no source.
MOST_REFUSALS = {"person": 20, "address": 60, "": 600}
LONGEST_NAME = Person._meta.get_field("username").max_length or 0


class AccessEventQuerySet(models.QuerySet["AccessEvent"]):
    def newest_first(self) -> Self:
        return self.order_by("-at", "-pk")

    def too_old(self) -> Self:
        return self.filter(at__lt=timezone.now() - KEPT)


class AccessEvent(models.Model):
    """One thing that happened to one account. Append only, and forgotten after a while.

    ``person`` is whose account it is, null where the name belongs to none; ``by`` is who did it,
    null where nobody was logged in. ``name`` is the log-in name as it was typed or stood then.
    ``address`` is empty for what was done at the machine itself.
    """

    class Kind(models.TextChoices):
        LOGGED_IN = "logged_in", _("Logged in")
        REFUSED = "refused", _("Log-in refused")
        LOGGED_OUT = "logged_out", _("Logged out")
        DEVICES_ENDED = "devices_ended", _("Logged out on other devices")
        PASSWORD_SET = "password_set", _("Password set")
        LINK_MADE = "link_made", _("Link for a password made")
        LINK_MAILED = "link_mailed", _("Link for a password mailed")
        ADDED = "added", _("Account added")
        ROLE_CHANGED = "role_changed", _("Role changed")
        DEACTIVATED = "deactivated", _("Account deactivated")
        ACTIVATED = "activated", _("Account activated")
        UNLOCKED = "unlocked", _("Lock ended")
        SECOND_FACTOR_ON = "second_factor_on", _("Second factor set up")
        SECOND_FACTOR_OFF = "second_factor_off", _("Second factor removed")
        RECOVERY_CODE_USED = "recovery_code_used", _("Recovery code used")
        EXPORTED = "exported", _("Everything exported")
        DATA_HANDED_OUT = "data_handed_out", _("Data of a person downloaded")
        ERASED = "erased", _("Person erased")

    kind = models.CharField(max_length=20, choices=Kind)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+"
    )
    name = models.CharField(max_length=LONGEST_NAME, blank=True)
    address = models.CharField(max_length=50, blank=True)
    at = models.DateTimeField(default=timezone.now, db_index=True)

    objects = AccessEventQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="access_event_is_of_an_account",
                condition=models.Q(person__isnull=False) | models.Q(kind="refused"),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.name}"

    def save(self, **options: Any) -> None:
        refuse_edit(self)
        super().save(**options)


def note(kind: AccessEvent.Kind, person: Person, request: HttpRequest | None) -> None:
    """Remember that this happened to the account of ``person``, through this request.

    ``None``: at the machine itself, by a command.
    """
    reader = getattr(request, "user", None)
    by = reader if isinstance(reader, Person) else None
    AccessEvent.objects.create(
        kind=kind, person=person, by=by, name=person.username, address=_address(request)
    )


def _address(request: HttpRequest | None) -> str:
    return client_address(request) if request else ""


def _logged_in(request: HttpRequest | None, user: Person, **_more: object) -> None:
    note(AccessEvent.Kind.LOGGED_IN, user, request)


def _logged_out(request: HttpRequest, user: Person | None, **_more: object) -> None:
    if user is not None:
        note(AccessEvent.Kind.LOGGED_OUT, user, request)


def _refused(
    credentials: dict[str, str], request: HttpRequest | None = None, **_more: object
) -> None:
    """What is typed may be a password in the wrong field: only a name that exists is kept."""
    person = Person.objects.filter(username=credentials.get("username", "")).first()
    address = _address(request)
    if not _is_enough(person, address):
        AccessEvent.objects.create(
            kind=AccessEvent.Kind.REFUSED,
            person=person,
            name=person.username if person else "",
            address=address,
        )
    forget_tries()


def _is_enough(person: Person | None, address: str) -> bool:
    now, hour = timezone.now(), datetime.timedelta(hours=1)
    # None of a later hour, which a clock left behind that was set back: refusals are written again.
    found = AccessEvent.objects.filter(
        kind=AccessEvent.Kind.REFUSED, at__gt=now - hour, at__lt=now + hour
    )
    some = {"": found, "address": found.filter(address=address)}
    if person is not None:
        some["person"] = found.filter(person=person)
    return any(some[name].count() >= MOST_REFUSALS[name] for name in some)


def listen() -> None:
    user_logged_in.connect(_logged_in, dispatch_uid="note_log_in")
    user_logged_out.connect(_logged_out, dispatch_uid="note_log_out")
    user_login_failed.connect(_refused, dispatch_uid="note_refusal")
