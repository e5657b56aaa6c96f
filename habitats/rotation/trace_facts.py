"""What a trace is reckoned from: who was where on which days, and what was washed with what.

Spans are half open: ``until`` is the first day that is not covered, None while it lasts; a span
that ends where it begins covers no day. Keys name things of one sort: codes, labels.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import NamedTuple

from habitats.rotation.infection import WashRun


class ThingKind(StrEnum):
    """What can carry an infection on. Homes are told of it, and carry nothing by themselves."""

    GROUP = "group"
    ANIMAL = "animal"
    ENCLOSURE = "enclosure"
    LINEN = "linen"


class Thing(NamedTuple):
    """One group, animal, enclosure or linen."""

    sort: ThingKind
    key: str


class LivingSpan(NamedTuple):
    """An animal in a group."""

    animal: str
    group: str
    since: date
    until: date | None


class StaySpan(NamedTuple):
    """A group in an enclosure."""

    group: str
    enclosure: str
    since: date
    until: date | None


class LyingSpan(NamedTuple):
    """A linen in a spot of an enclosure."""

    linen: str
    enclosure: str
    spot: str
    since: date
    until: date | None


class StandingSpan(NamedTuple):
    """An enclosure in a home."""

    enclosure: str
    home: str
    since: date
    until: date | None


class Washing(NamedTuple):
    """Linens that were in one drum on a day, and what was run."""

    load: str
    linens: tuple[str, ...]
    on: date
    programme: WashRun


@dataclass(frozen=True, slots=True)
class Facts:
    """All that happened. Washings of one day stand in the order in which they were run."""

    livings: Sequence[LivingSpan] = ()
    stayings: Sequence[StaySpan] = ()
    lyings: Sequence[LyingSpan] = ()
    standings: Sequence[StandingSpan] = ()
    washings: Sequence[Washing] = ()


class ContactKind(StrEnum):
    """In what way two things met."""

    LIVED_IN = "lived in"  # a group and its enclosure
    LAY_IN = "lay in"  # a linen and the enclosure it lay in
    LAY_UNDER = "lay under"  # a linen and the group that lived on it
    BELONGED = "belonged"  # an animal and its group
    WASHED = "washed"  # two linens in one drum


class Tie(NamedTuple):
    """Two things that are together on each day of a span. ``place``: the enclosure, or empty."""

    one: Thing
    other: Thing
    how: ContactKind
    place: str
    since: date
    until: date | None

    def covers(self, day: date) -> bool:
        return self.since <= day and (self.until is None or day < self.until)

    def across(self, thing: Thing) -> Thing:
        """The other end."""
        return self.other if thing == self.one else self.one


def ties_of(facts: Facts) -> list[Tie]:
    """All ties, in an order that does not hang on that of the facts; those of no day left out."""
    found = [*_belonged(facts), *_lived(facts), *_lay_in(facts), *_lay_under(facts)]
    real = {tie for tie in found if tie.until is None or tie.since < tie.until}
    return sorted(real, key=lambda tie: (tie.since, tie[:4], tie.until or date.max))


def earlier_end(one: date | None, other: date | None) -> date | None:
    """The first day not covered by both of two spans; None: both last."""
    ends = [end for end in (one, other) if end is not None]
    return min(ends, default=None)


def _belonged(facts: Facts) -> Iterator[Tie]:
    for animal, group, since, until in facts.livings:
        ends = Thing(ThingKind.ANIMAL, animal), Thing(ThingKind.GROUP, group)
        yield Tie(*ends, ContactKind.BELONGED, "", since, until)


def _lived(facts: Facts) -> Iterator[Tie]:
    for group, enclosure, since, until in facts.stayings:
        ends = Thing(ThingKind.GROUP, group), Thing(ThingKind.ENCLOSURE, enclosure)
        yield Tie(*ends, ContactKind.LIVED_IN, enclosure, since, until)


def _lay_in(facts: Facts) -> Iterator[Tie]:
    for linen, enclosure, _spot, since, until in facts.lyings:
        ends = Thing(ThingKind.LINEN, linen), Thing(ThingKind.ENCLOSURE, enclosure)
        yield Tie(*ends, ContactKind.LAY_IN, enclosure, since, until)


def _lay_under(facts: Facts) -> Iterator[Tie]:
    """A linen meets the group that lives on it directly, and not only by way of the enclosure."""
    stays = _by_enclosure(facts.stayings)
    for lying in facts.lyings:
        for stay in stays[lying.enclosure]:
            since = max(lying.since, stay.since)
            until = earlier_end(lying.until, stay.until)
            ends = Thing(ThingKind.LINEN, lying.linen), Thing(ThingKind.GROUP, stay.group)
            yield Tie(*ends, ContactKind.LAY_UNDER, lying.enclosure, since, until)


def _by_enclosure(stayings: Iterable[StaySpan]) -> dict[str, list[StaySpan]]:
    found: dict[str, list[StaySpan]] = defaultdict(list)
    for stay in stayings:
        found[stay.enclosure].append(stay)
    return found
