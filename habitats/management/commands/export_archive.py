"""Everything out in open formats, for another program or another installation."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError
from django.template.defaultfilters import filesizeformat

from habitats.backups.models.archive import private_file
from habitats.backups.models.half_made import half_made
from habitats.backups.models.snapshot import Damaged
from habitats.records.models.whole.tables import LEFT_OUT
from habitats.records.models.whole.writing import write_whole


class Command(BaseCommand):
    help = (
        "Write everything as one archive in open formats: each table as JSON lines, photos as "
        "files. manage.py import_archive brings it into an empty installation. "
        f"Not included: {LEFT_OUT}. For your own safety use manage.py backup."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("file", type=Path, help="the archive; it must not exist yet (a .zip)")

    def handle(self, *args: Any, **options: Any) -> None:
        file: Path = options["file"]
        if file.exists():
            raise CommandError(f"{file} exists already. Name a new file.", returncode=2)
        if not file.parent.is_dir():
            raise CommandError(f"There is no folder {file.parent}. Create it first.", returncode=2)
        try:
            with half_made(file.parent) as folder:
                with private_file(folder / file.name) as target:
                    done = write_whole(target)
                # A half one never carries the name of a whole one.
                (folder / file.name).rename(file)
        except (OSError, DatabaseError, Damaged) as fault:
            told = getattr(fault, "strerror", None) or str(fault)
            raise CommandError(f"No archive was written: {told}.", returncode=2) from None
        self.stdout.write(
            f"{file}: {filesizeformat(file.stat().st_size)}, {done.rows} rows and "
            f"{done.photos} {'photo' if done.photos == 1 else 'photos'}."
        )
        if done.lost:
            self.stderr.write(
                f"Warning: {len(done.lost)} of the photos that rows name are in no file: "
                f"{', '.join(done.lost[:3])}"
            )
