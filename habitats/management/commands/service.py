"""Units for systemd, for the folder and the user at hand."""

import grp
import os
import pwd
import sys
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import connection

from habitats.common.tasks import are_queued
from habitats.systemd import Setup, to_enable, units

SYSTEM = Path("/etc/systemd/system")


class Command(BaseCommand):
    help = (
        "Print the systemd units that run the server, a worker where TASKS is database, a backup "
        "each night, and the work of the night; or write them with --to."
    )
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--to", type=Path, help=f"folder to write them to, usually {SYSTEM}")
        parser.add_argument("--user", help="user that runs the server; the owner of DATA_DIR")
        parser.add_argument(
            "--bind", default="127.0.0.1:8000", help="where the server listens (127.0.0.1:8000)"
        )
        parser.add_argument("--workers", type=int, default=2, help="processes of the server (2)")
        parser.add_argument("--name", default="habitats", help="name of the units (habitats)")

    def handle(self, *args: Any, **options: Any) -> None:
        setup = self._setup(options)
        made = units(setup)
        target: Path | None = options["to"]
        if target is None:
            for name, text in made.items():
                self.stdout.write(f"# --- {SYSTEM / name} ---\n{text}")
        else:
            _write(made, target)
            self.stdout.write(f"Written to {target}: {', '.join(made)}.")
        self.stdout.write(
            f"# Written to no file yet. To write them, as root: manage.py service --to {SYSTEM}\n"
            if target is None
            else _what_to_type(setup)
        )
        for folder in setup.writes:
            if not folder.is_dir():
                self.stderr.write(
                    f"Warning: there is no folder {folder} yet. Before the first start, type: "
                    f"install -d -m 700 -o {setup.user} -g {setup.group} {folder}"
                )
        if setup.user == "root":
            self.stderr.write(
                "Warning: the server would run as root. Make a user for it, give it DATA_DIR "
                "(chown), and name it with --user."
            )

    def _setup(self, options: dict[str, Any]) -> Setup:
        data = Path(settings.DATA_DIR)
        user = _user(options["user"] or (data.owner() if data.exists() else _current_user()))
        folders = [data, Path(settings.BACKUP_DIR), Path(settings.MEDIA_ROOT)]
        if connection.vendor == "sqlite":
            folders.append(Path(connection.settings_dict["NAME"]).parent)
        elsewhere = [one for one in folders[1:] if data not in (one, *one.parents)]
        return Setup(
            folder=Path(settings.BASE_DIR),
            python_folder=Path(sys.executable).parent,
            user=user.pw_name,
            group=grp.getgrgid(user.pw_gid).gr_name,
            writes=(data, *elsewhere),
            time_zone=settings.TIME_ZONE,
            bind=options["bind"],
            workers=options["workers"],
            name=options["name"],
            has_own_database=connection.vendor == "sqlite",
            has_worker=are_queued(),
        )


def _current_user() -> str:
    return pwd.getpwuid(os.geteuid()).pw_name


def _user(name: str) -> pwd.struct_passwd:
    try:
        return pwd.getpwnam(name)
    except KeyError:
        raise CommandError(
            f"There is no user {name}. Make one: adduser --system --group {name}"
        ) from None


def _write(made: dict[str, str], target: Path) -> None:
    try:
        for name, text in made.items():
            (target / name).write_text(text)
    except OSError as fault:
        raise CommandError(
            f"{fault.filename} cannot be written ({fault.strerror}). Type it as root, or name "
            "another folder."
        ) from None


def _what_to_type(setup: Setup) -> str:
    names = " ".join(to_enable(setup))
    return f"Now type, as root: systemctl daemon-reload && systemctl enable --now {names}"
