"""What nobody needs any longer: ended sessions, old rows of log-ins and tasks, old prints."""

from datetime import timedelta
from typing import Any

from axes.models import AccessAttempt, AccessFailureLog, AccessLog
from django.contrib.sessions.models import Session
from django.core.management.base import BaseCommand
from django.db import models
from django.utils import timezone

from habitats.common.kept_prints import DAYS_KEPT, drop_old, forget_adopters
from habitats.people.models.access_events import AccessEvent
from habitats.people.models.devices import forget_ended
from habitats.server.tidying import tidy_asked
from habitats.server.workers import forget_finished

# Common practice, no source: long enough to look into what somebody reports.
LOG_INS_DAYS = 90
# A lock ends after minutes (AXES_COOLOFF_TIME); what led to it is of no use for long.
ATTEMPTS_DAYS = 7


class Command(BaseCommand):
    help = (
        f"Delete sessions that ended, records of log-ins older than {LOG_INS_DAYS} days, of wrong "
        f"passwords older than {ATTEMPTS_DAYS} days, and papers printed {DAYS_KEPT} days ago. The "
        "service does it each night."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        now = timezone.now()
        log_ins, attempts = now - timedelta(LOG_INS_DAYS), now - timedelta(ATTEMPTS_DAYS)
        sessions = _delete(Session.objects.filter(expire_date__lt=now))
        records = _delete(AccessLog.objects.filter(attempt_time__lt=log_ins))
        records += _delete(AccessFailureLog.objects.filter(attempt_time__lt=log_ins))
        records += _delete(AccessAttempt.objects.filter(attempt_time__lt=attempts))
        records += _delete(AccessEvent.objects.too_old())
        forget_ended()
        tasks = forget_finished(now)
        prints = drop_old() + forget_adopters()
        more = [words for _by, words in tidy_asked.send(type(self), now=now) if words]
        self.stdout.write(
            f"Deleted: {sessions} ended sessions, {records} old records of log-ins, "
            f"{', '.join([f'{tasks} tasks done long ago', f'{prints} old prints', *more])}."
        )


def _delete(found: models.QuerySet[Any]) -> int:
    return found.delete()[0]
