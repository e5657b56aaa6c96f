"""The coordinator's pages of kinds of linens: what each is made of, and how it shrinks."""

import uuid

import pytest
from django.urls import reverse

from habitats.linens.models.linens import LinenKind
from habitats.linens.models.shrinkage import ShrinkTest, shrinkage_of
from habitats.linens.models.spots import LinenSize

pytestmark = pytest.mark.django_db

KIND = {
    "name": "Two of fleece",
    "sort": "liner",
    "fibre": "synthetic",
    "layers": "2",
    "grams_per_m2": "260",
    "shrink_length": "2.5",
    "shrink_width": "1",
    "most_washes": "120",
}


@pytest.fixture
def kind(make_kind):
    return make_kind(shrink_length=50)


def test_a_kind_is_kept_with_its_shrinkage_in_tenths(coordinating):
    coordinating.post(reverse("new_linen_kind"), KIND)

    made = LinenKind.objects.get()
    assert (made.shrink_length, made.shrink_width, made.grams_per_m2) == (25, 10, 260)


# Fabric weights and shrinkages of the goods table: terry 400 to 600 g/m² and 3 to 7 %, fleece 200
# to 300 g/m² and 0 to 2 % (from memory; common practice).
@pytest.mark.parametrize(
    ("fibre", "mass", "shrinkage"),
    [("cotton", (400, 600), (30, 70)), ("synthetic", (200, 300), (0, 20))],
)
def test_a_newcomer_need_not_know_the_mass_and_shrinkage_of_cloth(
    coordinating, fibre, mass, shrinkage
):
    unknown = {"fibre": fibre, "grams_per_m2": "", "shrink_length": "", "shrink_width": ""}

    coordinating.post(reverse("new_linen_kind"), {**KIND, **unknown})

    made = LinenKind.objects.get(name=KIND["name"])
    assert mass[0] <= made.grams_per_m2 <= mass[1]
    assert shrinkage[0] <= made.shrink_length <= shrinkage[1]
    assert shrinkage[0] <= made.shrink_width <= shrinkage[1]


@pytest.mark.parametrize(
    ("field", "value"),
    [("grams_per_m2", "5"), ("shrink_length", "45"), ("layers", "0"), ("shrink_width", "1.23")],
)
def test_a_kind_that_cannot_be_is_told_beside_the_field(coordinating, field, value):
    answer = coordinating.post(reverse("new_linen_kind"), {**KIND, field: value})

    assert answer.status_code == 422
    assert field in answer.context["form"].errors


def test_a_kind_with_linens_stays_of_its_sort(coordinating, make_pool, make_home, make_linen, kind):
    make_linen(make_pool(home=make_home()), LinenSize.of("liner", 700, 1400))
    coordinating.post(reverse("linen_kind", args=[kind.pk]), {**KIND, "sort": "towel"})

    kind.refresh_from_db()
    assert (kind.sort, kind.name) == ("liner", "Two of fleece")


@pytest.fixture
def measure(coordinating, kind):
    def post(**changes):
        sent = {
            "once": uuid.uuid4(),
            "before_length_mm": "1000",
            "after_length_mm": "950",
            "before_width_mm": "1000",
            "after_width_mm": "970",
            "on": "2027-03-10",
            **changes,
        }
        return coordinating.post(reverse("new_shrink_test", args=[kind.pk]), sent)

    return post


def test_what_was_measured_counts_instead_of_what_is_expected(measure, kind, coordinating):
    """ISO 5077: (after - before) / before, so 1 000 mm to 950 mm is -5.0 %."""
    measure()

    assert shrinkage_of(kind).length == 50
    text = coordinating.get(reverse("linen_kind", args=[kind.pk])).content.decode()
    assert "−5.0\xa0%" in text
    assert "1 measured; 3 tell more (ISO 5077)" in text


def test_a_measurement_sent_twice_counts_once(measure):
    once = uuid.uuid4()
    for _ in range(2):
        measure(once=once)

    assert ShrinkTest.objects.count() == 1


def test_before_and_after_exchanged_is_told_beside_the_field(measure):
    answer = measure(before_length_mm="500", after_length_mm="1000")

    assert answer.status_code == 422
    assert "before and after are not swapped" in str(
        answer.context["testing"].errors["after_length_mm"]
    )


def test_a_kind_put_away_is_offered_no_more_and_comes_back(coordinating, kind):
    address = reverse("put_kind_away", args=[kind.pk])
    coordinating.post(address)
    assert not coordinating.get(reverse("new_linens")).context["any_kind"]

    coordinating.post(address)
    assert coordinating.get(reverse("new_linens")).context["any_kind"]


@pytest.mark.parametrize("kinds", [3, 12])
def test_kinds_ask_the_same_few_questions(
    kinds, coordinating, make_kind, django_assert_max_num_queries
):
    for number in range(kinds):
        make_kind(name=f"Kind {number}")
    with django_assert_max_num_queries(8):
        assert len(coordinating.get(reverse("linen_kinds")).context["rows"]) == kinds
