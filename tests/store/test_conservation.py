"""Whatever happens to the stock, in whatever order and however often: it adds up."""

import uuid
from collections import Counter
from contextlib import suppress

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from builds.store.models import movements, reservations
from builds.store.models.movements import CannotMove
from builds.store.models.stock import Movement, Stock
from tests.support.sheets import make_job, make_kind, make_place
from tests.support.store import make_item

some = st.integers(1, 6)
which = st.integers(0, 1)


@pytest.fixture
def scene(db, coordinator):
    """Two items, two places, and two things to reserve for, one of them nothing in particular."""
    items = [make_item(), make_item(kind="tie", name="Tie", panel_mm=None, panel_squares=None)]
    job = make_job(coordinator, make_kind())
    return coordinator, items, [make_place("Rack"), make_place("Loft")], [None, job]


def test_on_hand_reserved_and_free_add_up_whatever_happens(scene):
    by, items, places, jobs = scene

    class Store(RuleBasedStateMachine):
        """A model of the store beside it: counters of what is there and reserved."""

        def __init__(self) -> None:
            super().__init__()
            Movement.objects.filter(item__in=items).delete()
            Stock.objects.filter(item__in=items).delete()
            self.there: Counter = Counter()  # (item, place)
            self.reserved: Counter = Counter()  # (item, place, job)
            self.attempted: list = []

        def attempt(self, verb, *words, **more) -> bool:
            """Whether it was done; said a second time at once, it changes nothing."""
            more |= {"by": by, "idempotency_key": uuid.uuid4()}
            try:
                made = verb(*words, **more)
            except CannotMove:
                return False
            self.attempted.append((verb, words, more))
            assert verb(*words, **more) == made
            return True

        @initialize(n=st.integers(0, 9), reserved=st.integers(0, 5), j=which)
        def begin(self, n, reserved, j) -> None:
            """With something on the first shelf, most of it often reserved."""
            if n:
                self.take_in(0, 0, n)
            if reserved:
                self.reserve(0, 0, reserved, j)

        def all_reserved(self, item, place) -> int:
            return sum(self.reserved[item, place, job] for job in range(2))

        def free(self, item, place) -> int:
            return self.there[item, place] - self.all_reserved(item, place)

        @rule(i=which, p=which, n=some)
        def take_in(self, i, p, n) -> None:
            assert self.attempt(movements.take_in, items[i], places[p], n)
            self.there[i, p] += n

        @rule(i=which, p=which, n=some, j=which)
        def reserve(self, i, p, n, j) -> None:
            done = self.attempt(movements.reserve, items[i], places[p], n, job=jobs[j])
            assert done == (n <= self.free(i, p))
            if done:
                self.reserved[i, p, j] += n

        @rule(i=which, p=which, n=some, j=which)
        def release(self, i, p, n, j) -> None:
            done = self.attempt(movements.release, items[i], places[p], n, job=jobs[j])
            assert done == (n <= self.reserved[i, p, j])
            if done:
                self.reserved[i, p, j] -= n

        @rule(i=which, p=which, n=some, of=st.integers(0, 6), j=which)
        def take_out(self, i, p, n, of, j) -> None:
            verb = movements.take_out
            done = self.attempt(verb, items[i], places[p], n, reserved=of, job=jobs[j])
            assert done == (of <= n and of <= self.reserved[i, p, j] and n - of <= self.free(i, p))
            if done:
                self.there[i, p] -= n
                self.reserved[i, p, j] -= of

        @rule(i=which, p=which, n=some, of=st.integers(0, 6), j=which)
        def move(self, i, p, n, of, j) -> None:
            words = (items[i], places[p], places[1 - p], n)
            done = self.attempt(movements.move, *words, reserved=of, job=jobs[j])
            assert done == (of <= n and of <= self.reserved[i, p, j] and n - of <= self.free(i, p))
            if done:
                for place, sign in ((p, -1), (1 - p, 1)):
                    self.there[i, place] += sign * n
                    self.reserved[i, place, j] += sign * of

        @rule(i=which, p=which, n=st.integers(0, 12))
        def count(self, i, p, n) -> None:
            assert self.attempt(movements.count, items[i], places[p], n)
            self.there[i, p] = n
            self.see_what_is_reserved(i, p)

        @rule(i=which, p=which, n=some)
        def write_off(self, i, p, n) -> None:
            done = self.attempt(movements.write_off, items[i], places[p], n)
            assert done == (n <= self.there[i, p])
            if done:
                self.there[i, p] -= n
                self.see_what_is_reserved(i, p)

        def see_what_is_reserved(self, i, p) -> None:
            """Broken and missing ones may take reservations with them, never more than needed."""
            before = self.all_reserved(i, p)
            for j in range(2):
                now = reservations.reserved_for(items[i], places[p], job=jobs[j])
                assert 0 <= now <= self.reserved[i, p, j]
                self.reserved[i, p, j] = now
            assert self.all_reserved(i, p) == min(before, self.there[i, p])

        @rule(number=st.integers(0, 100))
        def attempt_again(self, number) -> None:
            if self.attempted:
                verb, words, more = self.attempted[number % len(self.attempted)]
                with suppress(CannotMove):
                    verb(*words, **more)

        @invariant()
        def the_ledger_the_stock_and_the_model_agree(self) -> None:
            ledger = Movement.objects.filter(item__in=items)
            for stock in Stock.objects.filter(item__in=items):
                i, p = items.index(stock.item), places.index(stock.place)
                lines = list(ledger.filter(item=stock.item, place=stock.place).order_by("number"))
                assert 0 <= stock.reserved <= stock.on_hand
                assert stock.on_hand == sum(one.on_hand_change for one in lines) == self.there[i, p]
                assert stock.reserved == sum(one.reserved_change for one in lines)
                assert stock.reserved == self.all_reserved(i, p)
                assert [one.number for one in lines] == list(range(1, len(lines) + 1))
                if lines:
                    last = lines[-1]
                    assert (last.on_hand, last.reserved) == (stock.on_hand, stock.reserved)

    run_state_machine_as_test(
        Store,
        settings=settings(
            max_examples=15,
            stateful_step_count=20,
            deadline=None,
            derandomize=True,
            suppress_health_check=list(HealthCheck),
        ),
    )
