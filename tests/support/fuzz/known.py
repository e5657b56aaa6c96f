"""A request, and what was found on real pages to make requests of."""

from dataclasses import dataclass, field

from tests.support.fuzz.addresses import Address, Slot
from tests.support.fuzz.pages import Form


@dataclass(frozen=True, slots=True)
class Asked:
    """One request. ``path`` and ``query`` as they stand in its first line; ``who`` logged in."""

    number: int
    name: str
    who: str
    method: str
    path: str
    query: str = ""
    headers: tuple[tuple[str, str], ...] = ()
    content_type: str = ""
    body: bytes = b""

    def __str__(self) -> str:
        query = f"?{self.query}" if self.query else ""
        said = "".join(f"\n    {name}: {value[:200]}" for name, value in self.headers)
        body = f"\n    {self.content_type}: {self.body[:1500]!r}" if self.body else ""
        line = f"{self.method} {self.path[:300]}{query[:600]}"
        return f"#{self.number} {self.who}: {line} ({self.name}){said}{body}"


@dataclass
class Known:
    """What was found on real pages. ``filled``: words for each address's slots, as they were met.

    ``forms`` and ``queries`` are by the name of the address that takes them.
    """

    addresses: list[Address]
    filled: dict[str, list[dict[str, str]]] = field(default_factory=dict)
    forms: dict[str, list[tuple[str, Form]]] = field(default_factory=dict)
    queries: dict[str, list[str]] = field(default_factory=dict)
    tokens: dict[str, str] = field(default_factory=dict)
    # Addresses that are no pages, and take only what is sent.
    posted: set[str] = field(default_factory=set)
    # Whose a phone's acts are.
    persons: dict[str, int] = field(default_factory=dict)

    def words(self, slot: Slot) -> list[str]:
        """All that was met in a slot of this pool, in an order of their own."""
        found = {
            words[one.name]
            for address in self.addresses
            for one in address.slots
            if one.pool == slot.pool
            for words in self.filled.get(address.name, [])
        }
        return sorted(found)

    def named(self, name: str) -> list[str]:
        """All that was met in slots of this name, of whatever thing."""
        every = (words for filled in self.filled.values() for words in filled)
        return sorted({words[name] for words in every if name in words})
