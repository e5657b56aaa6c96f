"""Today: what falls due now for the person looking, and nothing of other homes for a foster."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from habitats.animals.models.stays import leave
from habitats.faults.models.faults import report
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.urgency import FaultUrgency
from tests.support.builds import make_build
from tests.support.store import make_item

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


def test_a_pair_in_order_has_nothing_due_and_the_page_says_until_when(settle, page_of, coordinator):
    settle("Wren", "Pip", "Moss")

    assert "Nothing is due until Tuesday, 6 April." in page_of(coordinator)


def test_a_lone_guinea_pig_is_not_as_it_must_be(settle, page_of, coordinator):
    settle("Wren", "Pip")

    page = page_of(coordinator)

    assert "Needs action now" in page
    assert "Pip" in page


def test_animals_never_weighed_are_folded_and_told_by_home(settle, page_of, coordinator):
    settle("Wren", "Pip", "Moss", grams=None)

    page = page_of(coordinator)

    assert "2 animals to weigh this week" in page
    assert "Weigh Moss and Pip." in page


def test_a_fall_in_weight_is_due_now(settle, page_of, coordinator, day):
    pip, _ = settle("Wren", "Pip", "Moss")
    pip.weigh(700, day(0), by=coordinator)

    page = page_of(coordinator)

    assert "Needs action now" in page
    assert "call a vet" in page


def test_a_foster_sees_only_the_own_home(settle, page_of, foster):
    settle("Wren", "Pip", people=[foster])
    settle("Ash", "Otter", label="South wall")

    page = page_of(foster)

    assert "Pip" in page
    assert "Otter" not in page


def test_an_animal_in_no_group_is_named_with_what_is_due_for_it(
    make_animal, page_of, coordinator, day
):
    pip = make_animal("Pip", born=day(-600))

    page = page_of(coordinator)

    assert "Without an enclosure" in page
    assert "in no group · since 14 May" in page
    assert "Weigh Pip." in page
    assert reverse("animal", args=[pip.code]) in page


def test_a_group_without_an_enclosure_is_one_row_since_it_left_its_last(
    settle, page_of, coordinator, day
):
    pip, _moss = settle("Wren", "Pip", "Moss")
    group = pip.memberships.get().group
    leave(group, day(-3), by=coordinator)

    page = page_of(coordinator)

    assert "Moss and Pip" in page
    assert "in no enclosure · since 7 Mar" in page
    assert reverse("move_group", args=[group.code]) in page


def test_a_young_male_without_an_enclosure_is_to_be_separated(
    make_animal, make_group, page_of, coordinator, day
):
    mother = make_animal("Moss", born=day(-600), grams=900)
    make_group(mother, make_animal("Pip", sex="M", born=day(-40), came_on=day(-40), grams=400))

    assert "Separate Pip from Moss now." in page_of(coordinator)


def test_no_foster_is_told_of_animals_without_an_enclosure(make_animal, page_of, foster):
    make_animal("Pip")

    assert "Pip" not in page_of(foster)


def test_what_matters_most_stands_first(settle, make_animal, page_of, coordinator, foster, day):
    settle("Ash", "Otter", label="South wall")  # alone, so against the standard
    pip, _moss = settle("Wren", "Pip", "Moss", grams=None)
    enclosure = pip.memberships.get().group.stays.get().enclosure
    report(enclosure, FaultKind.TIE, FaultUrgency.UNSAFE, on=day(0), by=foster)
    make_animal("Fern")
    make_item(reorder_at=100)

    page = page_of(coordinator)

    told = (
        "Unsafe: ",
        "Not allowed: Otter kept alone",
        "Without an enclosure",
        "Below the reorder level",
        "Can wait",
    )
    places = [page.index(words) for words in told]
    assert places == sorted(places)


def test_all_of_a_kind_are_on_a_page_of_their_own(settle, client_of, coordinator):
    settle("Wren", "Pip", "Moss", grams=None)

    page = client_of(coordinator).get(reverse("today_kind", args=["weigh"])).content.decode()

    assert "Weigh Pip: never weighed." in page
    assert "Weigh Moss: never weighed." in page


def test_of_a_kind_that_is_none_there_is_no_page(client_of, coordinator):
    assert client_of(coordinator).get("/today/holidays/").status_code == 404


def test_an_empty_rescue_is_told_where_to_begin(client_of, page_of, coordinator, foster):
    begun = page_of(coordinator)
    assert "Choose space standard" in begun
    assert "Change linens" not in begun
    assert begun.count("button first") == 1
    client_of(coordinator).post(reverse("close_set_up"))
    assert "Add home" in page_of(coordinator)
    assert "No enclosure stands in your home yet" in page_of(foster)


def test_queries_do_not_grow_with_rows(settle, make_animal, page_of, coordinator):
    def queries():
        page_of(coordinator)
        with CaptureQueriesContext(connection) as caught:
            page_of(coordinator)
        return len(caught)

    for number in range(3):
        settle(f"Home {number}", f"Pip {number}", grams=None)
        make_animal(f"Fern {number}")
    few = queries()
    for number in range(20):
        settle(f"More {number}", f"Moss {number}", grams=None)
        make_animal(f"Thyme {number}")
    assert queries() == few


def test_a_builder_finds_builds_faults_and_pulls(settle, page_of, builder, foster, day):
    pip, _moss = settle("Wren", "Pip", "Moss")
    enclosure = pip.memberships.get().group.stays.get().enclosure
    report(enclosure, FaultKind.TIE, FaultUrgency.SOON, on=day(0), by=foster)
    make_build("Loft by the stairs", planned_on=day(-1))
    make_build("Not before next week", planned_on=day(7))

    page = page_of(builder)

    assert "Loft by the stairs" in page
    assert "Not before next week" not in page
    assert "Mend soon: " in page
    assert "Pip" not in page


@pytest.mark.parametrize(
    ("urgency", "first"),
    [(FaultUrgency.SOON, "Builds of today"), (FaultUrgency.UNSAFE, "Faults to mend")],
)
def test_a_builder_meets_what_is_unsafe_before_the_builds_of_the_day(
    settle, page_of, builder, foster, day, urgency, first
):
    pip, _moss = settle("Wren", "Pip", "Moss")
    enclosure = pip.memberships.get().group.stays.get().enclosure
    report(enclosure, FaultKind.WIRE, urgency, on=day(0), by=foster)
    make_build("Loft by the stairs", planned_on=day(-1))

    page = page_of(builder)

    assert min("Builds of today", "Faults to mend", key=page.index) == first


def test_many_without_an_enclosure_are_one_link_from_placing(
    make_animal, make_group, page_of, coordinator, foster
):
    def waiting(number):
        return make_group(make_animal(f"Ida {number}", grams=900), make_animal(f"Una {number}"))

    link = '<a class="target together" href="/placing/">Placing</a>'
    for number in range(4):
        waiting(number)
    assert link not in page_of(coordinator)

    waiting(4)
    assert page_of(coordinator).count(link) == 1
    assert link not in page_of(foster)


@pytest.mark.parametrize(
    ("roles", "first"), [("builder,foster", "Needs action now"), ("builder", "Faults to")]
)
def test_what_is_wrong_at_home_comes_before_what_is_unsafe_elsewhere(
    settle, page_of, foster, coordinator, day, roles, first
):
    foster.roles = roles
    foster.save()
    settle("Fernhill", "Ida", people=[foster])  # alone: it lacks company
    pip, _moss = settle("Wren", "Pip", "Moss")
    enclosure = pip.memberships.get().group.stays.get().enclosure
    report(enclosure, FaultKind.WIRE, FaultUrgency.UNSAFE, on=day(0), by=coordinator)

    page = page_of(foster)

    assert "Faults to mend" in page
    found = [one for one in ("Needs action now", "Faults to") if one in page]
    assert min(found, key=page.index) == first
