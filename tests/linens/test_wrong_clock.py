"""What a clock that was ahead dated: once it is right, what people record next counts at once."""

import uuid

import pytest
from django.urls import reverse

from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.faults.models.faults import report
from habitats.linens.models.changes import change
from habitats.linens.models.dues import dues_in
from habitats.linens.models.linens import InvalidTransition
from habitats.linens.models.loads import Load
from habitats.linens.models.spots import ChangePlan
from habitats.rotation.states import State
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.urgency import FaultUrgency

pytestmark = pytest.mark.django_db


@pytest.fixture
def home(make_home, make_pool, foster):
    home = make_home("Wren", people=[foster])
    make_pool(home=home)
    return home


@pytest.fixture
def enclosure(home, make_enclosure, make_group, make_animal, day):
    enclosure = make_enclosure(home=home)
    ChangePlan.objects.create(enclosure=enclosure, interval_days=4)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-30))
    return enclosure


@pytest.fixture
def spot(enclosure):
    return enclosure.spots.order_by("pk").first()


@pytest.fixture
def ahead(clock):
    """`ahead(act)`: the act is done while the clock is a month ahead; then it is right again."""

    def ahead(act):
        clock(days=30)
        done = act()
        clock()
        return done

    return ahead


@pytest.fixture
def laid_ahead(spot, home, make_linen, coordinator, day, this_day, ahead):
    """One was laid six days ago, and this one in its place, dated in a month."""
    change(spot, make_linen(home.pool, spot.size), day(-6), by=coordinator)
    linen = make_linen(home.pool, spot.size)
    ahead(lambda: change(spot, linen, day(30), by=coordinator))
    return linen


def test_a_change_of_today_is_recorded_and_says_so(
    laid_ahead, spot, home, make_linen, fostering, enclosure, day
):
    clean = make_linen(home.pool, spot.size)
    mine = {f"spot-{spot.pk}-take": "on", f"spot-{spot.pk}-chosen": clean.label}
    sent = {"once": uuid.uuid4(), "on": day(0).isoformat(), **mine}

    page = fostering.post(reverse("change_linens", args=[enclosure.code]), sent, follow=True)

    clean.refresh_from_db()
    assert (clean.state, clean.spot, clean.since) == (State.IN_USE, spot, day(0))
    assert f"The last entry for {laid_ahead} had a future date" in page.content.decode()


def test_what_was_dated_ahead_stays_in_the_history_and_the_next_entry_notes_it(
    laid_ahead, coordinator, day
):
    laid_ahead.set_state(State.SOILED, day(0), by=coordinator)

    *_before, wrong, right = laid_ahead.events.order_by("pk")
    assert (wrong.on, wrong.state, right.on) == (day(30), State.IN_USE, day(0))
    assert right.note == "The previous entry had a future date: a clock was wrong."


def test_a_day_before_what_the_right_clock_dated_is_refused_still(
    laid_ahead, spot, coordinator, day
):
    with pytest.raises(InvalidTransition, match=r"before the last entry .*: “clean” on 9 January"):
        laid_ahead.set_state(State.SOILED, day(-80), by=coordinator)


def test_a_place_is_due_by_its_last_change_of_a_day_that_has_come(laid_ahead, enclosure, day):
    first, *_others = [due for due in dues_in(enclosure, day(0)) if due.linen is not None]

    assert (first.last_changed, first.on) == (day(-6), day(-2))


def test_a_load_that_was_started_ahead_is_taken_out_today(
    home, make_linen, spot, coordinator, day, ahead
):
    linen = make_linen(home.pool, spot.size, state="soiled")
    hot = home.pool.programmes.get(name="Hot")
    load = ahead(lambda: Load.objects.start(home.pool, [linen], hot, day(30), by=coordinator))

    load.take_out(day(0), by=coordinator, idempotency_key=uuid.uuid4())

    linen.refresh_from_db()
    assert (linen.state, linen.since) == (State.DRYING, day(0))


def test_a_fault_that_was_seen_ahead_is_mended_today(enclosure, coordinator, day, ahead):
    kind, urgency = next(iter(FaultKind)), FaultUrgency.SOON
    fault = ahead(lambda: report(enclosure, kind, urgency, on=day(30), by=coordinator))

    assert fault.mend(day(0), by=coordinator).on == day(0)


def test_an_enclosure_that_was_set_aside_ahead_stands_again_today(
    make_enclosure, coordinator, day, ahead
):
    enclosure = make_enclosure("Second floor")
    states = EnclosureState.NEEDS_REPAIR, EnclosureState.STANDING
    ahead(lambda: change_state(enclosure, states[0], on=day(30), by=coordinator))

    change_state(enclosure, states[1], on=day(0), by=coordinator)

    assert enclosure.state_now() == EnclosureState.STANDING
