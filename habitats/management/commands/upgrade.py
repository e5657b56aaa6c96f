"""The database is made, or brought to this version of the program; it is backed up before."""

from typing import Any

from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError, connection

from habitats.backups.models.schema import filled, make_new, missing_from, tables_there
from habitats.older import too_old


class Command(BaseCommand):
    help = (
        "Make the database, or bring it to this version of the program. Where something changes, "
        "a backup is made first. The service does this each time it starts."
    )
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--without-backup", action="store_true", help="change the database without a backup"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            is_new = not tables_there("default")
            fault, missing = too_old(connection), missing_from("default")
        except DatabaseError as fault_of_it:
            told = (str(fault_of_it).strip().splitlines() or ["no reason is given"])[0]
            raise CommandError(f"The database does not answer: {told}") from None
        if fault:
            raise CommandError(fault)
        if is_new:
            self._say("Making the database ...")
            make_new("default")
        elif missing:
            self._back_up(len(missing), is_wanted=not options["without_backup"])
            self._say(f"Bringing the database to this version, {_steps(len(missing))} ...")
        # Also without a step: triggers are put in place, and what was worked out is forgotten.
        call_command("migrate", verbosity=0, skip_checks=True)

    def _back_up(self, steps: int, *, is_wanted: bool) -> None:
        if not is_wanted or not filled("default"):
            return
        self._say(f"This version changes the database in {_steps(steps)}. Backing up first ...")
        try:
            call_command("backup", stdout=self.stdout, stderr=self.stderr)
        except CommandError as fault:
            raise CommandError(
                f"{fault} The database was not changed. Mend that, or add --without-backup."
            ) from None
        self._say("To go back to the version before, see “New versions” in README.md.")

    def _say(self, words: str) -> None:
        self.stdout.write(words)
        self.stdout.flush()


def _steps(number: int) -> str:
    return "1 step" if number == 1 else f"{number} steps"
