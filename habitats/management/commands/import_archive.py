"""Everything in again, from the archive that export_archive or the page Export wrote."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError
from django.utils import timezone
from django.utils.formats import date_format

from habitats.people.models.people import Person
from habitats.records.models.whole.bringing import BroughtIn, bring_in, check_whole
from habitats.records.models.whole.contents import NotTaken, WholeContents
from habitats.records.models.whole.tables import LEFT_OUT


class Command(BaseCommand):
    help = (
        "Bring a whole archive (manage.py export_archive) into an empty installation. Stop the "
        "server first. All of it is checked before anything is changed; each fault is one line."
    )
    # The database may be missing or empty: that is what this command is for.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the archive (a .zip)")
        parser.add_argument(
            "--over",
            action="store_true",
            help="replace the data that are here; files are moved into a folder beside them",
        )
        parser.add_argument(
            "--check", action="store_true", help="check the archive, and change nothing"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        file: Path = options["file"]
        try:
            if options["check"]:
                contents, rows = check_whole(file)
                self.stdout.write(f"{file} is whole. {_words(contents, rows)}")
                return
            self._tell(bring_in(file, over=options["over"]))
        except NotTaken as fault:
            for line in fault.faults:
                self.stderr.write(line)
            raise CommandError("Nothing was changed.", returncode=2) from None
        except (OSError, DatabaseError) as fault:
            raise CommandError(f"Nothing was imported: {fault}", returncode=2) from None

    def _tell(self, done: BroughtIn) -> None:
        self.stdout.write(f"Imported. {_words(done.contents, done.rows)}")
        if done.aside:
            self.stdout.write(
                f"What was here before is in {done.aside}. Delete it when all is well."
            )
        if done.contents.lost:
            self.stdout.write(f"{len(done.contents.lost)} photos were lost before the export.")
        self.stdout.write(f"Not in the archive: {LEFT_OUT}.")
        coordinators = Person.objects.with_role(Person.Role.COORDINATOR)
        active = coordinators.filter(is_active=True)
        names = list(active.order_by("username").values_list("username", flat=True))
        if names:
            self.stdout.write(
                f"Nobody has a password yet. Type manage.py restore_access {names[0]} "
                "--new-password, start the server, and give the others a link each under "
                "“Settings”, “People”. Links of kits and calendars have to be made again."
            )


def _words(contents: WholeContents, rows: int) -> str:
    moment = date_format(timezone.localtime(contents.made_at), "j F Y, H:i")
    photos = len(contents.photos)
    return (
        f"Version {contents.version} wrote it, {moment}: {len(contents.tables)} tables with "
        f"{rows} rows, {photos} {'photo' if photos == 1 else 'photos'}."
    )
