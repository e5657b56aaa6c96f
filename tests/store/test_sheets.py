"""The store's ledger: what is left always is the sum of what came and went."""

import uuid

import pytest
from django.db import IntegrityError, transaction
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.store.models.movements import NotEnough
from builds.store.models.offcuts import Offcut, OffcutMove
from builds.store.models.stock import Movement
from tests.support.sheets import make_kind, make_place, on_hand

Why = Movement.Why


@pytest.fixture
def kind(db):
    return make_kind()


moves = st.one_of(
    st.tuples(st.just(Why.IN), st.integers(1, 9)),
    st.tuples(st.just(Why.WRITE_OFF), st.integers(-9, -1)),
    st.tuples(st.just(Why.COUNT), st.integers(0, 9)),
)


@settings(max_examples=25)
@given(st.lists(moves, max_size=8))
def test_what_is_left_is_the_sum_of_all_changes_and_never_negative(coordinator, asked):
    kind = make_kind(name=str(uuid.uuid4())[:30])
    there = 0
    for why, number in asked:
        if why == Why.COUNT:
            kind.count(number, by=coordinator)
            there = number
        elif there + number < 0:
            with pytest.raises(NotEnough):
                kind.move(number, why, by=coordinator)
        else:
            kind.move(number, why, by=coordinator)
            there += number

    assert on_hand(kind) == there
    assert sum(one.on_hand_change for one in kind.item.movements.all()) == there


def test_the_same_movement_twice_counts_once(kind, coordinator):
    idempotency_key = uuid.uuid4()

    kind.move(3, Why.IN, by=coordinator, idempotency_key=idempotency_key)
    kind.move(3, Why.IN, by=coordinator, idempotency_key=idempotency_key)

    assert on_hand(kind) == 3


def test_more_than_there_is_does_not_go_and_the_sentence_says_both_numbers(kind, coordinator):
    kind.move(2, Why.IN, by=coordinator)

    with pytest.raises(NotEnough, match=r"3 × .* the store has 2"):
        kind.move(-3, Why.WRITE_OFF, by=coordinator)


def test_movements_and_offcuts_are_never_edited(kind, coordinator):
    movement = kind.move(5, Why.IN, by=coordinator)
    offcut = Offcut.objects.store(kind, 400, 600, by=coordinator)

    for row in (movement, offcut, offcut.moves.get()):
        with pytest.raises(TypeError, match="never edited"):
            row.save()


def test_an_offcut_gets_a_label_of_its_own_and_a_place(kind, coordinator):
    one = Offcut.objects.store(kind, 400, 600, by=coordinator, place=make_place("Rack, lower"))
    other = Offcut.objects.store(kind, 400, 600, by=coordinator)

    assert one.label != other.label
    assert Offcut.objects.with_place().get(pk=one.pk).place.name == "Rack, lower"


def test_an_offcut_lies_where_it_was_put_last(kind, coordinator):
    offcut = Offcut.objects.store(kind, 400, 600, by=coordinator, place=make_place("Rack"))

    offcut.put(make_place("Loft"), by=coordinator)

    assert Offcut.objects.with_place().get().place.name == "Loft"
    assert [one.place.name for one in offcut.moves.all()] == ["Rack", "Loft"]


def test_an_offcut_that_is_gone_is_neither_there_nor_goes_again(kind, coordinator):
    offcut = Offcut.objects.store(kind, 400, 600, by=coordinator)
    idempotency_key = uuid.uuid4()
    offcut.write_off(by=coordinator, idempotency_key=idempotency_key)
    offcut.write_off(
        by=coordinator, idempotency_key=idempotency_key
    )  # the same, repeated: harmless

    assert not Offcut.objects.in_store().exists()
    with pytest.raises(NotEnough, match=offcut.label):
        offcut.put(make_place("Rack"), by=coordinator)


def test_the_database_refuses_a_second_end_of_an_offcut(kind, coordinator):
    offcut = Offcut.objects.store(kind, 400, 600, by=coordinator)
    offcut.write_off(by=coordinator)

    with pytest.raises(IntegrityError), transaction.atomic():
        OffcutMove.objects.create(
            offcut=offcut, what="written_off", made_by=coordinator, idempotency_key=uuid.uuid4()
        )
