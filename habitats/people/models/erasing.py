"""What is known of a person of the team: handed out to them, and erased when they have left.

Who did what stays, since animals' records hang on it; the name goes, so that pages say “former
member”. What must be kept for longer, such as a signed inspection: local law decides.
"""

from collections import Counter
from datetime import date
from typing import Any

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.db import models, transaction
from django.db.models.functions import Coalesce, Greatest, TruncDate
from django.dispatch import Signal
from django.utils import timezone
from django.utils.translation import gettext as _

from habitats.common.kept_prints import forget_all
from habitats.common.relations import rows_about
from habitats.people.models.access_events import AccessEvent
from habitats.people.models.devices import Device
from habitats.people.models.ending import end_all
from habitats.people.models.people import Person
from habitats.people.models.second_factor import has_second_factor, remove
from habitats.people.models.written_names import mark_of, replace_names, times_named

# Sent inside the transaction, while all is still there. Gives ``person``.
person_erased = Signal()

REACHED_BY = ("full_name", "phone", "email", "address")
OF_HOMES = ("code", "name", "area", *(f"contact__{one}" for one in REACHED_BY))
ACCOUNT = ("first_name", "last_name", "email", "units", "paper", "language", "is_active")


class CannotErasePerson(Exception):
    """Something still needs the name; nothing was changed."""


def reason_against(person: Person, by: Person) -> str:
    """Why the person cannot be erased yet, in a sentence; empty if they can.

    Nobody erases themselves, so a coordinator is always left.
    """
    if person.pk == by.pk:
        return _("You cannot erase yourself. Ask another coordinator.")
    homes = person.homes.filter(closed_on__isnull=True)
    if homes.exists():
        names = ", ".join(str(one) for one in homes.order_by("name", "pk")[:3])
        return _("They look after %(homes)s. Remove them there first.") % {"homes": names}
    return ""


def erased(sender: None, **_more: object) -> tuple[str, list[int]]:
    """Which rows were erased, for what is kept beside the database."""
    found = Person.objects.filter(erased_on__isnull=False)
    return "person", list(found.values_list("pk", flat=True))


@transaction.atomic
def erase(person: Person, *, by: Person) -> None:
    """Take away all that names the person. Raises ``CannotErasePerson``."""
    row = Person.objects.select_for_update(no_key=True).get(pk=person.pk)
    if row.erased_on:
        return  # by another coordinator, a moment ago
    if why := reason_against(row, by):
        raise CannotErasePerson(why)
    for one in (*row.doubles.select_for_update(no_key=True).order_by("pk"), row):
        person_erased.send(Person, person=one)
        replace_names(one)
        _erase(one)
    # Agreements, receipts and pull lists name who of us was there.
    transaction.on_commit(forget_all)


def _erase(row: Person) -> None:
    end_all(row)
    remove(row)
    for guard in (AccessAttempt, AccessFailureLog, AccessLog):
        guard.objects.filter(username=row.username).delete()
    row.homes.clear()
    row.username = mark_of(row)
    row.first_name = row.last_name = row.email = row.language = ""
    row.is_active = row.is_on_slip = False
    row.last_login = row.first_password_at = None
    row.erased_on = timezone.localdate()
    row.set_unusable_password()
    row.save()
    AccessEvent.objects.filter(person=row).update(name=row.username, address="")
    AccessEvent.objects.filter(by=row).update(address="")


def without_log_in_since(day: date) -> "models.QuerySet[Person]":
    """People who may no longer log in, and have not since the day, the longest ago first."""
    left = Person.objects.filter(is_active=False, erased_on=None, same_as=None)
    joined = TruncDate("date_joined")
    last = Greatest(joined, Coalesce(TruncDate("last_login"), joined))
    return left.annotate(last_seen=last).filter(last_seen__lt=day).order_by("last_seen", "pk")


def data_of(person: Person) -> dict[str, Any]:
    """All that is stored of one person, for them to have; moments as ISO 8601."""
    events = AccessEvent.objects.filter(person=person).newest_first()
    return {
        "log_in_name": person.username,
        **{name: getattr(person, name) for name in ACCOUNT},
        "roles": [one.value for one in person.own_roles],
        "joined": person.date_joined,
        "last_log_in": person.last_login,
        "second_factor": has_second_factor(person),
        "homes": list(person.homes.order_by("pk").values(*OF_HOMES)),
        "devices": [
            {"device": str(one), "address": one.address, "since": one.since, "seen": one.seen_at}
            for one in Device.objects.filter(person=person).order_by("pk")
        ],
        "access": list(events.values("at", "kind", "address")),
        "recorded": _recorded(person),
        "named": times_named(person),
    }


def _recorded(person: Person) -> dict[str, int]:
    """By table, how often the person is named there: the records themselves are the rescue's."""
    found: Counter[str] = Counter()
    for rows in rows_about(person):
        found[rows.model._meta.db_table] += rows.count()
    return {name: count for name, count in sorted(found.items()) if count}
