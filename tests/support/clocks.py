"""The machine's clock, set wrong and right again."""

import datetime
import time
from collections.abc import Callable

import pytest


class _AnyDatetime(type):
    def __instancecheck__(cls, one: object) -> bool:
        return isinstance(one, datetime.datetime)


def datetime_by(shift: datetime.timedelta) -> type:
    """`datetime` whose now is that of a clock which is wrong by so much."""

    class Wrong(datetime.datetime, metaclass=_AnyDatetime):
        @classmethod
        def now(cls, tz: datetime.tzinfo | None = None) -> datetime.datetime:
            return datetime.datetime.now(tz) + shift

    return Wrong


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """`clock(days=1)`: the clock is a day ahead; `clock()`: it is right again.

    All that asks Django for the time (and `time.time`) is told so, defaults of rows as well.
    """
    really = time.time

    def clock(**by: int) -> None:
        shift = datetime.timedelta(**by)
        monkeypatch.setattr("django.utils.timezone.datetime", datetime_by(shift))
        monkeypatch.setattr("time.time", lambda: really() + shift.total_seconds())

    return clock
