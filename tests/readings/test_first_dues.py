"""The first of what is due, of many kinds at once, against a plain reading of all rows."""

import random

import pytest

from habitats.board.pages.folds import KINDS, slices_of
from habitats.board.pages.urgent import JUST_DUE, slices_now
from habitats.readings.models.due_rows import (
    CHANGE,
    NAILS,
    RECHECK,
    REPORTED,
    SAFETY_CHECK,
    TEETH,
    VACCINATION,
    DueRow,
)
from habitats.readings.models.first_dues import DueSlice, ShownDue, first_dues
from habitats.welfare.ahead import DueKind

pytestmark = pytest.mark.django_db
OF_HEALTH = (RECHECK, VACCINATION, NAILS, TEETH, REPORTED)
ALL_KINDS = (*(one.value for one in DueKind), SAFETY_CHECK, CHANGE, *OF_HEALTH)


@pytest.fixture
def rows(make_home, make_pool, make_enclosure, make_animal, foster, day):
    """Two hundred: in a foster's home with a pool, in one without, nowhere, and of an animal."""
    own, other = make_home("Wren", people=[foster]), make_home("Elm", area="North")
    make_pool(home=own)
    own.refresh_from_db()
    places = [
        (make_enclosure(label), home) for label, home in zip("ABC", (own, other, None), strict=True)
    ]
    animal, chance = make_animal(), random.Random(5)

    def some(number):
        enclosure, home = chance.choice(places)
        owner = {"enclosure": enclosure, "home": home} if number % 9 else {"animal": animal}
        return DueRow(
            kind=chance.choice(ALL_KINDS),
            day=day(chance.randint(-20, 40)),
            until=chance.choice([None, day(50)]),
            animals=[["K3F7H", "Pip"]],
            sentence_json="Weigh Pip.",
            more={"bare": number},
            **owner,
        )

    DueRow.objects.all().delete()
    return DueRow.objects.bulk_create(some(number) for number in range(200))


def as_shown(row):
    enclosure, home = row.enclosure, row.home
    place = (home.code, home.name, home.area) if home else ("", "", "")
    told = (row.kind, row.day, row.until, row.animals, row.sentence_json, row.more)
    return ShownDue(*told, enclosure.code, enclosure.label, *place)


def plainly(rows, person, one):
    def is_seen(row):
        if row.enclosure is None:
            return False
        if row.kind == CHANGE and (row.home is None or row.home.pool is None):
            return False
        return person.is_coordinator or (row.home is not None and person in row.home.people.all())

    found = [
        row
        for row in sorted(rows, key=lambda row: (row.day, row.pk))
        if row.kind in one.kinds and row.day <= one.last and is_seen(row)
        if one.after is None or row.day > one.after
    ]
    return [as_shown(row) for row in found[: one.most]], len(found)


@pytest.mark.parametrize("role", ["coordinator", "foster"])
def test_they_are_the_first_of_all_rows_that_the_person_sees(role, rows, today, request):
    person = request.getfixturevalue(role)
    slices = {**slices_now(today), **slices_of(KINDS, today)}
    expected = {name: plainly(rows, person, one) for name, one in slices.items()}

    found = first_dues(person, slices)

    assert {name: tuple(one) for name, one in found.items()} == {
        name: some for name, some in expected.items() if some[1]
    }
    assert sum(number for _some, number in expected.values()) > 20


def test_today_asks_for_every_kind_that_is_due_now(today):
    slices = {**slices_now(today), **slices_of(KINDS, today)}

    now = {kind for one in slices.values() if one.after is None for kind in one.kinds}

    # What is too small is told from the readings.
    assert now == set(ALL_KINDS) - {DueKind.OUTGROWN}
    assert DueKind.OUTGROWN not in JUST_DUE


def test_a_question_costs_one_query_whatever_is_due(
    rows, today, coordinator, django_assert_num_queries
):
    with django_assert_num_queries(1):
        first_dues(coordinator, {"all": DueSlice(ALL_KINDS, today, 16)})


def test_a_page_of_rows_tells_of_each_what_the_first_of_them_tell(rows, today, coordinator):
    kinds = tuple(one for one in ALL_KINDS if one != CHANGE)
    of_all = DueRow.objects.filter(enclosure__isnull=False, day__lte=today, kind__in=kinds)

    found = first_dues(coordinator, {"all": DueSlice(kinds, today, 500)})["all"]

    assert ShownDue.of(of_all.by_day()) == found.rows
