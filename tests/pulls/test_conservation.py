"""Whatever builders do with pulls, in whatever order and however often: nothing is lost or made."""

import uuid
from collections import Counter
from contextlib import suppress

import pytest
from django.db import models
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule, run_state_machine_as_test

from builds.building.models.shortages import shortage_moves
from builds.plans.models.build_acts import Shortage
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build, BuildEvent
from builds.pulls.models.accounts import account_of
from builds.pulls.models.ending import close, give_up
from builds.pulls.models.pulling import (
    begin,
    bring_back,
    report_short,
    reserve_free,
    take,
    take_as_listed,
)
from builds.pulls.models.pulls import CannotPull, Pull, PullEnd, PullLine, ShortPick
from builds.store.models import movements
from builds.store.models.movements import CannotMove
from builds.store.models.reservations import reserved_by_place
from builds.store.models.stock import Movement, Stock
from habitats.designs.models.designs import Design
from tests.support.builds import NOON, make_build
from tests.support.designs import make_design
from tests.support.sheets import make_place
from tests.support.store import make_item

some = st.integers(1, 9)
which = st.integers(0, 1)


@pytest.fixture
def scene(db, coordinator):
    """Two builds of one cell, panels and connectors for less than both, and two places."""
    items = [
        make_item(),
        make_item(kind="connector", name="Connector", panel_mm=None, panel_squares=None),
    ]
    places = [make_place("Rack"), make_place("Loft")]
    design = Design.objects.draw(make_design(["#"]), by=coordinator)
    return coordinator, items, places, [make_build(name, design=design) for name in ("A", "B")]


def test_nothing_is_lost_or_made_whatever_builders_do(scene):
    by, items, places, builds = scene

    class Garage(RuleBasedStateMachine):
        """Beside it a counter of what there is in all: in the store, with builds, written off."""

        def __init__(self) -> None:
            super().__init__()
            forget(builds)
            self.came: Counter = Counter()
            self.acts: list = []
            for item in items:
                self.bring_in(item, places[0], 6)

        def bring_in(self, item, place, count) -> None:
            movements.take_in(item, place, count, by=by)
            self.came[item] += count

        def attempt(self, verb, *words, **more) -> None:
            """Done or refused; said a second time at once, it changes nothing."""
            more |= {"by": by, "idempotency_key": uuid.uuid4()}
            with suppress(CannotPull, CannotMove):
                verb(*words, **more)
                before = Movement.objects.count()
                verb(*words, **more)
                assert Movement.objects.count() == before

        def pulls(self, number) -> list[Pull]:
            """Those of one build, or of both together; the latest of each."""
            chosen = builds if number == 2 else [builds[number]]
            return [pull for build in chosen if (pull := build.pulls.newest_first().first())]

        @rule(i=which, p=which, n=some)
        def a_delivery(self, i, p, n) -> None:
            self.bring_in(items[i], places[p], n)

        @rule(b=which)
        def begin(self, b) -> None:
            self.attempt(begin, builds[b])

        @rule(b=st.integers(0, 2), i=which, p=which, n=some)
        def take(self, b, i, p, n) -> None:
            self.attempt(take, self.pulls(b), {(items[i], places[p]): n})

        @rule(b=st.integers(0, 2))
        def take_as_listed(self, b) -> None:
            self.attempt(take_as_listed, self.pulls(b))

        @rule(b=st.integers(0, 2), i=which, n=some, why=st.sampled_from(["missing", "unneeded"]))
        def report_short(self, b, i, n, why) -> None:
            self.attempt(report_short, self.pulls(b), items[i], n, why)

        @rule(b=st.integers(0, 2), i=which, p=which, n=some)
        def bring_back(self, b, i, p, n) -> None:
            self.attempt(bring_back, self.pulls(b), items[i], places[p], n)

        @rule(b=st.integers(0, 2))
        def reserve(self, b) -> None:
            self.attempt(reserve_free, self.pulls(b))

        @rule(b=st.integers(0, 2))
        def close(self, b) -> None:
            self.attempt(close, self.pulls(b))

        @rule(b=st.integers(0, 2))
        def give_up(self, b) -> None:
            self.attempt(give_up, self.pulls(b))

        @rule(b=which, i=which, n=some, kind=st.sampled_from(["missing", "damaged"]))
        def report(self, b, i, n, kind) -> None:
            what = "plain panel" if i == 0 else "connector"
            made = builds[b].shortages.create(kind=kind, what=what, count=n, at=NOON, made_by=by)
            shortage_moves(made)
            before = Movement.objects.count()
            shortage_moves(made)
            assert Movement.objects.count() == before

        @rule(i=which, p=which, n=st.integers(0, 9))
        def a_count(self, i, p, n) -> None:
            """Somebody counts, and finds more or fewer than was thought."""
            stock = Stock.objects.filter(item=items[i], place=places[p]).first()
            movements.count(items[i], places[p], n, by=by)
            self.came[items[i]] += n - (stock.on_hand if stock else 0)

        @invariant()
        def what_came_is_in_the_store_with_builds_or_thrown_away(self) -> None:
            accounts = [account_of(one) for one in builds]
            for item in items:
                there = total(Stock.objects.filter(item=item), "on_hand")
                gone = -total(Movement.objects.filter(item=item, why="write_off"), "on_hand_change")
                with_builds = sum(one.issued[item] for one in accounts)
                assert there + gone + with_builds == self.came[item]

        @invariant()
        def what_is_reserved_is_kept_for_builds_and_never_too_much(self) -> None:
            accounts = [account_of(one) for one in builds]
            for item in items:
                reserved = sum(one.reserved[item] for one in accounts)
                assert reserved == total(Stock.objects.filter(item=item), "reserved")
            for one in accounts:
                latest = one.latest
                left = latest.left if latest and latest.pull.is_open else Counter()
                for item, _place, held in reserved_by_place(build=one.build):
                    assert held > 0
                    assert one.reserved[item] <= left[item]

        @invariant()
        def no_build_lacks_less_than_none(self) -> None:
            for build in builds:
                assert all(count > 0 for count in account_of(build).short.values())

    run_state_machine_as_test(
        Garage,
        settings=settings(
            max_examples=settings().max_examples // 20,  # 2 of 20 steps each; 20 by night
            stateful_step_count=20,
            deadline=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )


def total(rows: models.QuerySet, field: str) -> int:
    return rows.aggregate(all=models.Sum(field, default=0))["all"]


def forget(builds: list[Build]) -> None:
    """As it was before anything happened."""
    for kind in (PullLine, ShortPick, PullEnd, Movement, Pull, Shortage, Stock):
        kind.objects.all().delete()
    BuildEvent.objects.exclude(state="planned").delete()
    assert BuildPlan.objects.count() == len(builds)
