"""The demo brought in: people of every role, then all that stands in its story.

Nobody and nothing here is real, and no number here proves anything.
"""

import uuid
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.hashers import make_password
from django.db import transaction

from builds.demo.adoptions import fill_adoptions
from builds.demo.away import fill_away
from builds.demo.builds import fill_builds
from builds.demo.cuts import fill_cuts
from builds.demo.designs import DESIGNS
from builds.demo.faults import fill_upkeep
from builds.demo.health import fill_health
from builds.demo.homes import fill_homes
from builds.demo.linens import fill_linens
from builds.demo.overrides import fill_overrides
from builds.demo.pulls import fill_pulls
from builds.demo.store import fill_store
from builds.demo.story import HOMES as STORY
from habitats.designs.models.designs import Design
from habitats.people.models.people import Person
from habitats.structure.read import design_from

HOMES = len(STORY)
PASSWORD = "hay-before-breakfast"  # nosec B105 # of invented people, told to who makes them
# Each demo design is drawn with a UUID made from its name: a second run finds it again.
NAMES = uuid.UUID("5b0c1f6e-6f0b-4d4e-9a0e-2f1f3c7f9d11")


class NotEmpty(Exception):
    """There is somebody or something here that is not the demo's."""


@dataclass(frozen=True, slots=True)
class InventedPerson:
    """Somebody who does not exist."""

    username: str
    first_name: str
    last_name: str
    role: Person.Role


PEOPLE = (
    InventedPerson("odile", "Odile", "Farrant", Person.Role.COORDINATOR),
    InventedPerson("marek", "Marek", "Thule", Person.Role.BUILDER),
    InventedPerson("signe", "Signe", "Okafor", Person.Role.BUILDER),
    InventedPerson("ines", "Ines", "Calloway", Person.Role.FOSTER),
    InventedPerson("tobi", "Tobi", "Renn", Person.Role.LAUNDRY),
)


@transaction.atomic
def fill(today: date, *, homes: int = HOMES) -> None:
    """Bring the demo in, or what is missing of it. Raises ``NotEmpty`` and changes nothing.

    With more ``homes`` it becomes a network to measure with; those that are there stay as they are.
    """
    if has_others():
        raise NotEmpty("There are people here who are not the demo's, so nothing was changed.")
    # One hash for all: it is meant to take long, and they share their password.
    password = make_password(PASSWORD)
    people = [_person(one, password) for one in PEOPLE]
    draw_designs(people[0], NAMES)
    fill_store(people[0], today, NAMES)
    foster, builders = _of(people, Person.Role.FOSTER)[0], _of(people, Person.Role.BUILDER)
    fill_homes(people[0], foster, today, homes=homes)
    fill_overrides(people[0], today)
    fill_adoptions(people[0], today)
    fill_upkeep(people[0], foster, builders[0], today)
    fill_health(people[0], foster, today)
    fill_away(people[0], today)
    fill_linens(people[0], today)
    fill_builds(people[0], builders, today, NAMES)
    fill_pulls(builders[0], NAMES)
    fill_cuts(people[0], NAMES)


def draw_designs(by: Person, names: uuid.UUID) -> None:
    """Bring in those that are missing; ``names`` makes the UUIDs by which they are found again."""
    for document in DESIGNS:
        idempotency_key = uuid.uuid5(names, document["name"])
        Design.objects.draw(design_from(document), by=by, idempotency_key=idempotency_key)


def _of(people: list[Person], role: Person.Role) -> list[Person]:
    return [one for one in people if one.has_role(role)]


def has_others() -> bool:
    """Whether there is anybody who is not the demo's."""
    invented = [one.username for one in PEOPLE]
    return Person.objects.exclude(username__in=invented).exists()


def _person(invented: InventedPerson, password: str) -> Person:
    person, _is_new = Person.objects.get_or_create(
        username=invented.username,
        defaults={
            "first_name": invented.first_name,
            "last_name": invented.last_name,
            "roles": invented.role.value,
            "password": password,
        },
    )
    return person
