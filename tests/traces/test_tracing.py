"""What was appended becomes what a trace is reckoned from."""

import uuid

import pytest
from django.db import IntegrityError, transaction

from habitats.animals.models.joining import join
from habitats.animals.models.stays import leave, move_in
from habitats.enclosures.models.standing import stand
from habitats.linens.models.changes import change
from habitats.linens.models.loads import Load
from habitats.rotation.infection import WashRun
from habitats.rotation.states import State
from habitats.rotation.trace_facts import (
    LivingSpan,
    LyingSpan,
    StandingSpan,
    StaySpan,
    Thing,
    ThingKind,
    Washing,
)
from habitats.traces.models.traces import Trace
from habitats.traces.models.tracing import (
    at_hand,
    facts_since,
    set_aside,
    suspected_now,
    trace_contacts,
)

pytestmark = pytest.mark.django_db


def contacts(trace, today):
    return {one.thing for one in trace_contacts(trace, today)[0].contacts}


def thing(linen):
    return Thing(ThingKind.LINEN, linen.label)


def test_spans_that_touch_the_days_are_gathered_with_their_codes(clover, north, wren, day, today):
    found = facts_since(day(-10), today)
    animal = clover.memberships.first().animal
    assert LivingSpan(animal.code, clover.code, day(-30), None) in found.livings
    assert found.stayings == (StaySpan(clover.code, north.code, day(-30), None),)
    assert found.standings == (StandingSpan(north.code, wren.code, day(-300), None),)


def test_spans_that_ended_before_and_slips_are_left_out(
    clover, north, east, day, coordinator, today
):
    leave(clover, day(-10), by=coordinator)
    move_in(clover, east, day(-5), by=coordinator)
    leave(clover, day(-5), by=coordinator)
    assert facts_since(day(-10), today).stayings == ()


def test_a_linen_lies_from_its_change_to_what_happened_next(
    spot, north, linen, make_linen, pool, day, coordinator, today
):
    change(spot, linen, day(-12), by=coordinator)
    other = make_linen(pool, spot.size)
    change(spot, other, day(-6), by=coordinator)
    assert facts_since(day(-10), today).lyings == (
        LyingSpan(linen.label, north.code, spot.key, day(-12), day(-6)),
        LyingSpan(other.label, north.code, spot.key, day(-6), None),
    )


def test_a_linen_that_came_out_on_the_first_day_lay_there_on_none_of_them(
    spot, linen, day, coordinator, today
):
    change(spot, linen, day(-12), by=coordinator)
    linen.refresh_from_db()
    linen.set_state(State.SOILED, day(-10), by=coordinator)
    trace = Trace.objects.begin(spot.enclosure, day(-10), "ringworm", by=coordinator)
    assert thing(linen) not in contacts(trace, today)


def test_a_linen_laid_and_taken_out_on_one_day_lay_there_on_it(
    spot, north, linen, day, coordinator, today
):
    change(spot, linen, day(-4), by=coordinator)
    linen.refresh_from_db()
    linen.set_state(State.SOILED, day(-4), by=coordinator)
    (lying,) = facts_since(day(-10), today).lyings
    assert lying == LyingSpan(linen.label, north.code, spot.key, day(-4), day(-3))


def test_loads_are_gathered_in_their_order_with_their_programme(
    linen, make_linen, pool, spot, day, coordinator, today
):
    linen.set_state(State.SOILED, day(-4), by=coordinator)
    other = make_linen(pool, spot.size, state="soiled")
    hot = pool.programmes.get(name="Hot")
    load = Load.objects.start(pool, [linen, other], hot, day(-3), by=coordinator)
    assert facts_since(day(-10), today).washings == (
        Washing(load.code, (linen.label, other.label), day(-3), WashRun("Hot", 60, 20)),
    )


