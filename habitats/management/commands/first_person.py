"""Ask for the first coordinator of a new, empty installation."""

import getpass
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from habitats.people.models.people import Person


class Command(BaseCommand):
    help = "Add a coordinator: the first person of a new installation, or another one."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("--name", help="log-in name; you are asked if you leave it out")
        parser.add_argument(
            "--unless-any", action="store_true", help="do nothing if there are people already"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["unless_any"] and Person.objects.exists():
            return
        person = Person(username=options["name"] or self._ask_name(), role=Person.Role.COORDINATOR)
        try:
            person.set_password(self._ask_password(person))
            person.full_clean()
        except ValidationError as fault:
            raise CommandError(" ".join(fault.messages)) from None
        person.save()
        self.stdout.write(f"{person.username} is a coordinator and can log in.")

    def _ask_name(self) -> str:
        try:
            return input("Log-in name of the first coordinator: ").strip()
        except EOFError:
            raise CommandError("There is no terminal to ask on. Use --name.") from None

    def _ask_password(self, person: Person) -> str:
        password = getpass.getpass("Password: ")
        validate_password(password, person)
        if getpass.getpass("Password again: ") != password:
            raise CommandError("The two passwords differ. Nothing was saved. Try again.")
        return password
