"""What was expected back from the wash and was not brought back, in one sentence on every page."""

import uuid
from datetime import timedelta

import pytest
from django.urls import reverse

from habitats.linens.models.changes import change
from habitats.linens.models.forecasts import pool_forecast
from habitats.linens.models.loads import Load
from habitats.linens.models.not_back import not_back
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import ChangePlan, LinenSize

pytestmark = pytest.mark.django_db

LATE = (
    "Not back from the wash at Wren’s: 2 towels and 1 liner of the load of Monday, 8 March, "
    "expected on Tuesday, 9 March. Forecasts leave them out."
)


@pytest.fixture
def enclosure(make_home, make_pool, make_enclosure, make_group, make_animal, foster, day):
    home = make_home("Wren", people=[foster])
    make_pool("Wren’s", home=home, weekdays=Pool.bits_of([0, 3]), drying_days=1)
    enclosure = make_enclosure("North wall", home=home)
    ChangePlan.objects.create(enclosure=enclosure, interval_days=2)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    return enclosure


@pytest.fixture
def pool(enclosure):
    return Pool.objects.get()


@pytest.fixture
def wash(pool, make_linen, coordinator):
    """`wash(on, liner=1, towel=2)`: a load of so many linens, washed on that day."""

    def start(on, **numbers):
        linens = [
            make_linen(pool, LinenSize.of(sort, 300, 900), state="soiled", on=on)
            for sort, number in numbers.items()
            for _ in range(number)
        ]
        programme = pool.programmes.first()
        return Load.objects.start(pool, linens, programme, on, by=coordinator)

    return start


@pytest.fixture
def sentences(pool, today):
    return lambda: [one.sentence for one in not_back([pool], today)]


@pytest.fixture
def text_of(client_of):
    def read(person, name, *args):
        return client_of(person).get(reverse(name, args=args)).content.decode()

    return read


def test_the_sentence_has_the_load_its_day_what_and_when_it_was_expected(wash, sentences, day):
    wash(day(-2), liner=1, towel=2)

    assert sentences() == [LATE]


def test_it_is_the_same_on_every_page_but_today_which_tells_it_in_short(
    wash, enclosure, pool, text_of, foster, coordinator, laundry, day, this_day
):
    load = wash(day(-2), liner=1, towel=2)

    days = [text_of(foster, "today"), text_of(coordinator, "today")]
    pages = [
        text_of(foster, "changes"),
        text_of(foster, "change_linens", enclosure.code),
        text_of(coordinator, "pool_page", pool.code),
        text_of(laundry, "pools"),
        text_of(laundry, "laundry"),
    ]

    for page in pages:
        assert LATE in page
    for page in days:
        assert "Not back from the wash: 2 towels and 1 liner" in page
        assert "Wren’s · since 9 Mar" in page
    for page in (*pages, *days):
        assert reverse("load", args=[load.code]) in page


def test_loads_of_one_day_are_one_sentence(wash, sentences, day):
    for _ in range(3):
        wash(day(-2), liner=2)

    assert sentences() == [
        "Not back from the wash at Wren’s: 6 liners of the 3 loads of Monday, 8 March, expected on "
        "Tuesday, 9 March. Forecasts leave them out."
    ]


def test_what_is_expected_today_is_told_to_who_waits_for_it_and_not_to_who_sees_all(
    wash, text_of, foster, coordinator, day, this_day
):
    wash(day(-1), liner=2)

    assert "Expected back from the wash" in text_of(foster, "today")
    assert "Expected back from the wash" not in text_of(coordinator, "today")


def test_what_is_expected_today_is_said_as_such_and_the_forecast_counts_on_it(
    wash, sentences, pool, day, today
):
    wash(day(-1), liner=2)

    assert sentences() == [
        "Expected back from the wash at Wren’s today: 2 liners of the load of Tuesday, 9 March."
    ]
    assert all(piece.ready == today for piece in pool_forecast(pool, today).inputs.pieces)


def test_what_dries_still_is_told_on_no_page_before_its_day(wash, sentences, day):
    wash(day(0), liner=2)

    assert sentences() == []


def test_what_came_back_is_told_no_more_and_the_rest_is(wash, sentences, day, coordinator):
    load = wash(day(-2), liner=2)
    back = list(load.linens())[:1]
    for move in (load.take_out, load.mark_dry, load.bring_back):
        move(day(-1), by=coordinator, linens=back, idempotency_key=uuid.uuid4())

    assert sentences() == [
        "Not back from the wash at Wren’s: 1 liner of the load of Monday, 8 March, expected on "
        "Tuesday, 9 March. Forecasts leave it out."
    ]


def test_the_forecast_does_not_last_on_what_did_not_come_back(
    enclosure, pool, make_linen, coordinator, wash, text_of, day, today, this_day
):
    """The only spare one of each size is in the wash since Monday; the places are due today."""
    spares = []
    for spot in enclosure.spots.all():
        change(spot, make_linen(pool, spot.size), day(-2), by=coordinator)
        spares.append(make_linen(pool, spot.size, state="soiled", on=day(-2)))
    Load.objects.start(pool, spares, pool.programmes.first(), day(-2), by=coordinator)

    assert pool_forecast(pool, today).first_dry == today
    assert pool_forecast(pool, today - timedelta(days=1)).first_dry != today - timedelta(days=1)
    assert "Lasts the next 42 days" not in text_of(coordinator, "pool_page", pool.code)


@pytest.mark.parametrize("loads", [3, 12])
def test_it_asks_the_same_few_questions_for_many_loads(
    loads, wash, pool, day, today, django_assert_num_queries
):
    for number in range(loads):
        wash(day(-2 - number), liner=1)

    with django_assert_num_queries(2):
        assert len(not_back([pool], today)) == loads


def test_the_laundry_finds_what_is_on_its_way_on_today(wash, text_of, laundry, day, this_day):
    load = wash(day(0), liner=2)

    page = text_of(laundry, "today")

    assert "2 in the machine." in page
    assert reverse("load", args=[load.code]) in page


def test_when_a_pool_runs_out_is_told_to_the_coordinator(pool, text_of, coordinator, this_day):
    assert f"{pool} runs out" in text_of(coordinator, "today")