def test_facts_take_the_same_few_queries_for_three_and_for_twelve(
    spot, pool, make_linen, day, coordinator, django_assert_num_queries, today
):
    for number in range(3):
        change(spot, make_linen(pool, spot.size), day(number - 9), by=coordinator)
    with django_assert_num_queries(6):
        facts_since(day(-20), today)
    for number in range(9):
        change(spot, make_linen(pool, spot.size), day(-3 + number // 3), by=coordinator)
    with django_assert_num_queries(6):
        assert len(facts_since(day(-20), today).lyings) == 12


def test_a_trace_meets_linens_enclosures_and_the_next_group(
    clover, spot, linen, north, make_group, make_animal, start, day, coordinator, today
):
    change(spot, linen, day(-8), by=coordinator)
    leave(clover, day(-4), by=coordinator)
    basil = make_group(make_animal("Basil"), enclosure=north, since=day(-2))
    met = contacts(start(clover), today)
    assert {
        thing(linen),
        Thing(ThingKind.ENCLOSURE, north.code),
        Thing(ThingKind.GROUP, basil.code),
    } <= met


def test_an_animal_that_joins_another_group_carries_it_on(
    clover, make_group, make_animal, start, day, coordinator, today
):
    basil = make_group(make_animal("Basil"))
    join(basil, clover.memberships.first().animal, day(-3), by=coordinator)
    assert Thing(ThingKind.GROUP, basil.code) in contacts(start(clover), today)


def test_an_enclosure_that_moved_tells_each_home(
    clover, north, wren, ada, start, day, coordinator, today
):
    stand(north, ada, day(-5), by=coordinator)
    homes = trace_contacts(start(clover), today)[0].homes
    assert [(one.home, one.first) for one in homes] == [
        (wren.code, day(-10)),
        (ada.code, day(-5)),
    ]


def test_a_trace_begun_twice_with_one_id_is_one(clover, start):
    idempotency_key = uuid.uuid4()
    assert start(clover, idempotency_key=idempotency_key) == start(
        clover, idempotency_key=idempotency_key
    )


def test_a_trace_has_exactly_one_suspect(clover, north, coordinator, day):
    facts = {"since": day(0), "suspicion": "other", "made_by": coordinator, "code": "ABCDEF"}
    with pytest.raises(IntegrityError), transaction.atomic():
        Trace.objects.create(**facts)
    with pytest.raises(IntegrityError), transaction.atomic():
        Trace.objects.create(**facts, group=clover, enclosure=north)


def test_a_closed_trace_is_open_again_when_somebody_says_so(clover, start, coordinator, day):
    trace = start(clover)
    trace.close(day(0), "The vet found nothing.", by=coordinator)
    assert list(Trace.objects.open()) == []
    trace.reopen("It came back.", by=coordinator)
    assert list(Trace.objects.open()) == [trace]
    assert trace.ended() is None


def test_the_last_word_on_an_action_counts(clover, start, coordinator):
    trace = start(clover)
    trace.tick("clean enclosure A", True, by=coordinator)
    trace.tick("stay group B", True, by=coordinator)
    trace.tick("stay group B", False, by=coordinator)
    assert set(trace.ticked()) == {"clean enclosure A"}


def test_a_repeated_tick_changes_nothing(clover, start, coordinator):
    trace, idempotency_key = start(clover), uuid.uuid4()
    trace.tick("clean enclosure A", True, by=coordinator, idempotency_key=idempotency_key)
    trace.tick("clean enclosure A", True, by=coordinator, idempotency_key=idempotency_key)
    assert trace.ticks.count() == 1


def test_what_happened_is_never_edited(clover, start):
    trace = start(clover)
    trace.note = "Another"
    with pytest.raises(TypeError):
        trace.save()


def test_linens_are_set_aside_for_what_the_trace_suspects(
    clover, spot, linen, start, day, coordinator
):
    change(spot, linen, day(-8), by=coordinator)
    trace, idempotency_key = start(clover), uuid.uuid4()
    linen.refresh_from_db()
    set_aside(trace, [linen], day(0), by=coordinator, idempotency_key=idempotency_key)
    set_aside(trace, [linen], day(0), by=coordinator, idempotency_key=idempotency_key)
    linen.refresh_from_db()
    assert (linen.state, linen.suspicion, linen.spot) == (State.SET_ASIDE, "ringworm", None)
    assert linen.events.filter(state=State.SET_ASIDE).count() == 1


def test_linens_in_the_wash_or_set_aside_already_are_not_at_hand(
    make_linen, pool, spot, day, coordinator
):
    clean, wet = make_linen(pool, spot.size), make_linen(pool, spot.size, state="soiled")
    everyday = pool.programmes.get(name="Everyday")
    Load.objects.start(pool, [wet], everyday, day(-1), by=coordinator)
    apart = make_linen(pool, spot.size)
    apart.set_state(State.SET_ASIDE, day(-1), by=coordinator, suspicion="other")
    for one in (wet, apart):
        one.refresh_from_db()
    assert at_hand([clean, wet, apart]) == [clean]


def test_what_an_open_trace_met_is_suspected_until_it_is_closed(
    clover, north, start, coordinator, day, today
):
    trace = start(clover)
    assert suspected_now(today)[Thing(ThingKind.ENCLOSURE, north.code)] == [trace]
    trace.close(day(0), "Over.", by=coordinator)
    assert suspected_now(today) == {}


def test_nothing_is_reckoned_while_no_trace_is_open(today, django_assert_num_queries):
    with django_assert_num_queries(1):
        suspected_now(today)
