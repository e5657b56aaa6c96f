"""What the things of a trace are called, and where they are today."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date
from typing import ClassVar

from django.urls import reverse
from django.utils.translation import gettext as _

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group, Membership
from habitats.animals.models.stays import Stay
from habitats.enclosures.models.enclosures import Enclosure
from habitats.enclosures.models.standing import Standing
from habitats.homes.models.homes import Home
from habitats.linens.models.linens import Linen
from habitats.linens.models.pools import Pool
from habitats.rotation.labels import shown
from habitats.rotation.states import State
from habitats.rotation.trace import TraceResult
from habitats.rotation.trace_facts import Thing, ThingKind
from habitats.wording import listed

PlaceKey = tuple[str, int]
_PAGES = {ThingKind.GROUP: "group", ThingKind.ANIMAL: "animal", ThingKind.ENCLOSURE: "enclosure"}


@dataclass(frozen=True, slots=True)
class TraceNames:
    """Looked up once for a whole trace, in the same few queries for any size.

    ``stands``: the home of an enclosure; ``lives``: the enclosure of a group; both by code, and
    only of those that are somewhere.
    """

    of_thing: dict[Thing, str]
    linens: dict[str, Linen]
    homes: dict[str, Home]
    stands: dict[str, Home]
    lives: dict[str, Enclosure]

    NOWHERE: ClassVar[PlaceKey] = ("nowhere", 0)

    @classmethod
    def of(cls, found: TraceResult, today: date) -> "TraceNames":
        keys: dict[ThingKind, set[str]] = defaultdict(set)
        for contact in found.contacts:
            keys[contact.thing.sort].add(contact.thing.key)
        keys[ThingKind.ENCLOSURE] |= {one.enclosure for one in found.neighbours}
        linens = _linens(keys[ThingKind.LINEN])
        met = {one.home for one in found.homes}
        return cls(
            of_thing={
                **_groups(keys[ThingKind.GROUP], today),
                **_named(
                    ThingKind.ENCLOSURE, Enclosure.objects, "label", keys[ThingKind.ENCLOSURE]
                ),
                **_named(ThingKind.ANIMAL, Animal.objects, "name", keys[ThingKind.ANIMAL]),
                **{Thing(ThingKind.LINEN, label): shown(label) for label in linens},
            },
            linens=linens,
            homes={one.code: one for one in Home.objects.filter(code__in=met)},
            stands=_stands(keys[ThingKind.ENCLOSURE], today),
            lives=_lives(keys[ThingKind.GROUP], today),
        )

    def home_key(self, code: str) -> PlaceKey:
        return "home", self.homes[code].pk

    def place_of(self, thing: Thing) -> PlaceKey:
        """The home it is in today; for a linen that lies nowhere the pool it is of."""
        if thing.sort is ThingKind.LINEN:
            linen = self.linens[thing.key]
            if linen.spot is None:
                return "pool", linen.pool_id
            return self._at(linen.spot.enclosure.code)
        if thing.sort is ThingKind.GROUP:
            enclosure = self.lives.get(thing.key)
            return self._at(enclosure.code) if enclosure else self.NOWHERE
        return self._at(thing.key)

    def _at(self, enclosure: str) -> PlaceKey:
        home = self.stands.get(enclosure)
        return ("home", home.pk) if home else self.NOWHERE

    def title(self, key: PlaceKey) -> str:
        sort, pk = key
        if sort == "pool":
            return _("Linens of %(pool)s") % {"pool": self._pools()[pk]}
        homes = {one.pk: one for one in (*self.homes.values(), *self.stands.values())}
        return str(homes[pk])

    def _pools(self) -> dict[int, Pool]:
        return {one.pool_id: one.pool for one in self.linens.values()}

    def where_group(self, code: str) -> str:
        enclosure = self.lives.get(code)
        if enclosure is None:
            return _("lives in no enclosure")
        return _("lives in %(enclosure)s") % {"enclosure": enclosure}

    def where_linen(self, linen: Linen) -> str:
        if linen.spot is None:
            return State(linen.state).words
        place = {"enclosure": linen.spot.enclosure, "spot": linen.spot}
        return _("lies in %(enclosure)s, %(spot)s") % place

    def address(self, thing: Thing) -> str:
        if thing.sort is ThingKind.LINEN:
            return reverse("linen_link", args=[thing.key])
        return reverse(_PAGES[thing.sort], args=[thing.key])


def _groups(codes: set[str], today: date) -> dict[Thing, str]:
    """Their own names, or those of the animals that live in them or lived in them last."""
    own = {one.code: one.name for one in Group.objects.filter(code__in=codes)}
    animals: dict[str, list[str]] = defaultdict(list)
    living = Membership.objects.on(today).filter(group__code__in=codes).order_by("animal__name")
    for code, name in living.values_list("group__code", "animal__name"):
        animals[code].append(name)
    return {
        Thing(ThingKind.GROUP, code): name
        or listed(animals[code])
        or _("Group %(code)s") % {"code": code}
        for code, name in own.items()
    }


def _named(sort: ThingKind, rows: object, field: str, codes: set[str]) -> dict[Thing, str]:
    found = rows.filter(code__in=codes).values_list("code", field)  # type: ignore[attr-defined]
    return {Thing(sort, code): name for code, name in found}


def _linens(labels: set[str]) -> dict[str, Linen]:
    found = Linen.objects.filter(label__in=labels).with_kind().select_related("spot__enclosure")
    return {one.label: one for one in found}


def _stands(codes: set[str], today: date) -> dict[str, Home]:
    standing = Standing.objects.on(today).filter(enclosure__code__in=codes)
    return {one.enclosure.code: one.home for one in standing.select_related("enclosure", "home")}


def _lives(codes: set[str], today: date) -> dict[str, Enclosure]:
    stays = (
        Stay.objects.on(today).filter(group__code__in=codes).select_related("group", "enclosure")
    )
    return {one.group.code: one.enclosure for one in stays}
