"""Where each role has work: a few places, the pages inside each, and where one is now."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import reverse

from habitats.wording import Message, message, message_in

COORDINATOR, BUILDER, FOSTER, LAUNDRY = "coordinator", "builder", "foster", "laundry"


@dataclass(frozen=True)
class Part:
    """A page in a place: the name of its address, and the beginnings of addresses that are its own.

    ``roles`` besides coordinators; the pages themselves check it again.
    """

    label: Message
    name: str
    begins: tuple[str, ...]
    roles: tuple[str, ...] = ()

    def is_for(self, role: str) -> bool:
        return role == COORDINATOR or role in self.roles

    def holds(self, path: str) -> int:
        """How many letters of the path it accounts for: the longest beginning wins."""
        return max((len(one) for one in self.begins if path.startswith(one)), default=0)


@dataclass(frozen=True)
class Place:
    label: Message
    parts: tuple[Part, ...]


@dataclass(frozen=True)
class ShownPart:
    label: Message
    address: str
    is_here: bool


@dataclass(frozen=True)
class ShownPlace:
    """``parts`` is empty where the place has one page only."""

    label: Message
    address: str
    is_here: bool
    parts: tuple[ShownPart, ...]


_SPACE = Part(message_in("the page of all homes", "Space"), "space", ("/space/", "/board/"))
_FAULTS = Part(message("Faults"), "faults", ("/faults/",), (BUILDER,))
_ENCLOSURES = Part(message("Enclosures"), "enclosures", ("/enclosures/",), (BUILDER, FOSTER))
_TODAY = Place(
    message("Today"),
    (
        Part(message("Today"), "today", ("/today/",), (FOSTER, BUILDER, LAUNDRY)),
        Part(message("Calendar"), "calendar", ("/calendar/",), (FOSTER, LAUNDRY)),
    ),
)
_ANIMALS = Place(
    message("Animals"),
    (
        Part(message("Animals"), "animals", ("/animals/",), (FOSTER,)),
        Part(message("Groups"), "groups", ("/groups/",)),
        Part(message("Weighing"), "weigh", ("/weigh/",), (FOSTER,)),
        Part(message("Contact tracing"), "traces", ("/traces/",)),
    ),
)
_WORKSHOP = Place(
    message("Workshop"),
    (
        Part(message("Builds"), "builds:builds", ("/builds/",), (BUILDER,)),
        Part(message("Kits"), "builds:kits", ("/kits/",)),
        Part(message("Designs"), "builds:designs", ("/designs/",), (BUILDER,)),
        Part(message("Batches"), "builds:batches", ("/batches/", "/cutting/"), (BUILDER,)),
    ),
)
_STORE = Place(
    message("Store"),
    (
        Part(message("Stock"), "builds:store", ("/store/",), (BUILDER,)),
        Part(message("Pulls"), "builds:pulls", ("/pulls/",), (BUILDER,)),
        Part(message("Buying list"), "builds:buying", ("/store/buying",)),
        Part(message("Deliveries"), "builds:deliveries", ("/store/deliveries/",)),
        Part(message("Suppliers"), "builds:suppliers", ("/store/suppliers/",)),
    ),
)
_LAUNDRY = Place(
    message("Laundry"),
    (
        Part(message("Laundry"), "laundry", ("/laundry/", "/loads/"), (FOSTER, LAUNDRY)),
        Part(message("Linen changes"), "changes", ("/changes/",), (FOSTER,)),
        Part(message("Pools"), "pools", ("/pools/",), (LAUNDRY,)),
        Part(message("Linens"), "linens", ("/linens/", "/l/"), (LAUNDRY,)),
    ),
)
PLACES = {
    COORDINATOR: (
        _TODAY,
        Place(
            message_in("the page of all homes", "Space"),
            (_SPACE, Part(message("Homes"), "homes", ("/homes/",)), _ENCLOSURES, _FAULTS),
        ),
        _ANIMALS,
        _WORKSHOP,
        Place(
            message("Linens"),
            (
                Part(message("Pools"), "pools", ("/pools/",)),
                Part(message("Laundry"), "laundry", ("/laundry/", "/loads/")),
                Part(message("Linen changes"), "changes", ("/changes/",)),
                Part(message("Linens"), "linens", ("/linens/", "/l/")),
            ),
        ),
        _STORE,
        Place(
            message("Settings"),
            (
                Part(message("Settings"), "rescue", ("/rescue/",)),
                Part(message("People"), "people", ("/people/",)),
                Part(message("Import"), "import_csv", ("/import/",)),
                Part(message("Export"), "export", ("/export",)),
                Part(message("Report for inspectors"), "report", ("/report",)),
            ),
        ),
    ),
    FOSTER: (
        _TODAY,
        _ANIMALS,
        Place(
            message("My home"),
            (
                Part(message("My home"), "homes", ("/homes/",), (FOSTER,)),
                _ENCLOSURES,
            ),
        ),
        _LAUNDRY,
    ),
    BUILDER: (
        _TODAY,
        _WORKSHOP,
        Place(message("Enclosures"), (_ENCLOSURES, _FAULTS)),
        _STORE,
    ),
    LAUNDRY: (_TODAY, _LAUNDRY),
}


def places_of(role: str, path: str) -> tuple[ShownPlace, ...]:
    """The places of a role, the one marked in which ``path`` lies; none for an unknown role."""
    return tuple(_shown(role, path))


def _shown(role: str, path: str) -> Iterator[ShownPlace]:
    places = PLACES.get(role, ())
    here = max((part.holds(path) for place in places for part in place.parts), default=0)
    for place in places:
        parts = tuple(
            ShownPart(part.label, reverse(part.name), 0 < here == part.holds(path))
            for part in place.parts
            if part.is_for(role)
        )
        is_here = any(one.is_here for one in parts)
        yield ShownPlace(place.label, parts[0].address, is_here, parts if len(parts) > 1 else ())
