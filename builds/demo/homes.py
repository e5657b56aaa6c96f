"""The demo's homes, enclosures, groups and animals: a dozen homes to look around in, or a network
of thousands to measure with. All invented, all drawn from one generator with a set seed.
"""

import uuid
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from random import Random
from typing import Any

from django.db import models, transaction

from habitats.animals.models.animals import Animal, Birth, Quarantine, Weighing
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.stays import Stay
from habitats.common.codes import CODE_LENGTH, CODE_MARKS
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure, EnclosureEvent, EnclosureState
from habitats.enclosures.models.parts import Component, components_of
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home, HomeContact
from habitats.linens.models.spots import Spot
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import Species
from habitats.welfare.growth import guide_g

SEED = 20
AT_ONCE = 1_000  # rows written in one go
YEARS_DAYS = 3 * 365
RESCUE = "Fennel Row Small Animal Rescue"
CURRENCY = "EUR"
PANEL_MM = 355
GUINEA_PIG_RULES, RABBIT_RULES = "us-rescue-preferred", "uk-companion-rabbit"

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
# Who lives together, by sex; a small c is castrated.
GROUPS = ("FF", "FF", "FcF", "FFF", "MM", "FFcF", "FFFF", "cF", "F")


@dataclass(slots=True)
class Network:
    """Rows to be, in the order in which they must be written."""

    by: Person
    today: date
    random: Random
    rows: dict[type[models.Model], list[models.Model]] = field(default_factory=dict)
    codes: set[str] = field(default_factory=set)

    def add(self, model: type[models.Model], **facts: Any) -> Any:
        made = model(**facts)
        self.rows.setdefault(model, []).append(made)
        return made

    def in_order(self, *models_: type[models.Model]) -> None:
        """Let rows of these be written in this order, whichever of them comes first."""
        for model in models_:
            self.rows.setdefault(model, [])

    def code(self) -> str:
        while True:
            code = "".join(self.random.choices(CODE_MARKS, k=CODE_LENGTH))
            if code not in self.codes:
                self.codes.add(code)
                return code

    def idempotency_key(self) -> uuid.UUID:
        return uuid.UUID(int=self.random.getrandbits(128), version=4)

    def happened(self, model: type[models.Model], **facts: Any) -> Any:
        return self.add(model, idempotency_key=self.idempotency_key(), made_by=self.by, **facts)

    def day(self, ago: int) -> date:
        return self.today - timedelta(days=ago)

    def span(self, model: type[models.Model], since: int, until: int | None, **facts: Any) -> Any:
        """From so many days ago until so many days ago; None: it lasts."""
        ended = {} if until is None else {"until": self.day(until), "ended_by": self.by}
        return self.happened(model, since=self.day(since), **ended, **facts)

    def write(self) -> None:
        for model, rows in self.rows.items():
            # Mothers before their young: a row points only to what has been written.
            for batch in ([r for r in rows if not _young(r)], [r for r in rows if _young(r)]):
                model._default_manager.bulk_create(batch, batch_size=AT_ONCE)
        self.rows.clear()


def _young(row: models.Model) -> bool:
    return isinstance(row, Animal) and row.mother is not None


@transaction.atomic
def fill_homes(by: Person, foster: Person, today: date, *, homes: int = 12) -> None:
    """Bring in so many homes with all that is in them; nothing where there is a home already.

    Rows are written in bulk, home after home being drawn from one seed, so that a larger network
    begins with the same homes. The first home is the demo foster's own.
    """
    if Home.objects.exists():
        return
    rescue = Rescue.ours()
    rescue.name, rescue.currency = RESCUE, CURRENCY
    rescue.guinea_pig_rules, rescue.rabbit_rules = GUINEA_PIG_RULES, RABBIT_RULES
    rescue.panel_mm = PANEL_MM
    rescue.save()
    network = Network(by, today, Random(SEED))
    designs = _designs()
    for number in range(homes):
        _home(network, number, designs)
    network.write()
    Spot.objects.lay_missing()
    Home.objects.order_by("pk")[0].people.add(foster)
    Reading.objects.forget()


def _designs() -> dict[str, list[tuple[Any, dict[str, int]]]]:
    """By species, revisions that can be built, each with its components."""
    found: dict[str, list[tuple[Any, dict[str, int]]]] = {one.value: [] for one in Species}
    for design in Design.objects.live().with_revision().order_by("pk"):
        if design.current and design.current.is_sound:
            enclosure = Enclosure(revision=design.current)
            structure = enclosure.structure()
            if structure:
                found[design.species].append((design.current, components_of(structure)))
    return found


def _home(net: Network, number: int, designs: dict[str, list[tuple[Any, dict[str, int]]]]) -> None:
    random = net.random
    is_depot = number % 12 == 1
    name = "The depot" if is_depot else PEOPLE[number % len(PEOPLE)]
    home = net.happened(
        Home,
        code=net.code(),
        kind=Home.Kind.DEPOT if is_depot else Home.Kind.FOSTER,
        name=name,
        area=random.choice(AREAS),
        most_enclosures=random.randint(2, 4) + 4 * is_depot,
        largest_width_mm=random.choice((1500, 2200, 3200)),
        largest_depth_mm=random.choice((900, 1500, 2100)),
        other_pets=random.choice(("", "", "", "an old cat", "two budgerigars")),
        has_stairs=random.random() < 0.3,
        has_isolation_room=is_depot or random.random() < 0.2,
    )
    if not is_depot:
        # Numbers in the range that is kept free for stories (Ofcom, 01632 960000 to 960999).
        net.add(
            HomeContact,
            home=home,
            full_name=f"{name} Nobody",
            phone=f"01632 {960_000 + number % 1000}",
        )
    for place in range(1 + number % 5 if number else 3):
        _enclosure(net, home, f"{name[:12]} {'ABCDEFGH'[place]}", designs)


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
        name=random.choice(ANIMALS),
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
    _weigh(net, animal, age, min(age, since), until or 0)
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


def _weigh(net: Network, animal: Animal, age: int, since: int, until: int) -> None:
    """About every fourth week, and every week of the last two months; some are forgotten."""
    random = net.random
    stature = random.uniform(0.6, 0.9)
    for ago in _weighing_days(random, since, until):
        guide = guide_g(Species(animal.species), age - ago) or 2_400 * min(1, (age - ago) / 200)
        grams = max(60, round(guide * stature * random.uniform(0.98, 1.02)))
        net.happened(Weighing, animal=animal, grams=grams, on=net.day(ago))


def _weighing_days(random: Random, since: int, until: int) -> Sequence[int]:
    forgotten = random.random() < 0.06
    days = [ago for ago in range(since, until, -1) if ago % 28 == 0 or (ago < 60 and ago % 7 == 0)]
    return [ago for ago in days if not (forgotten and ago < 70)]
