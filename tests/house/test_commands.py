"""The commands for whoever looks after an installation."""

import sqlite3
from contextlib import closing

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


@pytest.mark.django_db(transaction=True)
def test_a_backup_holds_what_was_kept(make_person, tmp_path):
    make_person("kept")

    call_command("backup", tmp_path / "copy.sqlite3")

    with closing(sqlite3.connect(tmp_path / "copy.sqlite3")) as copy:
        assert copy.execute("select username from habitats_person").fetchall() == [("kept",)]
    assert [path.name for path in tmp_path.iterdir()] == ["copy.sqlite3"]


def test_a_backup_does_not_write_over_a_file(db, tmp_path):
    (tmp_path / "old").write_text("an older backup")

    with pytest.raises(CommandError, match="exists already"):
        call_command("backup", tmp_path / "old")

    assert (tmp_path / "old").read_text() == "an older backup"


def test_a_backup_into_no_folder_is_refused(db, tmp_path):
    with pytest.raises(CommandError, match="There is no folder"):
        call_command("backup", tmp_path / "absent" / "copy.sqlite3")
