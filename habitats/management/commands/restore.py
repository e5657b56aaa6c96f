"""A backup is brought back, into an empty installation or over one."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError
from django.utils import timezone
from django.utils.formats import date_format

from habitats.backups.models.archive import BadBackup, Contents
from habitats.backups.models.in_place import DataHere, NotRestored
from habitats.backups.models.restoring import Restored, checked, restore


class Command(BaseCommand):
    help = (
        "Restore a backup: database, photos and secret key. Stop the server first. The file is "
        "checked before anything is changed. It works from SQLite to PostgreSQL and back as well."
    )
    # The database may be missing, empty or damaged: that is what this command is for.
    requires_system_checks = []

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="a backup, as manage.py backup wrote it")
        parser.add_argument(
            "--over",
            action="store_true",
            help="replace the data that are here; files are moved into a folder beside them",
        )
        parser.add_argument(
            "--check", action="store_true", help="check the file, and change nothing"
        )
        parser.add_argument(
            "--only-database", action="store_true", help="leave photos and secret key as they are"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        file: Path = options["file"]
        try:
            if options["check"]:
                self.stdout.write(f"{file} is whole. {_words(checked(file))}")
                return
            done = restore(file, over=options["over"], only_database=options["only_database"])
        except BadBackup as fault:
            raise CommandError(f"{fault} Nothing was changed.") from None
        except NotRestored as fault:
            is_asked = isinstance(fault, DataHere)
            hint = " To replace what is here, add --over." if is_asked else ""
            raise CommandError(f"{fault} Nothing was changed.{hint}") from None
        except (OSError, DatabaseError) as fault:
            raise CommandError(f"The backup was not restored: {fault}") from None
        self._tell(done)

    def _tell(self, done: Restored) -> None:
        self.stdout.write(f"Restored. {_words(done.contents)}")
        if done.rows is not None:
            self.stdout.write(f"{done.rows} rows were brought over and compared one by one.")
        if done.aside:
            self.stdout.write(
                f"What was here before is in {done.aside}. Delete it when all is well."
            )
        if done.lost:
            self.stderr.write(
                f"Warning: {len(done.lost)} of the photos that the database names are missing: "
                f"{', '.join(done.lost[:3])}. A backup of an installation with a bucket has no "
                "photos, unless it was made with --with-photos: copy them from that bucket."
            )
        if done.has_other_key:
            self.stderr.write(
                "Warning: SECRET_KEY is set to another key than that of the backup. Links of kits "
                "and log-ins hold only with the old one: it is in secret_key in DATA_DIR."
            )
        self.stdout.write("Start the server.")


def _words(contents: Contents) -> str:
    moment = date_format(timezone.localtime(contents.made_at), "j F Y, H:i")
    photos = len(contents.photos)
    return f"Made {moment}, with {photos} {'photo' if photos == 1 else 'photos'}."
