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


@pytest.fixture
def no_terminal(monkeypatch):
    """As a container or a timer starts a command: every question meets the end of its input."""

    def ends(_question: str) -> str:
        raise EOFError

    monkeypatch.setattr("builtins.input", ends)
    monkeypatch.setattr("getpass.getpass", ends)


def test_without_a_terminal_the_environment_answers(db, no_terminal, monkeypatch):
    monkeypatch.setenv("FIRST_PERSON_NAME", "cora")
    monkeypatch.setenv("FIRST_PERSON_PASSWORD", "upright-disc-77")

    call_command("first_person")

    assert Person.objects.get(username="cora").check_password("upright-disc-77")


def test_without_a_terminal_a_file_has_the_password(db, no_terminal, tmp_path):
    (tmp_path / "password").write_text("upright-disc-77\n")

    call_command("first_person", name="cora", password_file=tmp_path / "password")

    assert Person.objects.get(username="cora").check_password("upright-disc-77")


def test_a_weak_password_of_the_environment_is_refused(db, no_terminal, monkeypatch):
    monkeypatch.setenv("FIRST_PERSON_PASSWORD", "12345")

    with pytest.raises(CommandError, match="too short"):
        call_command("first_person", name="cora")


@pytest.mark.parametrize("name", [None, "cora"])
def test_without_a_terminal_and_an_answer_it_says_what_to_do(db, no_terminal, name):
    with pytest.raises(CommandError, match="Use --name and --password-file, or set FIRST_PERSON"):
        call_command("first_person", name=name)

    assert not Person.objects.exists()
