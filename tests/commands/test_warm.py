"""`manage.py warm`, and the check that asks for it."""

import pytest
from django.core.management import CommandError, call_command

from builds.checks import machine_code_is_made
from builds.cutting import compiled


def test_warm_makes_machine_code_and_the_check_is_content(capsys):
    call_command("warm")

    assert "ready" in capsys.readouterr().out
    assert machine_code_is_made() == []


def test_missing_machine_code_is_a_warning(monkeypatch):
    monkeypatch.setattr(compiled, "folders", lambda: ())

    (warning,) = machine_code_is_made()

    assert warning.id == "builds.W001"
    assert "make install" in warning.hint


def test_a_missing_package_is_one_line(monkeypatch):
    monkeypatch.setattr(compiled, "import_machine", lambda: None)

    with pytest.raises(CommandError, match="numba is missing"):
        call_command("warm")
