"""The database is made at once, and backed up before it is changed."""

import pytest
from django.core.management import CommandError, call_command

from habitats.backups.models import taking
from habitats.backups.models.schema import applied_to, missing_from, tables_there
from habitats.people.models.people import Person


@pytest.fixture
def behind(here):
    """An installation with a person, that lacks the last step of a package that it uses."""
    Person.objects.create_user("cora")
    *_, before, _last = sorted(one for one in applied_to("default") if one[0] == "axes")
    call_command("migrate", *before, verbosity=0)
    return here


def test_a_new_database_is_complete(settle, capsys):
    settle("new", is_new=False)

    call_command("upgrade")

    assert "Making the database ..." in capsys.readouterr().out
    assert missing_from("default") == []
    assert {"habitats_person", "builds_build", "django_session"} <= tables_there("default")
    call_command("migrate", check_unapplied=True)


def test_it_is_not_backed_up_while_it_is_new(settle):
    new = settle("new", is_new=False)

    call_command("upgrade")

    assert not (new.data / "backups").exists()


def test_before_a_change_there_is_a_backup(behind, capsys):
    call_command("upgrade")

    told = capsys.readouterr().out
    assert "This version changes the database in 1 step. Backing up first ..." in told
    assert len(list((behind.data / "backups").glob("*.zip"))) == 1
    assert missing_from("default") == []


def test_where_nothing_changes_there_is_none(behind):
    call_command("upgrade", without_backup=True)
    call_command("upgrade")

    assert not (behind.data / "backups").exists()


def test_without_a_backup_nothing_is_changed(behind, monkeypatch):
    def full(_target):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(taking, "snapshot", full)

    with pytest.raises(CommandError, match=r"No space left .* The database was not changed"):
        call_command("upgrade")

    assert [app for app, _name in missing_from("default")] == ["axes"]


@pytest.mark.nightly
def test_a_database_that_is_made_at_once_is_as_one_that_was_migrated(settle):
    """Half a minute of migrations against half a second."""
    columns = """
        SELECT t.name, c.name, lower(c.type), c."notnull", c.pk FROM sqlite_master t
        JOIN pragma_table_info(t.name) c WHERE t.type = 'table' ORDER BY 1, 2
    """
    indexes = """
        SELECT tbl_name, name FROM sqlite_master WHERE type IN ('index', 'trigger')
        AND name NOT LIKE 'sqlite_%' ORDER BY 1, 2
    """
    migrated = settle("migrated", is_new=False)
    call_command("migrate", verbosity=0)
    made = settle("made", is_new=False)
    call_command("upgrade")

    assert made.rows(columns) == migrated.rows(columns)
    assert named(made.rows(indexes)) == named(migrated.rows(indexes))


def named(indexes):
    """Without the hashes by which Django tells indexes of old names of columns."""
    return sorted((table, name[:-18] if "_" in name else name) for table, name in indexes)
