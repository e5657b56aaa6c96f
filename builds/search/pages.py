"""What is found for a few words or a scanned label, by kind, as far as a person may see it."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple, Self

from django.db.models import Model, Q, QuerySet
from django.urls import reverse

from builds.plans.models.builds import Build
from builds.store.models.items import Item
from builds.store.models.offcuts import Offcut
from builds.store.models.places import Place
from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import Adoption
from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group
from habitats.common.written import Written, given, given_words, written
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home
from habitats.linens.models.linens import Linen
from habitats.people.models.people import Person
from habitats.wording import Message, message

MOST_SHOWN = 10
COORDINATOR, BUILDER, FOSTER, LAUNDRY = Person.Role


class Sought(NamedTuple):
    """``bare``: as a label is kept, without its dash."""

    typed: str
    bare: str

    @classmethod
    def of(cls, typed: str) -> Self:
        return cls(typed, _bare(typed))


class Hit(NamedTuple):
    """``label``: the code, number or label it goes by, empty if it has none."""

    name: str
    label: str
    address: str
    is_exact: bool


class Hits(NamedTuple):
    """What is found of one kind; ``more`` are not shown."""

    title: Message
    hits: list[Hit]
    more: int


class Kind(NamedTuple):
    """How one kind of thing is found.

    ``roles``: who may see any of it at all. ``labels``: fields that name one thing exactly.
    ``field``: the argument of its address, read from the row.
    """

    title: Message
    roles: tuple[str, ...]
    find: Callable[[Person, date, "Sought"], QuerySet[Any]]
    labels: tuple[str, ...]
    address: str
    field: str

    def found(self, person: Person, day: date, words: str) -> Hits:
        shown = self._first(person, day, words)
        more = 0
        if len(shown) > MOST_SHOWN:
            more = self.find(person, day, Sought.of(words)).count() - MOST_SHOWN
        hits = [self._hit(row, words) for row in shown[:MOST_SHOWN]]
        return Hits(self.title, sorted(hits, key=lambda hit: not hit.is_exact), more)

    def _first(self, person: Person, day: date, words: str) -> list[Any]:
        """One more than are shown. What coordinators see hangs on no person and no day, so their
        questions are written once."""
        if person.is_coordinator and self.address in _OF_COORDINATORS:
            values = {"words": words, "upper": words.upper(), "lower": words.lower()}
            return _OF_COORDINATORS[self.address](**values, bare=_bare(words))
        return list(self.find(person, day, Sought.of(words))[: MOST_SHOWN + 1])

    def _hit(self, row: Model, words: str) -> Hit:
        named = [str(getattr(row, field)) for field in self.labels if getattr(row, field)]
        address = reverse(self.address, args=[getattr(row, self.field)])
        is_exact = any(_same(label, words) for label in named)
        return Hit(str(row), ", ".join(named), address, is_exact)


def _same(label: str, words: str) -> bool:
    return _bare(label) == _bare(words)


def _bare(label: str) -> str:
    """Labels are typed in small letters too, and without their dash."""
    return label.upper().replace("-", "").replace(" ", "")


def _animals(person: Person, day: date, words: Sought) -> QuerySet[Animal]:
    return Animal.objects.visible_to(person, day).named_like(words.typed).by_name()


def _groups(person: Person, day: date, words: Sought) -> QuerySet[Group]:
    return Group.objects.visible_to(person, day).live().named_like(words.typed).latest_first()


def _adopters(person: Person, day: date, words: Sought) -> QuerySet[Adopter]:
    return Adopter.objects.named_like(words.typed).by_name()


def _adoptions(person: Person, day: date, words: Sought) -> QuerySet[Adoption]:
    return Adoption.objects.named_like(words.typed).with_names().latest_first()


def _homes(person: Person, day: date, words: Sought) -> QuerySet[Home]:
    return Home.objects.cared_for_by(person).live().named_like(words.typed).by_name()


def _enclosures(person: Person, day: date, words: Sought) -> QuerySet[Enclosure]:
    return Enclosure.objects.visible_to(person, day).named_like(words.typed).order_by("label", "pk")


def _designs(person: Person, day: date, words: Sought) -> QuerySet[Design]:
    return Design.objects.listed().live().named_like(words.typed).by_name()


def _builds(person: Person, day: date, words: Sought) -> QuerySet[Build]:
    found = Build.objects.named_like(words.typed)
    if person.is_coordinator:
        # Names of adopters are for coordinators.
        found = found | Build.objects.filter(adopter__icontains=words.typed)
    return found.order_by("-pk")


def _linens(person: Person, day: date, words: Sought) -> QuerySet[Linen]:
    named = Q(label=words.bare) | Q(kind__name__icontains=words.typed)
    seen = Linen.objects.visible_to(person, day).live().filter(named)
    return seen.select_related("kind", "size").order_by("label")


def _items(person: Person, day: date, words: Sought) -> QuerySet[Item]:
    return Item.objects.live().named_like(words.typed).by_kind()


def _places(person: Person, day: date, words: Sought) -> QuerySet[Place]:
    return Place.objects.filter(
        Q(name__icontains=words.typed) | Q(code=words.typed.upper())
    ).order_by("name")


def _offcuts(person: Person, day: date, words: Sought) -> QuerySet[Offcut]:
    return Offcut.objects.filter(label=words.bare).order_by("label")


_OWN = ("code", "own_id")
_HANDS = (COORDINATOR, FOSTER)
_WORKSHOP = (COORDINATOR, BUILDER)
KINDS = (
    Kind(message("Animals"), _HANDS, _animals, _OWN, "animal", "code"),
    Kind(message("Groups"), _HANDS, _groups, ("code",), "group", "code"),
    Kind(message("Adopters"), (COORDINATOR,), _adopters, ("code",), "adopter", "code"),
    Kind(message("Adoptions"), (COORDINATOR,), _adoptions, ("code",), "adoption", "code"),
    Kind(message("Homes"), _HANDS, _homes, _OWN, "home_page", "code"),
    Kind(
        message("Enclosures"),
        (COORDINATOR, FOSTER, BUILDER),
        _enclosures,
        _OWN,
        "enclosure",
        "code",
    ),
    Kind(message("Designs"), _WORKSHOP, _designs, ("code",), "builds:design", "code"),
    Kind(message("Builds and kits"), _WORKSHOP, _builds, ("code",), "builds:build", "code"),
    Kind(
        message("Linens"),
        (COORDINATOR, FOSTER, LAUNDRY),
        _linens,
        ("label",),
        "linen_link",
        "label",
    ),
    Kind(message("Store items"), _WORKSHOP, _items, (), "builds:item", "pk"),
    Kind(message("Places in the store"), _WORKSHOP, _places, ("code",), "builds:place", "code"),
    Kind(message("Offcuts"), _WORKSHOP, _offcuts, ("label",), "builds:offcut", "label"),
)


def _of_coordinators(kind: Kind) -> Written[Any]:
    anybody = Person(roles=COORDINATOR)
    words = Sought(given_words("words"), given("bare", str))
    return written(lambda: kind.find(anybody, date.max, words)[: MOST_SHOWN + 1])


# Animals are not among them: a number of fifteen digits is looked for as that of a chip.
_OF_COORDINATORS = {
    kind.address: _of_coordinators(kind) for kind in KINDS if kind.find is not _animals
}


def found(person: Person, day: date, words: str) -> list[Hits]:
    """Each kind of which something is found, those with an exact hit first."""
    return sorted(_found(person, day, words), key=lambda kind: not kind.hits[0].is_exact)


def _found(person: Person, day: date, words: str) -> Iterator[Hits]:
    for kind in KINDS:
        if person.has_role(*kind.roles):
            hits = kind.found(person, day, words)
            if hits.hits:
                yield hits


def the_one(hits: Iterable[Hits]) -> Hit | None:
    """The only thing that goes by exactly these words: then nobody need choose."""
    exact = [hit for kind in hits for hit in kind.hits if hit.is_exact]
    return exact[0] if len(exact) == 1 else None
