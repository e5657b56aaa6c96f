"""An invented rescue to look around in: people of every role and designs of many shapes.

Nobody and nothing here is real, and no number here proves anything.
"""

import uuid
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction

from builds.demo.builds import fill_builds
from builds.demo.faults import fill_upkeep
from builds.demo.homes import fill_homes
from builds.demo.linens import fill_linens
from builds.demo.pulls import fill_pulls
from builds.demo.store import fill_store
from habitats.designs.models.designs import Design
from habitats.people.models.people import Person
from habitats.structure.read import FORMAT, design_from

HOMES = 12
PASSWORD = "hay-before-breakfast"
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


def _document(
    name: str, panel_mm: int, *levels: tuple[int, int, list[str]], **more: Any
) -> dict[str, Any]:
    """The file of a design; each level is its height, its walls' tiers and its plan."""
    return {
        "format": FORMAT,
        "name": name,
        "species": more.pop("species", "guinea_pig"),
        "panel": {"size_mm": panel_mm, "squares": more.pop("squares", 9)},
        "tray": {"wall_mm": 150, "clearance_mm": 5, "round_mm": 5},
        "levels": [{"z": z, "wall_panels": walls, "plan": plan} for z, walls, plan in levels],
        **more,
    }


DESIGNS = (
    _document("Bay window", 352, (0, 1, ["##..##", "##..##", "######"])),
    _document(
        "Long wall with a loft",
        352,
        (0, 1, ["######", "######"]),
        (1, 1, ["....##", "....##"]),
        ramps=[{"level": 1, "row": 1, "col": 4, "side": "W"}],
    ),
    _document("Under the stairs", 346, (0, 1, ["#####", ".###.", ".###."])),
    _document("Round the pillar", 402, (0, 1, ["####", "#..#", "####"]), squares=10),
    _document(
        "Rabbit yard",
        498,
        (0, 2, ["######", "######", "####..", "####.."]),
        (1, 1, ["##....", "......", "......", "......"]),
        squares=12,
        species="rabbit",
        ramps=[{"level": 1, "row": 0, "col": 1, "side": "E"}],
    ),
    _document("Rabbit room", 512, (0, 2, ["######"] * 4), squares=12, species="rabbit"),
    _document(
        "Quarantine pair",
        348,
        (0, 1, ["####", "####"]),
        dividers=[
            {"z": 0, "row": 0, "col": 1, "side": "E"},
            {"z": 0, "row": 1, "col": 1, "side": "E"},
        ],
        lid=True,
    ),
    _document(
        "Three floors by the door",
        352,
        (0, 1, ["########", "########"]),
        (1, 1, ["####....", "####...."]),
        (2, 1, ["#.......", "#......."]),
        ramps=[
            {"level": 1, "row": 1, "col": 3, "side": "E"},
            {"level": 2, "row": 0, "col": 0, "side": "E"},
        ],
    ),
    _document("Landing, not finished", 352, (0, 1, ["###..", "##..#", "....#"])),
)


@transaction.atomic
def fill(today: date, *, homes: int = HOMES) -> None:
    """Bring the demo in, or what is missing of it. Raises ``NotEmpty`` and changes nothing.

    With more ``homes`` it becomes a network to measure with; those that are there stay as they are.
    """
    if has_others():
        raise NotEmpty("There are people here who are not the demo's, so nothing was changed.")
    people = [_person(one) for one in PEOPLE]
    for document in DESIGNS:
        idempotency_key = uuid.uuid5(NAMES, document["name"])
        Design.objects.draw(design_from(document), by=people[0], idempotency_key=idempotency_key)
    fill_store(people[0], NAMES)
    foster, builders = _of(people, Person.Role.FOSTER)[0], _of(people, Person.Role.BUILDER)
    fill_homes(people[0], foster, today, homes=homes)
    fill_upkeep(people[0], foster, builders[0], today)
    fill_linens(people[0], today)
    fill_builds(people[0], builders, today, NAMES)
    fill_pulls(builders[0], NAMES)


def _of(people: list[Person], role: Person.Role) -> list[Person]:
    return [one for one in people if one.role == role]


def has_others() -> bool:
    """Whether there is anybody who is not the demo's."""
    invented = [one.username for one in PEOPLE]
    return Person.objects.exclude(username__in=invented).exists()


def _person(invented: InventedPerson) -> Person:
    person, is_new = Person.objects.get_or_create(
        username=invented.username,
        defaults={
            "first_name": invented.first_name,
            "last_name": invented.last_name,
            "role": invented.role,
        },
    )
    if is_new:
        person.set_password(PASSWORD)
        person.save()
    return person
