"""What is asked under a build's lock where an act is taken: each question is written once.

Whoever else writes waits for the answers, so there are few, and none costs more than its rows.
"""

import uuid
from datetime import datetime, timedelta
from functools import partial
from typing import Any, NamedTuple

from django.db import connection
from django.db.models import OuterRef, QuerySet, Subquery, Value
from django.utils import timezone

from builds.plans.models.build_acts import ACTS, Start, StrayAct, Tick
from builds.plans.models.build_plans import BuildPlan, BuildStep
from builds.plans.models.builds import Build, BuildEvent, BuildState
from habitats.common.happened import AppendOnly
from habitats.common.written import given, written

# As far as clocks of several servers may differ (common practice, no source).
BETWEEN_SERVERS = timedelta(minutes=1)
KINDS: tuple[type[AppendOnly], ...] = (*ACTS, StrayAct)


class StepSeen(NamedTuple):
    """A step as the newest plan that has it says it; ``newest`` is the number of the last plan."""

    key: str
    number: int
    card_id: str
    plan: int
    newest: int


class BuildSeen(NamedTuple):
    """What an act meets. ``step`` None: it names none, or one that is in no plan."""

    step: StepSeen | None
    state: str


def lock(build: Build) -> None:
    """Until the end of the transaction. SQLite has one writer at a time from its beginning on."""
    if connection.features.has_select_for_update:
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)


def row_of_key(idempotency_key: uuid.UUID) -> AppendOnly | None:
    """The row that came of an act, looked for in all tables with one question."""
    for kind, key in _ROWS_OF_KEY(key=idempotency_key):
        return KINDS[kind]._default_manager.get(pk=key)
    return None


def seen_of(build: Build, key: str) -> BuildSeen:
    """By a former key of the step, too."""
    for *step, state in _SEEN(build=build, key=key) if key else ():
        return BuildSeen(StepSeen(*step), state or BuildState.PLANNED)
    return BuildSeen(None, build.state_now())


def newer_word_than(tick: Tick) -> Tick | None:
    """The last one that says otherwise.

    No word is newer than the moment it reached us, whatever a clock said. One that reached us
    later than now is of our own clock before it was set back: nobody knows when, so it is older.
    """
    newer = _NEWER[tick.at_home, not tick.is_done]
    until = timezone.now() + BETWEEN_SERVERS
    rows = newer(build=tick.build, key=tick.step_key, at=tick.at, until=until)
    return rows[0] if rows else None


def is_begun(build: Build, key: str) -> bool:
    """Whether somebody said that they were on the step."""
    return bool(_BEGUN(build=build, key=key))


# --- Written once ---


def _rows_of_key() -> "QuerySet[Any, Any]":
    asked = [
        kind._default_manager.filter(idempotency_key=given("key", uuid.UUID))
        .annotate(of=Value(at))
        .values_list("of", "pk")
        .order_by()
        for at, kind in enumerate(KINDS)
    ]
    return asked[0].union(*asked[1:], all=True)


def _seen() -> "QuerySet[Any, Any]":
    of_it = OuterRef("plan__build")
    newest = BuildPlan.objects.filter(build=of_it).newest_first().values("number")[:1]
    state = BuildEvent.objects.filter(build=of_it).order_by("-pk").values("state")[:1]
    steps = BuildStep.objects.named(given("build", Build), given("key", str))
    return steps.values_list(
        "key", "number", "card__id", "plan__number", Subquery(newest), Subquery(state)
    )[:1]


def _newer(at_home: bool, is_done: bool) -> "QuerySet[Tick]":
    here = Tick.objects.filter(build=given("build", Build), at_home=at_home, overtaken__isnull=True)
    others = here.filter(step_key=given("key", str), is_done=is_done)
    at, until = given("at", datetime), given("until", datetime)
    return others.filter(at__gt=at, made_at__gt=at, made_at__lt=until).order_by("-pk")[:1]


_ROWS_OF_KEY, _SEEN = written(_rows_of_key), written(_seen)
_YES_NO = (False, True)
_NEWER = {
    (at_home, is_done): written(partial(_newer, at_home, is_done))
    for at_home in _YES_NO
    for is_done in _YES_NO
}
_BEGUN = written(
    lambda: Start.objects.filter(
        build=given("build", Build), step_key=given("key", str)
    ).values_list("pk")[:1]
)
