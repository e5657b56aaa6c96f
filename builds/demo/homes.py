"""The demo's homes, with the enclosures, groups and animals of its story; more where a network is
wanted to measure with.
"""

from collections.abc import Sequence
from datetime import date
from random import Random
from typing import Any

from django.db import transaction

from builds.demo import story
from builds.demo.network import draw_home
from builds.demo.rows import Network, weigh
from builds.demo.story import ToldAnimal, ToldEnclosure, ToldHome
from habitats.animals.models.animals import Animal, Weighing
from habitats.animals.models.births import Birth
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
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

SEED = 20
RESCUE, CURRENCY = "Fennel Row Small Animal Rescue", "EUR"
# Kept free for stories: the number by Ofcom, the name by RFC 2606.
PHONE, EMAIL = "01632 960999", "hello@fennel-row.example"
PANEL_MM = 355
GUINEA_PIG_RULES, RABBIT_RULES = "us-rescue-preferred", "uk-companion-rabbit"
WEEK, MONTH, LONG_DAYS = 7, 28, 60
FELL = 0.86  # of what it weighed before

Designs = dict[str, tuple[Any, dict[str, int]]]


@transaction.atomic
def fill_homes(by: Person, foster: Person, today: date, *, homes: int) -> None:
    """Bring in so many homes with all that is in them; nothing where there is a home already.

    Rows are written in bulk, those of the story first. The first home is the demo foster's own.
    """
    if Home.objects.exists():
        return
    rescue = Rescue.ours()
    rescue.name, rescue.currency = RESCUE, CURRENCY
    rescue.phone, rescue.email = PHONE, EMAIL
    rescue.guinea_pig_rules, rescue.rabbit_rules = GUINEA_PIG_RULES, RABBIT_RULES
    rescue.panel_mm = PANEL_MM
    rescue.save()
    network = Network(by, today, Random(SEED))
    designs = _designs()
    for number, told in enumerate(story.HOMES[:homes]):
        _home(network, number, told, designs)
    _without_enclosure(network)
    for number in range(len(story.HOMES), homes):
        draw_home(network, number, _by_species(designs))
    network.write()
    Spot.objects.lay_missing()
    Home.objects.order_by("pk")[0].people.add(foster)
    Reading.objects.forget()


def _designs() -> Designs:
    """By name, revisions that can be built, each with its components."""
    found: Designs = {}
    for design in Design.objects.live().with_revision().order_by("pk"):
        if design.current and design.current.is_sound:
            structure = Enclosure(revision=design.current).structure()
            if structure:
                found[design.name] = (design.current, components_of(structure))
    return found


def _by_species(designs: Designs) -> dict[str, list[tuple[Any, dict[str, int]]]]:
    return {
        one.value: [d for d in designs.values() if d[0].design.species == one.value]
        for one in Species
    }


def _home(net: Network, number: int, told: ToldHome, designs: Designs) -> None:
    home = net.happened(
        Home,
        code=net.code(),
        kind=Home.Kind.DEPOT if told.is_depot else Home.Kind.FOSTER,
        name=told.name,
        area=told.area,
        most_enclosures=told.most,
        largest_width_mm=told.width_mm,
        largest_depth_mm=told.depth_mm,
        most_animals=told.most_animals,
        known_species=told.known_species,
        pet_kinds=told.pet_kinds,
        other_pets=told.other_pets,
        has_stairs=told.has_stairs,
        isolation_places=3 * told.is_depot,
    )
    if not told.is_depot:
        # Numbers in the range that is kept free for stories (Ofcom, 01632 960000 to 960999).
        net.add(
            HomeContact,
            home=home,
            full_name=f"{told.name} {told.surname}",
            phone=f"01632 {960_000 + number}",
        )
    for enclosure in told.enclosures:
        if enclosure.design in designs:
            _enclosure(net, home, enclosure, *designs[enclosure.design])


def _enclosure(
    net: Network, home: Home, told: ToldEnclosure, revision: Any, components: dict[str, int]
) -> None:
    stands = story.BUILT_DAYS
    enclosure = net.happened(Enclosure, code=net.code(), label=told.label, revision=revision)
    net.span(Standing, stands, None, enclosure=enclosure, home=home)
    for kind, count in components.items():
        net.add(Component, enclosure=enclosure, kind=kind, count=count, fitted_on=net.day(stands))
    is_to_come = told.state in (EnclosureState.PLANNED, EnclosureState.BUILDING)
    _says(net, enclosure, told.state if is_to_come else EnclosureState.STANDING, stands)
    if told.before:
        before = [ToldAnimal(name, came=stands) for name in told.before]
        _live_in(net, enclosure, told.species, before, stands, told.since)
    if told.animals:
        _says(net, enclosure, EnclosureState.IN_USE, told.since)
        _live_in(net, enclosure, told.species, told.animals, told.since, None)
    if told.state == EnclosureState.NEEDS_REPAIR:
        _says(net, enclosure, told.state, 3, "A tie has come loose at the ramp's foot.")


