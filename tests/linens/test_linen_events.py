"""What happens to linens is appended, in turn, and stands on them as the last event left it."""

import uuid

import pytest
from django.db import IntegrityError, transaction

from habitats.linens.models.changes import (
    DoesNotFit,
    InUseElsewhere,
    LinenChange,
    change,
    stays_elsewhere,
)
from habitats.linens.models.linens import InvalidTransition, Linen, LinenEvent
from habitats.linens.models.loads import Load
from habitats.linens.models.spots import LinenSize
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def pool(make_home, make_pool):
    return make_pool(home=make_home())


@pytest.fixture
def enclosure(make_enclosure, pool):
    return make_enclosure(home=pool.home)


@pytest.fixture
def spot(enclosure):
    return enclosure.spots.filter(size__sort="liner").first()


@pytest.fixture
def linen(make_linen, pool, spot):
    return make_linen(pool, spot.size)


def test_an_enclosure_has_a_spot_for_each_linen_it_asks_for(enclosure):
    assert enclosure.spots.filter(size__sort="liner").exists()
    assert all(one.size.width_mm > 0 and one.name for one in enclosure.spots.all())


def test_a_liner_may_be_turned_so_its_size_is_one(db):
    assert LinenSize.of("liner", 700, 300) == LinenSize.of("liner", 300, 700)
    assert LinenSize.of("towel", 700, 300) != LinenSize.of("towel", 300, 700)


def test_a_change_lays_the_clean_one_and_soils_the_old_one(
    spot, linen, make_linen, pool, day, coordinator
):
    old = make_linen(pool, spot.size)
    change(spot, old, day(-5), by=coordinator)

    change(spot, linen, day(0), by=coordinator)

    old.refresh_from_db()
    linen.refresh_from_db()
    assert (old.state, old.spot, old.since) == (State.SOILED, None, day(0))
    assert (linen.state, linen.spot, linen.since) == (State.IN_USE, spot, day(0))


def test_the_same_change_twice_happens_once(spot, linen, day, coordinator):
    idempotency_key = uuid.uuid4()
    for _ in range(2):
        change(spot, linen, day(0), by=coordinator, idempotency_key=idempotency_key)

    assert LinenChange.objects.count() == 1
    assert linen.events.filter(state=State.IN_USE).count() == 1


def test_a_linen_in_use_elsewhere_is_asked_about(
    spot, linen, make_enclosure, pool, day, coordinator
):
    other = make_enclosure("Second floor", home=pool.home).spots.get(key=spot.key)
    change(other, linen, day(-2), by=coordinator)

    with pytest.raises(InUseElsewhere, match=r"Second floor, ground, since 8 March 2027. Which"):
        change(spot, linen, day(0), by=coordinator)


def test_a_linen_seen_here_keeps_the_event_that_said_it_was_elsewhere(
    spot, linen, make_enclosure, pool, day, coordinator
):
    other = make_enclosure("Second floor", home=pool.home).spots.get(key=spot.key)
    change(other, linen, day(-2), by=coordinator)

    change(spot, linen, day(0), by=coordinator, is_here=True)

    spots = linen.events.filter(state=State.IN_USE).order_by("pk").values_list("spot", flat=True)
    assert list(spots) == [other.pk, spot.pk]


def test_a_linen_that_stays_elsewhere_keeps_the_scan(spot, linen, day, coordinator):
    stays_elsewhere(linen, spot, day(0), by=coordinator)

    assert linen.remarks.get().spot == spot


def test_a_linen_of_another_size_is_asked_about(spot, make_linen, pool, day, coordinator):
    other = make_linen(pool, LinenSize.of("liner", 100, 100))
    with pytest.raises(DoesNotFit, match="size Liner 100\xa0mm × 100\xa0mm; ground takes Liner"):
        change(spot, other, day(0), by=coordinator)
    change(spot, other, day(0), by=coordinator, will_do=True)
    assert Linen.objects.get(pk=other.pk).spot == spot


def test_a_wet_linen_does_not_become_clean(linen, day, coordinator):
    linen.set_state(State.SOILED, day(0), by=coordinator)
    linen.set_state(State.WASHING, day(0), by=coordinator)
    with pytest.raises(InvalidTransition, match="in the wash, so it is wet"):
        linen.set_state(State.CLEAN, day(0), by=coordinator)


