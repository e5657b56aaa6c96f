"""Sessions in the database, as Django has them; what every page asks of them is written once."""

from datetime import datetime

from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.models import Session
from django.utils import timezone

from habitats.common.written import given, written


class SessionStore(DatabaseStore):
    """Its name is part of how sessions are signed: one that Django's own store wrote is read."""

    def _get_session_from_db(self) -> Session | None:
        found = _LIVE(key=self.session_key or "", now=timezone.now())
        if not found:
            self._session_key = None
        return next(iter(found), None)


_LIVE = written(
    lambda: Session.objects.filter(
        session_key=given("key", str), expire_date__gt=given("now", datetime)
    )
)
