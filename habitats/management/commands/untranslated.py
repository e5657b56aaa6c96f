"""`untranslated`: the sentences that readers of a language still get in English."""

import subprocess
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

# Of a catalogue, what has no translation, or one that `msgmerge` only guessed.
UNSAID = (("--untranslated", "not translated"), ("--only-fuzzy", "guessed"))


class Command(BaseCommand):
    help = "List the sentences that readers of a language still get in English."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "language",
            nargs="?",
            choices=sorted({path.parts[-3] for path in catalogues()}),
            help="one that has a catalogue, also if it is not offered yet; without it, all of them",
        )

    def handle(self, *args: Any, language: str | None, **options: Any) -> None:
        count = 0
        for catalogue in catalogues(language):
            for how, said in UNSAID:
                for sentence in sentences(catalogue, how):
                    count += 1
                    self.stdout.write(f"{catalogue.parts[-3]}: {said}: {sentence}")
        self.stdout.write(f"{count} sentences are still in English.")


def catalogues(language: str | None = None) -> list[Path]:
    """The project's `.po` files, of one language or of all."""
    found = (
        path
        for folder in settings.LOCALE_PATHS
        for path in Path(folder).glob(f"{language or '*'}/LC_MESSAGES/*.po")
    )
    return sorted(found)


def sentences(catalogue: Path, how: str) -> list[str]:
    """The English sentences that `msgattrib` finds with its option `how`."""
    try:
        done = subprocess.run(  # nosec B603 B607 # no shell, and on a developer's machine alone
            ["msgattrib", how, "--no-obsolete", "--no-wrap", str(catalogue)],
            capture_output=True,
            text=True,
            check=True,
        )
    except (OSError, subprocess.CalledProcessError) as fault:
        raise CommandError(f"msgattrib could not read {catalogue}: {fault}") from fault
    lines = done.stdout.splitlines()
    return [line.removeprefix("msgid ").strip('"') for line in lines if _is_sentence(line)]


def _is_sentence(line: str) -> bool:
    return line.startswith('msgid "') and line != 'msgid ""'