def _says(net: Network, enclosure: Enclosure, state: str, ago: int, note: str = "") -> None:
    net.happened(EnclosureEvent, enclosure=enclosure, state=state, on=net.day(ago), note=note)


def _live_in(
    net: Network,
    enclosure: Enclosure,
    species: str,
    animals: Sequence[ToldAnimal],
    since: int,
    until: int | None,
) -> None:
    group = net.happened(Group, code=net.code(), species=species)
    net.span(Stay, since, until, group=group, enclosure=enclosure)
    _join(net, group, animals, since, until, enclosure.label)


def _without_enclosure(net: Network) -> None:
    """A group that sits in a carrier."""
    group = net.happened(Group, code=net.code(), species=Species.GUINEA_PIG.value)
    _join(net, group, story.IN_A_CARRIER, 0, None, "carrier")


def _join(
    net: Network,
    group: Group,
    animals: Sequence[ToldAnimal],
    since: int,
    until: int | None,
    together: str,
) -> None:
    made: dict[str, Animal] = {}
    # One among others that are not apart is apart from them too.
    kept = together if all(one.is_apart for one in animals) else ""
    for told in animals:
        animal = made[told.name] = _animal(net, told, group.species, since, until, made, kept)
        joined = since if told.came is None else min(since, told.came)
        if told.away:
            left, back = told.away
            net.span(Membership, joined, left, group=group, animal=animal)
            joined = back
        net.span(Membership, joined, until, group=group, animal=animal)


def _animal(
    net: Network,
    told: ToldAnimal,
    species: str,
    since: int,
    until: int | None,
    made: dict[str, Animal],
    together: str,
) -> Animal:
    came = since if told.came is None else told.came
    is_castrated = told.mark == story.CASTRATED
    with_male = told.with_male or (None, None)
    animal: Animal = net.happened(
        Animal,
        code=net.code(),
        name=told.name,
        species=species,
        sex=Animal.Sex.MALE if is_castrated else told.mark,
        born=net.day(told.age),
        born_margin_days=0 if told.age < MONTH else 14,
        came_on=net.day(came),
        **(told.arrival._asdict() if told.arrival else {}),
        is_castrated=is_castrated,
        castrated_on=net.day(told.castrated) if is_castrated else None,
        may_be_pregnant=told.with_male is not None,
        with_male_since=with_male[0] and net.day(with_male[0]),
        with_male_last=with_male[1] and net.day(with_male[1]),
        mother=made.get(told.mother),
        left_on=None if until is None else net.day(until),
        left_why="" if until is None else Animal.Leaving.ADOPTED,
    )
    _weigh(net, told, animal, _weighing_days(told, min(came, told.age), until or 0))
    if told.is_apart:
        net.happened(
            Quarantine,
            animal=animal,
            since=net.day(came),
            until=net.day(came - story.QUARANTINE_DAYS),
            together=together,
        )
    if told.mother and not any(_is_of(one, animal) for one in net.rows.get(Birth, [])):
        net.happened(Birth, mother=animal.mother, on=animal.born, young=2)
    return animal


def _weigh(net: Network, told: ToldAnimal, animal: Animal, days: list[int]) -> None:
    if told.fell:
        grams = weigh(net, animal, told.age, days[:-1])
        net.happened(Weighing, animal=animal, grams=round(grams[-1] * FELL), on=net.day(days[-1]))
    else:
        weigh(net, animal, told.age, days)


def _is_of(birth: Any, young: Animal) -> bool:
    return birth.mother is young.mother and birth.on == young.born


def _weighing_days(told: ToldAnimal, since: int, until: int) -> list[int]:
    """In days ago: every week of the last two months, about every fourth week before."""
    last = until + told.weighed
    weekly = range(last, min(since, last + LONG_DAYS) + 1, WEEK)
    monthly = range(last + LONG_DAYS + MONTH, since + 1, MONTH)
    return sorted([*weekly, *monthly], reverse=True)
