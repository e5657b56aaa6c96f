"""Forms that bring animals into a home: what it can take is read before it is passed.

A page that tells of a limit says so by ``show_limits``; ``{% basis %}`` sends back what was read.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from django.http import HttpRequest

from habitats.animals.models.home_limits import (
    BETWEEN,
    LimitPassed,
    PastLimit,
    judged_at_the_door,
)
from habitats.common.happened import Elsewhere

MOST_READ = 100


def show_limits(request: HttpRequest, passed: Iterable[LimitPassed]) -> None:
    vars(request)["limits_read"] = BETWEEN.join(one.key for one in passed)


@contextmanager
def at_the_door(request: HttpRequest) -> Iterator[None]:
    """Raises ``Elsewhere`` for what was not read; sent once more, it is meant so."""
    read = request.POST.get("limits_read", "").split(BETWEEN)[:MOST_READ]
    try:
        with judged_at_the_door(read):
            yield
    except PastLimit as past:
        show_limits(request, past.passed)
        raise Elsewhere(past.question) from past
