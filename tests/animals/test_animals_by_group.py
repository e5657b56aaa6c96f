"""Animals of groups, however many: read in one go, and by group."""

import sqlite3
from contextlib import contextmanager

import pytest
from django.db import connection

from habitats.animals.models.company import animals_by_group

pytestmark = pytest.mark.django_db


@contextmanager
def expressions_of(depth):
    """SQLite takes a thousand terms in an expression; a test has no time for so many animals."""
    limited, limit = connection.connection, sqlite3.SQLITE_LIMIT_EXPR_DEPTH
    kept = limited.setlimit(limit, depth)
    try:
        yield
    finally:
        limited.setlimit(limit, kept)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="only SQLite has the limit")
def test_more_animals_than_an_expression_has_terms_are_read(make_animal, make_group, today):
    groups = [
        make_group(*(make_animal(f"{name} {number}") for number in range(20))).pk
        for name in ("Pip", "Moss")
    ]

    with expressions_of(30):
        found = animals_by_group(groups, today)

    assert [len(found[group]) for group in groups] == [20, 20]


def test_they_come_by_name_and_only_those_who_belong(make_animal, make_group, today):
    one, other = make_group(make_animal("Pip"), make_animal("Ash")), make_group(make_animal("Moss"))

    found = animals_by_group([one.pk], today)

    assert [animal.name for animal in found[one.pk]] == ["Ash", "Pip"]
    assert other.pk not in found


def test_numbered_names_stand_in_their_order(make_animal, make_group, day):
    group = make_group(*(make_animal(f"Nova {number}") for number in (10, 9, 100)))

    (found,) = animals_by_group([group.pk], day(0)).values()

    assert [one.name for one in found] == ["Nova 9", "Nova 10", "Nova 100"]
