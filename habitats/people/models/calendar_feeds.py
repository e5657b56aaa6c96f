"""Calendar feeds: a secret address for each person, good until it is revoked."""

import secrets
from typing import Self

from django.db import models, transaction
from django.utils import timezone

from habitats.people.models.people import Person

SECRET_BYTES = 24  # 192 bits: nobody guesses it


class CalendarFeedQuerySet(models.QuerySet["CalendarFeed"]):
    def open(self) -> Self:
        """Those that still answer: not revoked, and their person may still log in."""
        return self.filter(revoked_at__isnull=True, person__is_active=True)

    def renew(self, person: Person) -> "CalendarFeed":
        """A new address for the person; the old one no longer works."""
        with transaction.atomic():
            self.revoke(person)
            return self.create(person=person, secret=secrets.token_urlsafe(SECRET_BYTES))

    def revoke(self, person: Person) -> bool:
        """Whether there was an address to revoke."""
        mine = self.filter(person=person, revoked_at__isnull=True)
        return bool(mine.update(revoked_at=timezone.now()))


class CalendarFeed(models.Model):
    """A person with the secret reads the person's dates, without logging in."""

    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="calendar_feeds")
    secret = models.CharField(max_length=40, unique=True, editable=False)
    made_at = models.DateTimeField(default=timezone.now, editable=False)
    revoked_at = models.DateTimeField(null=True, editable=False)

    objects = CalendarFeedQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["person"],
                condition=models.Q(revoked_at__isnull=True),
                name="one_calendar_feed_a_person",
            ),
        ]

    def __str__(self) -> str:
        return f"calendar feed of {self.person}"
