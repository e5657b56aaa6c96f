"""Plans that a server's connections to PostgreSQL keep: forgotten once a table changed under them.

A version that is installed while another server runs changes tables, and PostgreSQL then refuses
each kept plan of theirs, for as long as its connection is open. One refusal tells the process: all
its connections forget their plans before they ask next.
"""

from collections.abc import Callable
from itertools import count
from typing import Any

from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.signals import connection_created
from django.db.utils import NotSupportedError

FORGET = "DEALLOCATE ALL"
# “feature_not_supported”, as PostgreSQL calls a plan whose answer would have other columns.
REFUSED = "0A000"

_refusals = count(1)
_last_refusal = 0


def forget_when_refused() -> None:
    """From here on, for each connection of this process to PostgreSQL."""
    connection_created.connect(_listen, dispatch_uid="kept_plans")


def _listen(connection: BaseDatabaseWrapper, **_more: object) -> None:
    connection.execute_wrappers[:] = [
        one for one in connection.execute_wrappers if not isinstance(one, _Asking)
    ]
    connection.execute_wrappers.append(_Asking(connection))


class _Asking:
    """What each question of one connection goes through."""

    def __init__(self, connection: BaseDatabaseWrapper) -> None:
        self._connection, self._known = connection, _last_refusal

    def __call__(self, execute: Callable[..., Any], *question: Any) -> Any:
        global _last_refusal
        if self._known != _last_refusal:
            self._forget()
        try:
            return execute(*question)
        except NotSupportedError as fault:
            if getattr(fault.__cause__, "sqlstate", "") != REFUSED:
                raise
            _last_refusal = next(_refusals)
            # What this transaction did is undone with the refusal: only its asker can begin again.
            if self._connection.in_atomic_block:
                raise
        self._forget()
        return execute(*question)

    def _forget(self) -> None:
        self._known = _last_refusal
        self._connection.connection.execute(FORGET)
