"""The commands for whoever looks after an installation."""

import pytest
from django.core.management import CommandError, call_command

from habitats.people.models.people import Person


@pytest.fixture
def typed(monkeypatch):
    """`typed("a", "b")`: what is typed at the two password questions."""

    def typed(*answers: str) -> None:
        left = iter(answers)
        monkeypatch.setattr("getpass.getpass", lambda _question: next(left))

    return typed


def test_the_first_person_becomes_a_coordinator(db, typed):
    typed("upright-disc-77", "upright-disc-77")

    call_command("first_person", name="cora")

    person = Person.objects.get(username="cora")
    assert person.is_coordinator
    assert person.check_password("upright-disc-77")


def test_two_different_passwords_keep_nothing(db, typed):
    typed("upright-disc-77", "upright-disc-78")

    with pytest.raises(CommandError, match="differ"):
        call_command("first_person", name="cora")

    assert not Person.objects.exists()


def test_a_weak_password_is_refused_with_the_reason(db, typed):
    typed("12345", "12345")

    with pytest.raises(CommandError, match="too short"):
        call_command("first_person", name="cora")


def test_a_name_that_is_taken_is_refused(coordinator, typed):
    typed("upright-disc-77", "upright-disc-77")

    with pytest.raises(CommandError, match="already exists"):
        call_command("first_person", name="cora")


def test_nobody_is_asked_where_there_are_people(coordinator):
    call_command("first_person", unless_any=True)

    assert Person.objects.count() == 1