def test_a_day_before_the_last_event_is_refused(linen, day, coordinator):
    linen.set_state(State.SOILED, day(0), by=coordinator)
    with pytest.raises(
        InvalidTransition, match=r"9 March 2027 is before the last entry for .*: “soiled” on 10"
    ):
        linen.set_state(State.WASHING, day(-1), by=coordinator)


def test_what_stands_on_a_linen_is_what_its_last_event_left(spot, linen, pool, day, coordinator):
    change(spot, linen, day(-3), by=coordinator)
    linen.refresh_from_db()
    linen.set_state(State.SOILED, day(-2), by=coordinator)
    linen.set_state(State.WASHING, day(-2), by=coordinator)

    last = LinenEvent.objects.filter(linen=linen).latest("pk")
    linen.refresh_from_db()
    for name in ("state", "pool", "spot", "washes", "suspicion"):
        assert getattr(last, name) == getattr(linen, name)
    assert (last.on, linen.washes) == (linen.since, 1)


def test_a_spot_holds_one_linen(spot, linen, make_linen, pool, day, coordinator):
    change(spot, linen, day(0), by=coordinator)
    second = make_linen(pool, spot.size)
    with pytest.raises(IntegrityError), transaction.atomic():
        Linen.objects.filter(pk=second.pk).update(state=State.IN_USE, spot=spot)


def test_an_event_is_never_edited(linen):
    event = linen.events.first()
    with pytest.raises(TypeError, match="never edited"):
        event.save()


def test_a_load_takes_its_linens_through_the_wash_and_back(linen, pool, day, coordinator):
    linen.set_state(State.SOILED, day(0), by=coordinator)
    programme = pool.programmes.get(name="Everyday")
    load = Load.objects.start(pool, [linen], programme, day(0), by=coordinator)

    for move in (load.take_out, load.mark_dry, load.bring_back):
        idempotency_key = uuid.uuid4()
        assert move(day(1), by=coordinator, idempotency_key=idempotency_key) == 1
        assert move(day(1), by=coordinator, idempotency_key=idempotency_key) == 0

    linen.refresh_from_db()
    assert (linen.state, linen.washes) == (State.CLEAN, 1)


def test_set_aside_linens_never_share_a_load_with_others(
    linen, make_linen, pool, spot, day, coordinator
):
    linen.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")
    everyday = make_linen(pool, spot.size, state="soiled")
    programme = pool.programmes.get(name="Hot")
    with pytest.raises(InvalidTransition, match="set aside for ringworm: wash it alone"):
        Load.objects.start(pool, [linen, everyday], programme, day(0), by=coordinator)


def test_ringworm_is_released_by_the_second_hot_wash_and_not_by_the_first(
    linen, pool, day, coordinator
):
    linen.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")
    hot = pool.programmes.get(name="Hot")
    for state in (State.SET_ASIDE, State.CLEAN):
        load = Load.objects.start(pool, [linen], hot, day(1), by=coordinator)
        for move in (load.take_out, load.mark_dry, load.bring_back):
            move(day(2), by=coordinator, idempotency_key=uuid.uuid4())
        linen.refresh_from_db()
        assert linen.state == state
        linen.since = day(1)
        Linen.objects.filter(pk=linen.pk).update(since=day(1))
    assert linen.suspicion == ""


def test_a_new_linen_is_oversize_until_its_first_wash(make_linen, pool, spot, day, coordinator):
    linen = make_linen(pool, spot.size, state="new", washed=False, cut=(800, 900))
    assert linen.is_oversize

    load = Load.objects.start(pool, [linen], pool.programmes.first(), day(0), by=coordinator)
    for move in (load.take_out, load.mark_dry, load.bring_back):
        move(day(0), by=coordinator, idempotency_key=uuid.uuid4())

    linen.refresh_from_db()
    assert (linen.state, linen.is_oversize) == (State.FIRST_WASHED, False)


def test_enclosures_written_in_bulk_get_the_spots_of_their_design(enclosure):
    from habitats.linens.models.spots import Spot

    names = set(enclosure.spots.values_list("key", "name", "size"))
    enclosure.spots.all().delete()

    Spot.objects.lay_missing()
    Spot.objects.lay_missing()

    assert set(enclosure.spots.values_list("key", "name", "size")) == names
    assert enclosure.spots.count() == len(names)
