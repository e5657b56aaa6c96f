"""Homes beyond those of the story, drawn from a generator with a set seed: thousands to measure
with. All invented.
"""

from collections.abc import Iterator, Sequence
from random import Random
from typing import Any

from builds.demo.rows import Network, weigh
from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent, EnclosureState
from habitats.enclosures.models.parts import Component
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home, HomeContact
from habitats.structure.design import Species

BLOCK = 12  # homes that share a depot
YEARS_DAYS = 3 * 365

AREAS = ("Larkrise", "Ash Lane", "Saltmarsh", "Upper Tarn", "Millrace", "Quarry Side", "Fenny End")
PEOPLE = (
    "Ottoline",
    "Barnaby",
    "Sunniva",
    "Kofi",
    "Perpetua",
    "Idris",
    "Marigold",
    "Anselm",
    "Zuleika",
    "Thaddeus",
    "Noor",
    "Clementine",
    "Ruben",
    "Hester",
    "Osric",
    "Lindiwe",
    "Jago",
    "Winifred",
)
ANIMALS = (
    "Biscuit",
    "Clover",
    "Nettle",
    "Mustard",
    "Thimble",
    "Pebble",
    "Sorrel",
    "Bramble",
    "Cocoa",
    "Fig",
    "Juniper",
    "Marmalade",
    "Nutmeg",
    "Otter",
    "Parsnip",
    "Quince",
    "Rhubarb",
    "Sesame",
    "Tansy",
    "Truffle",
    "Umber",
    "Violet",
    "Walnut",
    "Yarrow",
    "Basil",
    "Dumpling",
    "Ember",
)
BIRDS = "two budgerigars"
# Who lives together, by sex; a small c is castrated.
GROUPS = ("FF", "FF", "FcF", "FFF", "MM", "FFcF", "FFFF", "cF", "F")


def draw_home(
    net: Network, number: int, designs: dict[str, list[tuple[Any, dict[str, int]]]]
) -> None:
    random = net.random
    is_depot = number % BLOCK == 1
    name = f"Depot {number // BLOCK}" if is_depot else f"{PEOPLE[number % len(PEOPLE)]} {number}"
    pets = random.choice(("", "", "", "an old cat", BIRDS))
    home = net.happened(
        Home,
        code=net.code(),
        kind=Home.Kind.DEPOT if is_depot else Home.Kind.FOSTER,
        name=name,
        area=random.choice(AREAS),
        most_enclosures=random.randint(2, 4) + 4 * is_depot,
        largest_width_mm=random.choice((1500, 2200, 3200)),
        largest_depth_mm=random.choice((900, 1500, 2100)),
        pet_kinds="bird" if pets == BIRDS else "",
        other_pets=pets,
        has_stairs=random.random() < 0.3,
        isolation_places=3 if is_depot else int(random.random() < 0.2),
    )
    if not is_depot:
        # Numbers in the range that is kept free for stories (Ofcom, 01632 960000 to 960999).
        net.add(
            HomeContact,
            home=home,
            full_name=f"{name} Nobody",
            phone=f"01632 {960_000 + number % 1000}",
        )
    for place in range(1 + number % 5):
        _enclosure(net, home, f"{name} {'ABCDEFGH'[place]}", designs)


def _enclosure(
    net: Network, home: Home, label: str, designs: dict[str, list[tuple[Any, dict[str, int]]]]
) -> None:
    random = net.random
    species = Species.RABBIT if random.random() < 0.15 else Species.GUINEA_PIG
    if not designs[species]:
        return
    revision, components = random.choice(designs[species])
    stands = random.randint(30, YEARS_DAYS)
    enclosure = net.happened(Enclosure, code=net.code(), label=label, revision=revision)
    net.span(Standing, stands, None, enclosure=enclosure, home=home)
    for kind, count in components.items():
        net.add(Component, enclosure=enclosure, kind=kind, count=count, fitted_on=net.day(stands))
    state = random.choices(
        (
            EnclosureState.IN_USE,
            EnclosureState.STANDING,
            EnclosureState.PLANNED,
            EnclosureState.BUILDING,
            EnclosureState.NEEDS_REPAIR,
        ),
        (86, 8, 2, 2, 2),
    )[0]
    first = (
        EnclosureState.STANDING
        if state in (EnclosureState.IN_USE, EnclosureState.NEEDS_REPAIR)
        else state
    )
    net.happened(EnclosureEvent, enclosure=enclosure, state=first, on=net.day(stands))
    if state == EnclosureState.IN_USE:
        _tenants(net, enclosure, species, stands)
    elif state == EnclosureState.NEEDS_REPAIR:
        net.happened(
            EnclosureEvent,
            enclosure=enclosure,
            state=state,
            on=net.day(3),
            note="A tie has come loose at the ramp's foot.",
        )


