"""How many linens of a pool are where, and how they go from one pool to another."""

import uuid

import pytest

from habitats.linens.models.changes import change
from habitats.linens.models.line import line_of, lines_of, stocks_of, wearing_out
from habitats.linens.models.linens import InvalidTransition, Linen
from habitats.linens.models.spots import LinenSize
from habitats.linens.models.transfers import move, move_clean
from habitats.rotation.states import State

pytestmark = pytest.mark.django_db


@pytest.fixture
def pool(make_home, make_pool):
    return make_pool(home=make_home())


@pytest.fixture
def other(make_home, make_pool):
    return make_pool("Across the yard", home=make_home("Other"))


@pytest.fixture
def size(db):
    return LinenSize.of("liner", 700, 1400)


def test_linens_are_counted_by_where_they_hang(pool, size, make_linen, day, coordinator):
    for state in ("clean", "clean", "soiled", "set aside", "mending", "retired"):
        more = {"suspicion": "ringworm"} if state == "set aside" else {}
        linen = make_linen(pool, size)
        if state != "clean":
            linen.set_state(state, day(-1), by=coordinator, **more)
    make_linen(pool, size, state="new", washed=False)

    line = line_of(pool)

    assert (line.clean, line.in_use, line.soiled, line.washing, line.drying) == (2, 0, 2, 0, 0)
    assert (line.set_aside, line.new, line.mending, line.total) == (1, 1, 1, 6)


def test_a_suspected_linen_is_told_apart_in_the_wash_too(pool, size, make_linen, day, coordinator):
    linen = make_linen(pool, size)
    linen.set_state("set aside", day(-1), by=coordinator, suspicion="ringworm")
    linen.set_state("washing", day(0), by=coordinator)

    assert line_of(pool).apart_on_line(State.WASHING) == 1


def test_stocks_are_lines_by_size(pool, size, make_linen):
    make_linen(pool, size)
    make_linen(pool, LinenSize.of("towel", 200, 900))

    assert {key: line.clean for key, line in stocks_of(pool).items()} == {
        size.pk: 1,
        LinenSize.of("towel", 200, 900).pk: 1,
    }


@pytest.mark.parametrize("pools", [3, 30])
def test_lines_ask_one_question_of_any_number_of_pools(
    pools, make_home, make_pool, make_linen, size, django_assert_num_queries
):
    found = [make_pool(f"Cupboard {n}", home=make_home(f"Home {n}")) for n in range(pools)]
    for one in found:
        make_linen(one, size)
    with django_assert_num_queries(1):
        assert sum(line.clean for line in lines_of(found).values()) == pools


def test_those_with_the_fewest_washes_left_are_due_first(pool, size, make_linen):
    for washes in (80, 99, 104):
        Linen.objects.filter(pk=make_linen(pool, size).pk).update(washes=washes)

    assert [one.left for one in wearing_out(pool, 5)] == [-4, 1]


def test_those_that_rested_longest_go_to_the_other_pool(
    pool, other, size, make_linen, day, coordinator
):
    rested = make_linen(pool, size, on=day(-40))
    make_linen(pool, size, on=day(-2))

    moved = move_clean(pool, other, {size: 1}, day(0), by=coordinator, idempotency_key=uuid.uuid4())

    rested.refresh_from_db()
    assert (moved, rested.pool, rested.state) == (1, other, State.CLEAN)
    assert rested.events.order_by("-pk").first().pool == other


def test_the_same_transfer_twice_moves_once(pool, other, size, make_linen, day, coordinator):
    for _ in range(4):
        make_linen(pool, size)
    idempotency_key = uuid.uuid4()
    for _ in range(2):
        move_clean(pool, other, {size: 2}, day(0), by=coordinator, idempotency_key=idempotency_key)

    assert Linen.objects.filter(pool=other).count() == 2


def test_where_there_are_too_few_none_is_moved(pool, other, size, make_linen, day, coordinator):
    make_linen(pool, size)
    towel = LinenSize.of("towel", 200, 900)
    with pytest.raises(InvalidTransition, match=r"1 is too many: .* has 0 clean"):
        move_clean(
            pool, other, {size: 1, towel: 1}, day(0), by=coordinator, idempotency_key=uuid.uuid4()
        )
    assert not Linen.objects.filter(pool=other).exists()


def test_a_linen_in_use_is_not_moved(pool, other, make_enclosure, make_linen, day, coordinator):
    spot = make_enclosure(home=pool.home).spots.first()
    linen = make_linen(pool, spot.size)
    change(spot, linen, day(-1), by=coordinator)
    linen.refresh_from_db()
    with pytest.raises(InvalidTransition, match="stays with Wren's cupboard for now"):
        move(linen, other, day(0), by=coordinator, idempotency_key=uuid.uuid4())


def test_a_linen_is_not_moved_to_where_it_is(pool, size, make_linen, day, coordinator):
    with pytest.raises(InvalidTransition, match="belongs to Wren's cupboard already"):
        move(make_linen(pool, size), pool, day(0), by=coordinator, idempotency_key=uuid.uuid4())
