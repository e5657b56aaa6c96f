"""Links of kits: an address for somebody without an account, good until a day.

An address is a secret of its row, signed with the server's key. Nobody makes one without the key,
who reads the database has none, and one that is altered is nobody's.
"""

import secrets
import uuid
from datetime import date, datetime, timedelta
from typing import Self

from django.core.signing import BadSignature, Signer
from django.db import models, transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from builds.plans.models.builds import Build, CannotBuild
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.people.models.people import Person

SALT = "builds.kit-link"
SECRET_BYTES = 16  # 128 bits: nobody guesses it
MOST_DAYS = 365
USUAL_DAYS = 90
# A build has some thirty steps: who ticks and unticks more than that is no family with a kit.
MOST_TICKS_AN_HOUR = 120
# A set takes seconds of the processor (common practice, no source).
BETWEEN_PAPERS = timedelta(seconds=10)


class KitLinkQuerySet(models.QuerySet["KitLink"]):
    def open(self, today: date) -> Self:
        """Those that still answer. The build has to be a kit still."""
        alive = self.filter(revoked_at__isnull=True, expires_on__gte=today)
        return alive.exclude(build__adopter="")

    def make(
        self,
        build: Build,
        expires_on: date,
        *,
        may_tick: bool,
        today: date,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
    ) -> "KitLink":
        """A new link. The same key again gives the same one.

        Raises ``CannotBuild`` for a day that has passed or is more than a year ahead.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(self.filter(build=build), idempotency_key)
            if known:
                return known
            if why := expiry_fault(expires_on, today):
                raise CannotBuild(why)
            return self.create(
                build=build,
                expires_on=expires_on,
                may_tick=may_tick,
                made_by=by,
                idempotency_key=idempotency_key,
            )

    def by_token(self, token: str, today: date) -> "KitLink | None":
        """The link of this address if it still answers; else None, whatever the reason."""
        try:
            secret = _signer().unsign(token)
        except BadSignature:
            return None
        found = self.open(today).filter(secret=secret)
        return found.select_related("build", "made_by").first()


def _new_secret() -> str:
    return secrets.token_urlsafe(SECRET_BYTES)


class KitLink(AppendOnly):
    """Whoever has the address reads the kit until the day, that day included; ``may_tick``: and
    ticks its steps. It ends earlier where it is revoked. ``papers_at``: when its set was last
    printed through it; None: never.
    """

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="kit_links")
    secret = models.CharField(max_length=40, unique=True, editable=False, default=_new_secret)
    expires_on = models.DateField()
    may_tick = models.BooleanField()
    revoked_at = models.DateTimeField(null=True, editable=False)
    revoked_by = models.ForeignKey(
        Person, on_delete=models.PROTECT, null=True, editable=False, related_name="+"
    )

    papers_at = models.DateTimeField(null=True, editable=False)

    objects = KitLinkQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_kit_link_is_revoked_by_somebody",
                condition=models.Q(revoked_at__isnull=True, revoked_by__isnull=True)
                | models.Q(revoked_at__isnull=False, revoked_by__isnull=False),
            )
        ]

    def __str__(self) -> str:
        return f"link to build {self.build_id} until {self.expires_on}"

    @property
    def token(self) -> str:
        return _signer().sign(self.secret)

    def is_open(self, today: date) -> bool:
        return self.revoked_at is None and self.expires_on >= today

    def revoke(self, *, by: Person) -> bool:
        """Whether it was not revoked before: it ends once."""
        rows = KitLink.objects.filter(pk=self.pk, revoked_at__isnull=True)
        return bool(rows.update(revoked_at=timezone.now(), revoked_by=by))

    def may_print(self, now: datetime) -> bool:
        """Whether its papers may be made now, which is then noted: whichever server is asked.

        A moment that is still to come is of a clock that was wrong, and stops nobody.
        """
        lately = models.Q(papers_at__gt=now - BETWEEN_PAPERS, papers_at__lte=now)
        return bool(KitLink.objects.filter(pk=self.pk).exclude(lately).update(papers_at=now))

    def is_busy(self, now: datetime) -> bool:
        """Whether more was ticked through it in an hour than anybody does.

        What is of a later hour was ticked before a clock was set back, and stops nobody.
        """
        hour = timedelta(hours=1)
        lately = self.ticks.filter(made_at__gt=now - hour, made_at__lt=now + hour)
        return lately.count() >= MOST_TICKS_AN_HOUR


def expiry_fault(day: date, today: date) -> str:
    """Why a link cannot end on this day, in a sentence; empty if it can."""
    last = today + timedelta(days=MOST_DAYS)
    if today <= day <= last:
        return ""
    days = {
        "day": date_format(day, _("j F Y")),
        "first": date_format(today, _("j F Y")),
        "last": date_format(last, _("j F Y")),
    }
    if day < today:
        return _("%(day)s has passed. Give a day from %(first)s to %(last)s.") % days
    return (
        _(
            "%(day)s is more than a year ahead. Give a day from %(first)s to %(last)s; "
            "you can make a new link at any time."
        )
        % days
    )


def _signer() -> Signer:
    return Signer(salt=SALT, sep=".")
