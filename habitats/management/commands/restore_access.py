"""The way back in for the owner of the machine: locked out, password forgotten, deactivated."""

import getpass
from typing import Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError, CommandParser

from habitats.people.models.access_events import AccessEvent, note
from habitats.people.models.ending import end_all
from habitats.people.models.first_passwords import set_own_password
from habitats.people.models.log_in_locks import locks_of, unlock
from habitats.people.models.people import Person
from habitats.people.models.second_factor import remove
from habitats.rescue.models.rescue import Rescue

Kind = AccessEvent.Kind


class Command(BaseCommand):
    help = (
        "Let a person log in again: end a lock after wrong passwords and activate the account. "
        "Without a name, list all people."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", nargs="?", help="log-in name")
        parser.add_argument(
            "--new-password", action="store_true", help="ask for a new password and set it"
        )
        parser.add_argument(
            "--coordinator", action="store_true", help="make the person a coordinator as well"
        )
        parser.add_argument(
            "--without-second-factor",
            action="store_true",
            help="ask the person for no code until they set it up again",
        )
        parser.add_argument(
            "--no-second-factor-rule",
            action="store_true",
            help="turn off the setting that every coordinator needs a second factor",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["no_second_factor_rule"]:
            Rescue.objects.update(coordinators_need_second_factor=False)
            self.stdout.write(
                "Coordinators log in without a second factor, unless they set one up."
            )
        if options["name"] is None:
            if not options["no_second_factor_rule"]:
                self._list()
            return
        person = self._person(options["name"])
        done: dict[AccessEvent.Kind, str] = {}
        # Asked first: a password that is refused leaves everything as it was.
        if options["new_password"]:
            set_own_password(person, self._ask_password(person))
            done[Kind.PASSWORD_SET] = "has a new password"
        done |= _restored(person, as_coordinator=options["coordinator"])
        person.save()
        if options["new_password"]:
            end_all(person)
        if options["without_second_factor"] and remove(person):
            done[Kind.SECOND_FACTOR_OFF] = "is asked for no second factor"
        if unlock(person.username):
            done[Kind.UNLOCKED] = "unlocked"
        for kind in done:
            note(kind, person, None)
        nothing = "can log in already. Forgotten password: --new-password"
        self.stdout.write(f"{person.username}: {', '.join(done.values()) or nothing}.")

    def _list(self) -> None:
        known = Person.objects.filter(erased_on=None)
        people = list(known.order_by("-is_active", "roles", "username"))
        locked = locks_of([one.username for one in people])
        for one in people:
            marks = [
                one.get_roles_display().lower(),
                *([] if one.is_active else ["deactivated"]),
                *(["locked"] if one.username in locked else []),
            ]
            self.stdout.write(f"{one.username}  {', '.join(marks)}")
        if not people:
            self.stdout.write("There are no people yet. Add the first with manage.py first_person.")

    def _person(self, name: str) -> Person:
        found = Person.objects.filter(username=name, erased_on=None)
        person = found.select_related("same_as").first()
        if person is not None and person.same_as is not None:
            kept = person.same_as.username
            raise CommandError(f"{name} was merged into {kept}. Give that name instead.")
        if person is not None:
            return person
        coordinators = Person.objects.with_role(Person.Role.COORDINATOR).order_by("username")
        there_are = ", ".join(coordinators.values_list("username", flat=True)) or "none"
        raise CommandError(
            f"No person has the log-in name {name!r}. Capital letters count. "
            f"Coordinators: {there_are}. To list all names, leave the name out."
        )

    def _ask_password(self, person: Person) -> str:
        password = getpass.getpass("New password: ")
        try:
            validate_password(password, person)
        except ValidationError as fault:
            raise CommandError(" ".join(fault.messages)) from None
        if getpass.getpass("New password again: ") != password:
            raise CommandError("The two passwords differ. Nothing was changed. Try again.")
        return password


def _restored(person: Person, *, as_coordinator: bool) -> dict[AccessEvent.Kind, str]:
    """What had to be changed so that the person may log in, in words."""
    done: dict[AccessEvent.Kind, str] = {}
    if not person.is_active:
        person.is_active = True
        done[Kind.ACTIVATED] = "activated"
    if as_coordinator and not person.is_coordinator:
        person.add_role(Person.Role.COORDINATOR)
        done[Kind.ROLE_CHANGED] = "is a coordinator now"
    return done
