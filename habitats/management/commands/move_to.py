"""From SQLite to PostgreSQL, checked row by row."""

import os
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from django.core.exceptions import ImproperlyConfigured
from django.core.management.base import BaseCommand, CommandError, CommandParser

from habitats.backups.models.moving import NotMoved, move_to
from habitats.environment import database_at

URL_NAME = "MOVE_TO_URL"


class Command(BaseCommand):
    help = (
        "Copy all rows to the empty database at URL and compare them one by one. Stop the server "
        "first. The database of now stays as it is. Photos and key stay in DATA_DIR."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "url",
            nargs="?",
            help="such as postgres://user@host/name; with a password, other users of this machine "
            "can read it while the command runs, so better one of the two below",
        )
        parser.add_argument(
            "--url-file", type=Path, help=f"file with the URL in its first line; else {URL_NAME}"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        url = options["url"] or _url_from(options["url_file"])
        if options["url"] and urlsplit(url).password:
            self.stderr.write(
                "Warning: other users of this machine can read a password on the command line. "
                f"Put the URL into a file for --url-file, or into {URL_NAME}."
            )
        try:
            moved = move_to(database_at(url, "URL"))
        except ImproperlyConfigured as fault:
            raise CommandError(str(fault)) from None
        except NotMoved as fault:
            raise CommandError(f"{fault} Nothing was moved.") from None
        where = "the environment" if os.environ.get("DATABASE_URL") else "the file .env"
        self.stdout.write(f"{moved} rows were copied and compared one by one.")
        self.stdout.write(
            f"Now set DATABASE_URL to the new address, in {where}, then start the server. "
            "The old database is as it was: nothing that is recorded from now on is in it."
        )


def _url_from(file: Path | None) -> str:
    """From the file, else from the environment."""
    if file is None:
        url = os.environ.get(URL_NAME, "")
        if not url:
            raise CommandError(f"Where to? Give a URL, --url-file, or {URL_NAME}.")
        return url
    try:
        return file.read_text(encoding="utf-8").strip().partition("\n")[0].strip()
    except (OSError, UnicodeDecodeError) as fault:
        raise CommandError(f"{file} cannot be read: {fault}.") from None
