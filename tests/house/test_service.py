"""Units for systemd: read by systemd itself where it is, and by its own rules of a file (INI)."""

import configparser
import shutil
import subprocess
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from habitats.start import BOOT_FAULT
from habitats.systemd import FAULT_AT_START, Setup, to_enable, units

SETUP = Setup(
    folder=Path("/srv/habitats"),
    python_folder=Path("/srv/habitats/.venv/bin"),
    user="daemon",
    group="daemon",
    writes=(Path("/srv/data"),),
    time_zone="Europe/Dublin",
)


def read(text: str) -> configparser.ConfigParser:
    found = configparser.ConfigParser(interpolation=None, strict=False)
    found.optionxform = str  # type: ignore[assignment,method-assign]
    found.read_string(text)
    return found


def test_the_server_starts_with_the_machine_and_upgrades_first():
    unit = read(units(SETUP)["habitats.service"])

    assert unit["Service"]["ExecStartPre"] == "/srv/habitats/.venv/bin/python manage.py upgrade"
    assert unit["Service"]["ExecStart"].startswith("/srv/habitats/.venv/bin/gunicorn habitats.wsgi")
    assert unit["Service"]["WorkingDirectory"] == "/srv/habitats"
    assert unit["Install"]["WantedBy"] == "multi-user.target"


def test_all_run_as_the_user_and_write_to_the_data_alone():
    services = [read(text) for name, text in units(SETUP).items() if name.endswith(".service")]

    assert len(services) == 3
    for unit in services:
        assert unit["Service"]["User"] == "daemon"
        assert unit["Service"]["ProtectSystem"] == "strict"
        assert unit["Service"]["ReadWritePaths"] == "/srv/data"


@pytest.mark.parametrize(
    ("timer", "when"),
    [
        ("habitats-backup", "*-*-* 03:15:00 Europe/Dublin"),
        ("habitats-night", "*-*-* 00:05:00 Europe/Dublin"),
    ],
)
def test_each_night_has_its_work_by_the_rescues_clock(timer, when):
    made = units(SETUP)

    assert read(made[f"{timer}.timer"])["Timer"]["OnCalendar"] == when
    assert read(made[f"{timer}.timer"])["Timer"]["Persistent"] == "true"
    assert f"{timer}.service" in made


def test_the_work_of_the_night_is_reading_and_tidying():
    text = units(SETUP)["habitats-night.service"]

    assert [line.split()[-1] for line in text.splitlines() if line.startswith("ExecStart=")] == [
        "read_enclosures",
        "tidy",
    ]


def test_a_server_that_cannot_start_is_not_started_again_and_again():
    unit = read(units(SETUP)["habitats.service"])

    assert FAULT_AT_START == BOOT_FAULT
    assert unit["Service"]["RestartPreventExitStatus"] == str(BOOT_FAULT)


def test_what_is_enabled_is_there_and_says_when_it_starts():
    made = units(SETUP)

    assert all("[Install]" in made[name] for name in to_enable(SETUP))
    assert {name for name, text in made.items() if "[Install]" in text} == set(to_enable(SETUP))


def test_a_worker_has_a_unit_of_its_own_where_there_is_one():
    with_worker = SETUP._replace(has_worker=True)
    unit = read(units(with_worker)["habitats-worker.service"])

    assert unit["Service"]["ExecStart"] == "/srv/habitats/.venv/bin/python manage.py worker"
    assert "habitats-worker.service" in to_enable(with_worker)
    assert not any("worker" in name for name in units(SETUP))


def test_postgresql_is_waited_for():
    assert "postgresql" not in units(SETUP)["habitats.service"]

    unit = read(units(SETUP._replace(has_own_database=False))["habitats.service"])
    assert unit["Unit"]["After"] == "network.target postgresql.service"


@pytest.mark.parametrize("folder", ["/srv/habitats", "/srv/our rescue, 100 %"])
def test_systemd_takes_them(tmp_path, folder):
    if shutil.which("systemd-analyze") is None:
        pytest.skip("there is no systemd on this machine; the tests above read the files")
    root = tmp_path / folder.removeprefix("/")
    (root / ".venv/bin").mkdir(parents=True)
    for name in ("python", "gunicorn"):
        (root / ".venv/bin" / name).write_text("#!/bin/sh\n")
        (root / ".venv/bin" / name).chmod(0o755)
    setup = SETUP._replace(
        folder=root, python_folder=root / ".venv/bin", writes=(root,), has_worker=True
    )
    (tmp_path / "units").mkdir()
    for name, text in units(setup).items():
        (tmp_path / "units" / name).write_text(text)

    done = subprocess.run(
        ["systemd-analyze", "verify", *sorted((tmp_path / "units").iterdir())],
        capture_output=True,
        text=True,
    )

    ours = [line for line in done.stderr.splitlines() if "habitats" in line]
    assert done.returncode == 0, done.stderr
    assert ours == []


def test_they_are_printed_with_where_to_put_them(capsys):
    call_command("service", user="daemon")

    told = capsys.readouterr().out
    assert "# --- /etc/systemd/system/habitats-backup.timer ---" in told
    assert "manage.py service --to /etc/systemd/system" in told


def test_they_are_written_and_what_to_type_is_told(tmp_path, capsys):
    call_command("service", user="daemon", to=tmp_path)

    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(units(SETUP))
    assert "systemctl enable --now habitats.service" in capsys.readouterr().out


def test_a_user_that_is_not_there_is_told():
    with pytest.raises(CommandError, match="There is no user nobody-of-this-name"):
        call_command("service", user="nobody-of-this-name")


def test_a_server_as_root_is_warned_of(capsys):
    call_command("service", user="root")

    assert "would run as root" in capsys.readouterr().err
