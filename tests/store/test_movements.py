"""The verbs of the store: what each leaves, and the sentence with which it is refused."""

import uuid
from datetime import datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from builds.store.models import movements, reservations
from builds.store.models.movements import CannotMove, NotEnough
from builds.store.models.stock import Movement, Stock, stock_on
from tests.support.sheets import make_job, make_kind


def now(stock):
    stock.refresh_from_db()
    return stock.on_hand, stock.reserved, stock.free


def test_what_is_reserved_is_there_and_not_free(ten, panel, rack, coordinator):
    movements.reserve(panel, rack, 4, by=coordinator)

    assert now(ten) == (10, 4, 6)


def test_more_than_is_free_is_refused_with_all_three_numbers(ten, panel, rack, coordinator):
    movements.reserve(panel, rack, 4, by=coordinator)

    with pytest.raises(NotEnough, match=r"7 × “White panel” .* Rack has 10: 4 reserved, 6"):
        movements.take_out(panel, rack, 7, by=coordinator)

    assert now(ten) == (10, 4, 6)


def test_what_is_reserved_for_a_job_goes_only_in_its_name(ten, panel, rack, coordinator):
    job = make_job(coordinator, make_kind())
    movements.reserve(panel, rack, 10, by=coordinator, job=job)

    with pytest.raises(NotEnough, match=r"3 × .* Rack has 0 reserved for this"):
        movements.take_out(panel, rack, 3, reserved=3, by=coordinator)
    movements.take_out(panel, rack, 3, reserved=3, by=coordinator, job=job)

    assert now(ten) == (7, 7, 0)
    assert reservations.reserved_for(panel, rack, job=job) == 7


def test_a_count_below_what_is_reserved_releases_what_was_reserved_last(
    ten, panel, rack, coordinator
):
    job = make_job(coordinator, make_kind())
    movements.reserve(panel, rack, 5, by=coordinator, job=job)
    movements.reserve(panel, rack, 4, by=coordinator)

    movements.count(panel, rack, 6, by=coordinator)

    assert now(ten) == (6, 6, 0)
    assert reservations.reserved_for(panel, rack, job=job) == 5
    assert reservations.reserved_for(panel, rack) == 1


def test_a_count_as_it_was_thought_is_written_down_too(ten, panel, rack, coordinator):
    movements.count(panel, rack, 10, by=coordinator)

    assert now(ten) == (10, 0, 10)
    assert ten.counted_at is not None


def test_a_move_is_two_movements_that_name_each_other(ten, panel, rack, loft, coordinator):
    gone, come = movements.move(panel, rack, loft, 4, by=coordinator)

    assert (gone.place, gone.other, gone.on_hand_change) == (rack, loft, -4)
    assert (come.place, come.other, come.on_hand_change) == (loft, rack, 4)


@pytest.mark.parametrize("count", [0, -3, 10**9])
def test_a_number_that_cannot_be_is_refused(ten, panel, rack, coordinator, count):
    for verb in (movements.take_in, movements.take_out, movements.reserve, movements.write_off):
        with pytest.raises(CannotMove, match=f"{count} given; give 1 to 1000000"):
            verb(panel, rack, count, by=coordinator)


def test_the_same_key_changes_nothing_even_where_it_could_not_be_done_again(
    ten, panel, rack, coordinator
):
    idempotency_key = uuid.uuid4()

    first = movements.take_out(panel, rack, 10, by=coordinator, idempotency_key=idempotency_key)
    again = movements.take_out(panel, rack, 10, by=coordinator, idempotency_key=idempotency_key)

    assert first == again
    assert now(ten) == (0, 0, 0)


def test_from_where_to_take_is_one_place_if_one_has_enough(ten, panel, rack, loft, coordinator):
    movements.take_in(panel, loft, 5, by=coordinator)

    assert movements.places_for(panel, 4) == [(loft, 4)]
    assert movements.places_for(panel, 12) == [(rack, 10), (loft, 2)]
    with pytest.raises(NotEnough, match="the store has 15 free"):
        movements.places_for(panel, 16)


def test_stock_can_be_told_for_any_day(panel, rack, coordinator, monkeypatch):
    noon = timezone.make_aware(datetime(2027, 3, 1, 12))
    for day, change in enumerate((6, 3), start=0):
        monkeypatch.setattr(timezone, "now", lambda at=noon + timedelta(days=day): at)
        movements.take_in(panel, rack, change, by=coordinator)
    monkeypatch.undo()

    days = [noon.date() + timedelta(days=ahead) for ahead in (-1, 0, 1, 300)]

    assert [[one.on_hand for one in stock_on(day)] for day in days] == [[], [6], [9], [9]]


def test_a_clock_that_is_put_back_leaves_the_ledger_in_order(
    ten, panel, rack, coordinator, monkeypatch
):
    past = timezone.now() - timedelta(days=3)
    monkeypatch.setattr(timezone, "now", lambda: past)

    later = movements.take_in(panel, rack, 1, by=coordinator)

    assert later.made_at > past


@pytest.mark.parametrize(
    "wrong",
    [
        {"on_hand": -1},
        {"reserved": 12},
        {"why": "in", "on_hand_change": -1},
        {"why": "write_off", "on_hand_change": 1},
        {"why": "reserve", "reserved_change": -1, "on_hand_change": 0},
        {"why": "release", "reserved_change": 1, "on_hand_change": 0},
        {"why": "out", "on_hand_change": -1, "reserved_change": -2},
        {"why": "move", "on_hand_change": 1},  # to nowhere
        {"why": "cut", "on_hand_change": -1},  # for no job
        {"number": 1},  # there is one already
    ],
)
def test_the_database_refuses_a_movement_that_cannot_be(ten, coordinator, wrong):
    usual = {"number": 2, "on_hand_change": 1, "on_hand": 11, "reserved": 0, "why": "in"}

    with pytest.raises(IntegrityError), transaction.atomic():
        Movement.objects.create(
            item=ten.item, place=ten.place, made_by=coordinator, **usual | wrong
        )


def test_the_database_refuses_more_reserved_than_there_are(ten):
    with pytest.raises(IntegrityError), transaction.atomic():
        Stock.objects.update(reserved=11)


def test_a_movement_is_never_edited(ten):
    with pytest.raises(TypeError, match="never edited"):
        Movement.objects.get().save()