def _tenants(net: Network, enclosure: Enclosure, species: Species, stands: int) -> None:
    """Groups one after the other, the last of which is there still."""
    since = stands
    for until in _moves(net.random, stands):
        group = net.happened(Group, code=net.code(), species=species)
        net.span(Stay, since, until, group=group, enclosure=enclosure)
        for animal, joined in _animals(net, species, since, until):
            net.span(Membership, joined, until, group=group, animal=animal)
        net.happened(
            EnclosureEvent, enclosure=enclosure, state=EnclosureState.IN_USE, on=net.day(since)
        )
        since = until if until is not None else 0


def _moves(random: Random, stands: int) -> list[int | None]:
    """When each group moved out, in days ago; None for the last."""
    changes = random.choices((0, 1, 2), (60, 30, 10))[0] if stands > 200 else 0
    return [*sorted(random.sample(range(60, stands - 60), changes), reverse=True), None]


def _animals(
    net: Network, species: Species, since: int, until: int | None
) -> Iterator[tuple[Animal, int]]:
    random = net.random
    pattern = random.choice(GROUPS)
    young = until is None and random.random() < 0.12
    for mark in pattern:
        yield _animal(net, species, mark, since, until), since
    if young and species is Species.GUINEA_PIG and "F" in pattern:
        yield from _litter(net, since)


def _animal(
    net: Network, species: Species, mark: str, since: int, until: int | None, **facts: Any
) -> Animal:
    random = net.random
    age = facts.pop("age", None) or since + random.randint(30, 900)
    castrated = mark == "c"
    animal = net.happened(
        Animal,
        code=net.code(),
        name=net.another(random.choice(ANIMALS)),
        species=species,
        sex="M" if castrated else mark,
        born=net.day(age),
        born_margin_days=random.choice((0, 0, 14, 60)) if age > 300 else 0,
        came_on=net.day(min(age, since)),
        is_castrated=castrated,
        castrated_on=net.day(max(1, min(age - 90, since + 40))) if castrated else None,
        left_on=net.day(until) if until is not None else None,
        left_why=Animal.Leaving.ADOPTED if until is not None else "",
        **facts,
    )
    weigh(net, animal, age, _weighing_days(random, min(age, since), until or 0))
    if until is None and since < 20:
        net.happened(
            Quarantine, animal=animal, since=net.day(since), until=net.day(since - 14), together="x"
        )
    return animal


def _litter(net: Network, since: int) -> Iterator[tuple[Animal, int]]:
    age = net.random.randint(3, 26)
    if age >= since:
        return
    mother = next(
        one for one in reversed(net.rows[Animal]) if isinstance(one, Animal) and one.sex == "F"
    )
    net.happened(Birth, mother=mother, on=net.day(age), young=2)
    for mark in ("F", "M"):
        pup = _animal(net, Species.GUINEA_PIG, mark, age, None, age=age, mother=mother)
        yield pup, age


def _weighing_days(random: Random, since: int, until: int) -> Sequence[int]:
    """About every fourth week, and every week of the last two months; some are forgotten."""
    forgotten = random.random() < 0.06
    days = [ago for ago in range(since, until, -1) if ago % 28 == 0 or (ago < 60 and ago % 7 == 0)]
    return [ago for ago in days if not (forgotten and ago < 70)]
