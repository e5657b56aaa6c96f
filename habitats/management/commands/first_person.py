"""Ask for the first coordinator of a new, empty installation, or be told without a terminal."""

import getpass
import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.people import Person


class Command(BaseCommand):
    help = "Add a coordinator: the first person of a new installation, or another one."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--name", help="log-in name; else FIRST_PERSON_NAME, or you are asked")
        parser.add_argument(
            "--password-file",
            type=Path,
            help="file with the password in its first line; else FIRST_PERSON_PASSWORD, or you are "
            "asked",
        )
        parser.add_argument(
            "--unless-any", action="store_true", help="do nothing if there are people already"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["unless_any"] and Person.objects.exists():
            return
        name = options["name"] or os.environ.get("FIRST_PERSON_NAME") or self._ask_name()
        person = Person(username=name, roles=Person.Role.COORDINATOR.value)
        try:
            password = _said_password(options["password_file"])
            if password:
                validate_password(password, person)
            person.set_password(password or self._ask_password(person))
            person.full_clean()
        except ValidationError as fault:
            raise CommandError(" ".join(fault.messages)) from None
        person.save()
        note(AccessEvent.Kind.ADDED, person, None)
        self.stdout.write(f"{person.username} is a coordinator and can log in.")

    def _ask_name(self) -> str:
        return _answer(input, "Log-in name of the first coordinator: ").strip()

    def _ask_password(self, person: Person) -> str:
        password = _answer(getpass.getpass, "Password: ")
        validate_password(password, person)
        if _answer(getpass.getpass, "Password again: ") != password:
            raise CommandError("The two passwords differ. Nothing was saved. Try again.")
        return password


def _said_password(file: Path | None) -> str:
    """The password without a question; empty if it is to be asked for."""
    if file is None:
        return os.environ.get("FIRST_PERSON_PASSWORD", "")
    try:
        return file.read_text().partition("\n")[0]
    except OSError as fault:
        raise CommandError(f"{file} cannot be read ({fault.strerror}).") from None


def _answer(ask: Callable[[str], str], question: str) -> str:
    try:
        return ask(question)
    except KeyboardInterrupt:
        raise CommandError("Nothing was saved.") from None
    except (EOFError, OSError):
        raise CommandError(
            "There is no terminal to ask on. Use --name and --password-file, or set "
            "FIRST_PERSON_NAME and FIRST_PERSON_PASSWORD."
        ) from None
