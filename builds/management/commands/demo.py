"""Fill an empty installation with an invented rescue."""

from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.utils import timezone

from builds.demo.rescue import HOMES, PASSWORD, PEOPLE, NotEmpty, fill, has_others
from builds.kits.models.kit_links import KitLink
from habitats.common.row_counts import count_rows
from habitats.people.models.people import Person

MOST_HOMES = 20_000


class Command(BaseCommand):
    help = "Fill an empty database with an invented rescue to explore. A real one is never changed."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--if-empty", action="store_true", help="do nothing if there are people already"
        )
        parser.add_argument(
            "--warn", action="store_true", help="only say so if people of the demo are here"
        )
        parser.add_argument(
            "--homes", type=int, default=HOMES, help="number of homes, each with its enclosures"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if options["warn"]:
            self._warn()
            return
        if options["if_empty"] and Person.objects.exists():
            if not has_others():
                self._tell_names()
            return
        homes = options["homes"]
        if not 1 <= homes <= MOST_HOMES:
            raise CommandError(f"--homes {homes} given; 1 to {MOST_HOMES} are allowed.")
        self.stdout.write("Filling in an invented rescue, about half a minute ...")
        self.stdout.flush()
        try:
            fill(timezone.localdate(), homes=homes)
        except NotEmpty as reason:
            raise CommandError(
                f"{reason} Set DATABASE_URL to an empty database, or move the folder data away."
            ) from None
        count_rows()
        self._tell_names()

    def _warn(self) -> None:
        invented = Person.objects.filter(username__in=[one.username for one in PEOPLE])
        names = [one.username for one in invented if one.check_password(PASSWORD)]
        if names:
            self.stdout.write(
                f"Warning: people of the demo are in this database ({', '.join(names)}), with the "
                "password that everybody can read. To start empty: stop, move the folder "
                f"{settings.DATA_DIR} away, and start again."
            )

    def _tell_names(self) -> None:
        self.stdout.write("This is the demo: all people are invented. Log in as:")
        for person in PEOPLE:
            self.stdout.write(f"  {person.username:8}{PASSWORD}   {person.role.label.lower()}")
        self.stdout.write("Or open one of these addresses as an adopter, without an account:")
        for link in KitLink.objects.open(timezone.localdate()).select_related("build"):
            may = "can tick" if link.may_tick else "can read"
            self.stdout.write(f"  /k/{link.token}/   {may} {link.build}")
