"""Who has to wait before they may try to log in again.

The tries are counted by django-axes, by log-in name, address and browser, in the database, so that
all processes of the server know of them. Name and address together are locked, for a while that
begins with the last try that was counted; tries during the wait are not.
"""

import math
from collections import defaultdict
from collections.abc import Iterable
from datetime import datetime, timedelta

from axes.models import AccessAttempt
from axes.utils import reset
from django.conf import settings
from django.utils import timezone


def locks_of(names: Iterable[str], address: str | None = None) -> dict[str, datetime]:
    """By log-in name the moment at which its last lock ends; without those that are not locked.

    From one address, or from any if None. One query.
    """
    now, wait = timezone.now(), timedelta(hours=settings.AXES_COOLOFF_TIME)
    # None of a later hour, which a clock left behind that was set back: see ``forget_tries``.
    lately = (now - wait, now + wait)
    tries = AccessAttempt.objects.filter(username__in=names, attempt_time__range=lately)
    if address is not None:
        tries = tries.filter(ip_address=address)
    tried: dict[tuple[str, str], list[tuple[datetime, int]]] = defaultdict(list)
    for one in tries.order_by("-attempt_time"):
        tried[one.username, one.ip_address].append((one.attempt_time, one.failures_since_start))
    ends: dict[str, datetime] = {}
    for (name, _address), latest_first in tried.items():
        since = _locked_since(latest_first)
        if since is not None:
            ends[name] = max(since + wait, ends.get(name, now))
    return ends


def _locked_since(latest_first: list[tuple[datetime, int]]) -> datetime | None:
    """The oldest of the tries without which there would be too few for a lock."""
    count = 0
    for at, failures in latest_first:
        count += failures
        if count >= settings.AXES_FAILURE_LIMIT:
            return at
    return None


def forget_tries() -> None:
    """Those that lock nobody any longer: so there are never more than may be made in the wait.

    And those of a later hour: a clock was set back, and they would lock for as long again.
    """
    now, wait = timezone.now(), timedelta(hours=settings.AXES_COOLOFF_TIME)
    AccessAttempt.objects.exclude(attempt_time__range=(now - wait, now + wait)).delete()


def minutes_until(moment: datetime) -> int:
    """Whole minutes from now, at least one."""
    return max(1, math.ceil((moment - timezone.now()).total_seconds() / 60))


def unlock(name: str) -> bool:
    """Forget the tries with this log-in name, from wherever. Whether it was locked."""
    was_locked = bool(locks_of([name]))
    reset(username=name)
    return was_locked
