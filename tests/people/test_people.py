"""What the database itself refuses about people."""

import pytest
from django.db import IntegrityError, transaction

from habitats.people.models.people import Person


@pytest.mark.parametrize(
    ("field", "value"), [("roles", "owner"), ("units", "cubits"), ("paper", "A5")]
)
def test_an_unknown_choice_is_refused_by_the_database(coordinator, field, value):
    with pytest.raises(IntegrityError, match=f"person_{field}"), transaction.atomic():
        Person.objects.filter(pk=coordinator.pk).update(**{field: value})


def test_a_new_person_is_a_builder_who_reads_millimetres(db):
    person = Person.objects.create_user("new")

    assert (person.roles, person.units, person.paper) == ("builder", "metric", "A4")


def test_a_person_is_shown_by_first_name_else_by_log_in_name(db):
    assert str(Person(username="cora", first_name="Cora", last_name="Lind")) == "Cora"
    assert str(Person(username="cora", last_name="Lind")) == "cora"


def test_coordinators_and_oneself_read_a_name_in_full(coordinator, builder, foster):
    assert foster.name_for(coordinator) == "Fay Odell"
    assert foster.name_for(foster) == "Fay Odell"
    assert foster.name_for(builder) == "Fay"
    assert foster.name_for(None) == "Fay"
