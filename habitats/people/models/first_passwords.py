"""First passwords: set by another person, replaced at the first log-in, and no good for long."""

import secrets
from datetime import timedelta
from typing import NamedTuple

from django.contrib.auth.hashers import UNUSABLE_PASSWORD_PREFIX
from django.db import models
from django.utils import timezone

from habitats.common.codes import CODE_MARKS
from habitats.people.models.people import Person

# Hashing a password takes a good part of a second, so that guessing takes long.
AT_ONCE = 20
GROUPS, MARKS_A_GROUP = 3, 4
# Common practice, no source: from handing a slip out to the next evening at home.
FIRST_PASSWORD_DAYS = 14


class FirstPassword(NamedTuple):
    """It stands nowhere else: what is kept of it is a hash."""

    person: Person
    password: str


def waiting_for_one() -> "models.QuerySet[Person]":
    """Who may log in and never has: without a password, or with a first one that was made."""
    without = models.Q(password__startswith=UNUSABLE_PASSWORD_PREFIX)
    unused = models.Q(is_on_slip=True, last_login=None)
    found = Person.objects.filter(without | unused, is_active=True)
    # Those without any come before those whose slip is made again.
    return found.order_by("is_on_slip", "first_name", "username", "pk")


def make_first_passwords() -> list[FirstPassword]:
    """For the first of them. One that was made before and not used fits no longer."""
    found = [(person, _make(person)) for person in waiting_for_one()[:AT_ONCE]]
    return [FirstPassword(person, password) for person, password in found if password]


def _make(person: Person) -> str | None:
    """None for who chose or got a password since they were found: hashing takes its time."""
    before, password = person.password, new_password()
    person.set_password(password)
    as_found = waiting_for_one().filter(pk=person.pk, password=before).order_by()
    made = {"first_password_at": timezone.now(), "is_on_slip": True}
    is_made = as_found.update(password=person.password, **made)
    return password if is_made else None


def set_first_password(person: Person, password: str | None) -> None:
    """One that another person chose; without any, none fits."""
    person.set_password(password)
    person.first_password_at, person.is_on_slip = timezone.now() if password else None, False


def set_own_password(person: Person, password: str) -> None:
    person.set_password(password)
    person.first_password_at, person.is_on_slip = None, False


def has_expired(person: Person) -> bool:
    """Whether the first password was left unchanged for too long."""
    made = person.first_password_at
    return made is not None and timezone.now() - made > timedelta(days=FIRST_PASSWORD_DAYS)


def new_password() -> str:
    """Twelve marks that are read and typed without mistaking one for another: 57 bits."""
    marks = CODE_MARKS.lower()
    groups = ("".join(secrets.choice(marks) for _ in range(MARKS_A_GROUP)) for _ in range(GROUPS))
    return "-".join(groups)
