"""Today: what falls due now for the person looking, and nothing of other homes for a foster."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def our_day(monkeypatch, today):
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: today)


@pytest.fixture(autouse=True)
def rules(answer_to):
    answer_to("ch-tschv")


@pytest.fixture
def page_of(client_of):
    def get(person):
        response = client_of(person).get(reverse("today"))
        return response.content.decode().replace("\N{NO-BREAK SPACE}", " ")

    return get


@pytest.fixture
def settle(make_home, make_animal, make_enclosure, make_group, day):
    """`settle("Wren", "Pip", "Moss", grams=850)`: a home with one group, weighed yesterday."""

    def make(home, *names, people=(), label="North wall", **facts):
        facts = {"born": day(-600), "grams": 850, **facts}
        animals = [make_animal(name, **facts) for name in names]
        place = make_home(home, people=people)
        make_group(*animals, enclosure=make_enclosure(label, place))
        return animals

    return make


def test_a_pair_in_order_has_nothing_due(settle, page_of, coordinator):
    settle("Wren", "Pip", "Moss")

    assert "Nothing is due this week." in page_of(coordinator)


def test_a_lone_guinea_pig_is_not_as_it_must_be(settle, page_of, coordinator):
    settle("Wren", "Pip")

    page = page_of(coordinator)

    assert "Needs action now" in page
    assert "Pip" in page


def test_animals_never_weighed_are_one_task_a_home(settle, page_of, coordinator):
    settle("Wren", "Pip", "Moss", grams=None)

    assert "Weigh Moss, Pip." in page_of(coordinator)


def test_a_fall_in_weight_is_due_now(settle, page_of, coordinator, day):
    pip, _ = settle("Wren", "Pip", "Moss")
    pip.weigh(700, day(0), by=coordinator)

    page = page_of(coordinator)

    assert "Due now" in page
    assert "call a vet" in page


def test_a_foster_sees_only_the_own_home(settle, page_of, foster):
    settle("Wren", "Pip", people=[foster])
    settle("Ash", "Otter", label="South wall")

    page = page_of(foster)

    assert "Pip" in page
    assert "Otter" not in page


def test_animals_in_no_group_are_counted_for_the_coordinator(make_animal, page_of, coordinator):
    make_animal("Pip")

    assert "1 animal is in no group" in page_of(coordinator)


def test_an_empty_rescue_is_told_where_to_begin(page_of, coordinator, foster):
    assert "Add home" in page_of(coordinator)
    assert "No enclosure stands in your home yet" in page_of(foster)


def test_queries_do_not_grow_with_rows(settle, page_of, coordinator):
    def queries():
        page_of(coordinator)
        with CaptureQueriesContext(connection) as caught:
            page_of(coordinator)
        return len(caught)

    for number in range(3):
        settle(f"Home {number}", f"Pip {number}")
    few = queries()
    for number in range(27):
        settle(f"More {number}", f"Moss {number}")
    assert queries() == few
