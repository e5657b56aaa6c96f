"""Linens from a file: so many of a kind and size, each with a label and an event of its own."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.imports import linens as columns
from habitats.linens.forms.linens import MOST_AT_ONCE
from habitats.linens.models.linens import LARGEST_MM, LEAST_MM, Linen
from habitats.records.models.imports import linens as importer

pytestmark = pytest.mark.django_db

HEAD = "own_id,pool,kind,width_mm,length_mm,number,washed,made_on\n"


@pytest.fixture
def pool(make_pool, make_kind, make_home):
    make_kind("Fleece", shrink_width=50, shrink_length=50)
    return make_pool("Depot", make_home("Ash"))


@pytest.fixture
def only_fault(dry_run, pool):
    def look(content):
        (fault,) = dry_run("linens", content).context["plan"].faults
        return fault.line, fault.column, str(fault.sentence)

    return look


def test_washed_ones_are_clean_and_new_ones_are_cut_oversize(take_in, pool):
    rows = f"A,Depot,Fleece,1400,700,3,yes,\nB,{pool.code.lower()},Fleece,700,1400,2,no,\n"
    take_in("linens", HEAD + rows)

    clean, new = (list(Linen.objects.filter(state=state)) for state in ("clean", "new"))
    assert (len(clean), len(new)) == (3, 2)
    # A liner may be turned: both are of one size.
    assert {(one.size.width_mm, one.size.length_mm) for one in (*clean, *new)} == {(700, 1400)}
    assert {one.cut_width_mm for one in clean} == {None}
    assert all(one.cut_width_mm > 700 for one in new)


def test_they_are_as_those_that_are_made_by_the_form(take_in, pool, coordinator, day):
    take_in("linens", f"{HEAD}A,Depot,Fleece,700,1400,1,yes,{day(-9)}\n")
    imported = Linen.objects.get()
    made = Linen.objects.make(
        imported.kind, imported.size, pool, day(-9), by=coordinator, washed=True
    )

    def facts(linen):
        mine = {"id", "_state", "label", "idempotency_key", "made_at", "linen_id"}
        rows = [linen, *linen.events.all()]
        return [{k: v for k, v in vars(row).items() if k not in mine} for row in rows]

    assert facts(Linen.objects.get(pk=imported.pk)) == facts(Linen.objects.get(pk=made.pk))


def test_a_row_with_an_own_number_is_known_again_whatever_else_it_says(take_in, dry_run, pool):
    take_in("linens", f"{HEAD}A,Depot,Fleece,700,1400,3,yes,\n")

    plan = dry_run("linens", f"{HEAD}A,Depot,Fleece,600,1400,5,yes,\n").context["plan"]

    assert (len(plan.new), plan.known) == (0, 1)


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("A,Loft,Fleece,700,1400,,,", "pool", "No pool in use has this name or code."),
        ("A,Depot,Jute,700,1400,,,", "kind", "No kind of linens in use has this name."),
        ("A,Depot,Fleece,700,1400,201,,", "number", "Numbers from 1 to 200 are allowed."),
        ("A,Depot,Fleece,=700,1400,,,", "width_mm", "Formulas are never calculated"),
        ("A,Depot,Fleece,700,1400,,,2027-13-01", "made_on", "This is not a valid day."),
    ],
)
def test_each_fault_is_told_with_its_column(only_fault, row, column, words):
    line, at, sentence = only_fault(f"{HEAD}{row}\n")

    assert (line, at) == (2, column)
    assert words in sentence


def test_the_same_row_twice_is_asked_to_be_told_apart(only_fault):
    row = ",Depot,Fleece,700,1400,3,yes,\n"

    assert only_fault(HEAD + row + row)[2].startswith("The row is the same as line 2.")


def test_a_file_makes_so_many_linens_at_most(only_fault, monkeypatch):
    monkeypatch.setattr(importer, "MOST_LINENS", 5)
    rows = "A,Depot,Fleece,700,1400,5,,\nB,Depot,Fleece,700,1400,1,,\n"

    line, column, _sentence = only_fault(HEAD + rows)

    assert (line, column) == (3, "number")


def test_questions_do_not_grow_with_rows(take_in, pool):
    def asked(first, rows):
        lines = (f"{n},Depot,Fleece,700,1400,2,yes,\n" for n in range(first, first + rows))
        with CaptureQueriesContext(connection) as caught:
            take_in("linens", HEAD + "".join(lines))
        return len(caught)

    asked(0, 1)
    assert asked(100, 3) == asked(200, 30)


def test_bounds_are_those_of_the_form():
    assert columns.SIDE_MM == (LEAST_MM, LARGEST_MM)
    assert columns.MOST_OF_A_ROW == MOST_AT_ONCE
