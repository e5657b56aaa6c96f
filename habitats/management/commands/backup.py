"""Database, photos and key in one file, while the server goes on."""

from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.template.defaultfilters import filesizeformat
from django.utils import timezone

from habitats.backups.models.taking import Backup, NoBackup, file_name, remove_old, take


class Command(BaseCommand):
    help = (
        "Back up the database, the photos and the secret key into one file, while the server runs. "
        "The file is read again before it counts. Without FILE it goes into BACKUP_DIR, where the "
        "newest of each of the last 7 days, 4 weeks and 12 months stay. Who has the file can read "
        "everything and log in as anybody: protect it."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "file", type=Path, nargs="?", help="the backup; it must not exist yet (a .zip)"
        )

        parser.add_argument(
            "--with-photos",
            action="store_true",
            help="also where they are in a bucket: each is then read from there",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            if options["file"] is None:
                self._into_the_folder(Path(settings.BACKUP_DIR), options["with_photos"])
            else:
                made = _new_file(options["file"])
                self._tell(take(made, from_bucket=options["with_photos"]))
        except NoBackup as fault:
            raise CommandError(str(fault)) from None

    def _into_the_folder(self, folder: Path, from_bucket: bool) -> None:
        try:
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as fault:
            raise CommandError(
                f"The folder {folder} cannot be made ({fault.strerror}). Set BACKUP_DIR to one "
                "that this user may write, on a disk with space."
            ) from None
        made = _new_file(folder / file_name(timezone.now()))
        self._tell(take(made, from_bucket=from_bucket))
        for path in remove_old(folder, made):
            self.stdout.write(f"Deleted, as newer ones are kept: {path.name}")
        if folder.stat().st_dev == Path(settings.DATA_DIR).stat().st_dev:
            self.stdout.write(
                "It is on the same disk as the data. Copy it to another machine, or set BACKUP_DIR "
                "to another disk."
            )

    def _tell(self, done: Backup) -> None:
        photos = len(done.contents.photos)
        self.stdout.write(
            f"{done.file}: {filesizeformat(done.bytes)}, the database, "
            f"{photos} {'photo' if photos == 1 else 'photos'} and the key, checked."
        )
        if not done.has_photos:
            self.stderr.write(
                "Warning: the photos are in a bucket (MEDIA_S3_BUCKET) and not in this backup. "
                "Let the service that holds them keep older versions, or add --with-photos."
            )
        if done.lost:
            self.stderr.write(
                f"Warning: {len(done.lost)} of the photos that the database names are in no "
                f"file, so not in the backup: {', '.join(done.lost[:3])}"
            )


def _new_file(target: Path) -> Path:
    if target.exists():
        raise CommandError(f"{target} exists already. Name a new file, or move the existing one.")
    if not target.parent.is_dir():
        raise CommandError(f"There is no folder {target.parent}. Create it first.")
    return target
