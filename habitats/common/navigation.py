"""Where each role has work: a few places, the pages inside each, and where one is now."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from functools import cache
from itertools import zip_longest

from django.urls import reverse

from habitats.wording import Message, message, message_in

COORDINATOR, BUILDER, FOSTER, LAUNDRY = "coordinator", "builder", "foster", "laundry"


@dataclass(frozen=True)
class NavPage:
    """A page in a place: the name of its address, and the beginnings of addresses that are its own.

    ``roles`` besides coordinators; the pages themselves check it again.
    """

    label: Message
    name: str
    begins: tuple[str, ...]
    roles: tuple[str, ...] = ()

    def is_for(self, roles: Collection[str]) -> bool:
        return COORDINATOR in roles or not set(self.roles).isdisjoint(roles)

    def holds(self, path: str) -> int:
        """How many letters of the path it accounts for: the longest beginning wins."""
        return max((len(one) for one in self.begins if path.startswith(one)), default=0)


@dataclass(frozen=True)
class NavPlace:
    label: Message
    parts: tuple[NavPage, ...]


@dataclass(frozen=True)
class ShownPage:
    label: Message
    address: str
    is_here: bool


@dataclass(frozen=True)
class ShownPlace:
    """``parts`` is empty where the place has one page only."""

    label: Message
    address: str
    is_here: bool
    parts: tuple[ShownPage, ...]


_SPACE = NavPage(message_in("the page of all homes", "Space"), "space", ("/space/", "/board/"))
_PLACING = NavPage(message("Placing"), "builds:placing", ("/placing/",))
_FAULTS = NavPage(message("Faults"), "faults", ("/faults/",), (BUILDER,))
_ENCLOSURES = NavPage(message("Enclosures"), "enclosures", ("/enclosures/",), (BUILDER, FOSTER))
_TODAY = NavPlace(
    message("Today"),
    (
        NavPage(message("Today"), "today", ("/today/",), (FOSTER, BUILDER, LAUNDRY)),
        NavPage(message("Calendar"), "calendar", ("/calendar/",), (FOSTER, LAUNDRY)),
    ),
)
_ANIMALS = NavPlace(
    message("Animals"),
    (
        NavPage(message("Animals"), "animals", ("/animals/",), (FOSTER,)),
        NavPage(message("Groups"), "groups", ("/groups/",)),
        NavPage(message("Weighing"), "weigh", ("/weigh/",), (FOSTER,)),
        NavPage(message("Adoptions"), "adoptions", ("/adoptions/", "/adopters/")),
        NavPage(message("Waiting list"), "wishes", ("/wishes/",)),
        NavPage(message("Contact tracing"), "traces", ("/traces/",)),
    ),
)
_WORKSHOP = NavPlace(
    message("Workshop"),
    (
        NavPage(message("Builds"), "builds:builds", ("/builds/",), (BUILDER,)),
        NavPage(message("Kits"), "builds:kits", ("/kits/",)),
        NavPage(message("Designs"), "builds:designs", ("/designs/",), (BUILDER,)),
        NavPage(message("Batches"), "builds:batches", ("/batches/", "/cutting/"), (BUILDER,)),
    ),
)
_STORE = NavPlace(
    message("Store"),
    (
        NavPage(message("Stock"), "builds:store", ("/store/",), (BUILDER,)),
        NavPage(message("Pulls"), "builds:pulls", ("/pulls/",), (BUILDER,)),
        NavPage(message("Buying list"), "builds:buying", ("/store/buying",)),
        NavPage(message("Deliveries"), "builds:deliveries", ("/store/deliveries/",)),
        NavPage(message("Suppliers"), "builds:suppliers", ("/store/suppliers/",)),
        NavPage(message("Spending"), "builds:spending", ("/store/spending",)),
    ),
)
_LAUNDRY = NavPlace(
    message("Laundry"),
    (
        NavPage(message("Laundry"), "laundry", ("/laundry/", "/loads/"), (FOSTER, LAUNDRY)),
        NavPage(message("Linen changes"), "changes", ("/changes/",), (FOSTER,)),
        NavPage(message("Pools"), "pools", ("/pools/",), (LAUNDRY,)),
        NavPage(message("Linens"), "linens", ("/linens/", "/l/"), (LAUNDRY,)),
    ),
)
PLACES = {
    COORDINATOR: (
        _TODAY,
        NavPlace(
            message_in("the page of all homes", "Space"),
            (
                _SPACE,
                _PLACING,
                NavPage(message("Homes"), "homes", ("/homes/",)),
                _ENCLOSURES,
                _FAULTS,
            ),
        ),
        _ANIMALS,
        _WORKSHOP,
        NavPlace(
            message("Linens"),
            (
                NavPage(message("Pools"), "pools", ("/pools/",)),
                NavPage(message("Laundry"), "laundry", ("/laundry/", "/loads/")),
                NavPage(message("Linen changes"), "changes", ("/changes/",)),
                NavPage(message("Linens"), "linens", ("/linens/", "/l/")),
            ),
        ),
        _STORE,
        NavPlace(
            message("Settings"),
            (
                NavPage(message("Settings"), "rescue", ("/rescue/",)),
                NavPage(message("People"), "people", ("/people/",)),
                NavPage(message("Import"), "import_csv", ("/import/",)),
                NavPage(message("Export"), "export", ("/export",)),
                NavPage(message("Report for inspectors"), "report", ("/report",)),
            ),
        ),
    ),
    FOSTER: (
        _TODAY,
        _ANIMALS,
        NavPlace(
            message("My home"),
            (
                NavPage(message("My home"), "homes", ("/homes/",), (FOSTER,)),
                _ENCLOSURES,
            ),
        ),
        _LAUNDRY,
    ),
    BUILDER: (
        _TODAY,
        _WORKSHOP,
        NavPlace(message("Enclosures"), (_ENCLOSURES, _FAULTS)),
        _STORE,
    ),
    LAUNDRY: (_TODAY, _LAUNDRY),
}


def places_of(roles: Collection[str], path: str) -> tuple[ShownPlace, ...]:
    """The places of these roles, the one marked in which ``path`` lies; none for unknown roles."""
    return tuple(_shown(roles, path))


def _of_all(roles: Collection[str]) -> list[NavPlace]:
    """In turn, so that what each role needs first is under the thumb; a coordinator has all."""
    if COORDINATOR in roles:
        return list(PLACES[COORDINATOR])
    ranks = zip_longest(*(places for role, places in PLACES.items() if role in roles))
    return list(dict.fromkeys(place for rank in ranks for place in rank if place))


def _shown(roles: Collection[str], path: str) -> Iterator[ShownPlace]:
    places = _of_all(roles)
    # A page of two places is shown in the later one alone.
    place_of = {part: place for place in places for part in place.parts}
    here = max((part.holds(path) for part in place_of), default=0)
    for place in places:
        parts = tuple(
            ShownPage(part.label, _address(part.name), 0 < here == part.holds(path))
            for part in place.parts
            if part.is_for(roles) and place_of[part] == place
        )
        is_here = any(one.is_here for one in parts)
        yield ShownPlace(place.label, parts[0].address, is_here, parts if len(parts) > 1 else ())


@cache
def _address(name: str) -> str:
    """Every page asks for all of them, and they never change."""
    return reverse(name)
