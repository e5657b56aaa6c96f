"""Homes before and after, drawn as on the page of space: to one scale, a hatch for each animal."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from django.utils.html import format_html_join

from builds.placing.models.case_today import RescueToday
from builds.placing.pages.words import Naming
from habitats.board.pages.cards import PAGE_MM_PER_UNIT
from habitats.drawing.residence import Residence
from habitats.homes.models.homes import Home
from habitats.placement.values import Placing
from habitats.readings.models.readings import Reading
from habitats.rescue.models.standards import verdict_for
from habitats.rescue.pages.floor_pictures import picture_of, residence_by
from habitats.structure.structure import Structure
from habitats.welfare.companion import Companion


class FloorDrawn(NamedTuple):
    """An enclosure at one time. ``who``: the animals, numbered as in the picture; empty: free."""

    picture: str
    who: str


class EnclosureChange(NamedTuple):
    """``now`` None: nothing stands there yet. ``then`` None: all stays as it is."""

    label: str
    code: str
    now: FloorDrawn | None
    then: FloorDrawn | None


class HomeChange(NamedTuple):
    """A home where somebody comes or goes, with all of its enclosures, those that change first.

    ``home`` None: they stand in none, or are imagined in one of their own.
    """

    home: Home | None
    enclosures: list[EnclosureChange]

    @property
    def changing(self) -> list[EnclosureChange]:
        return [one for one in self.enclosures if one.then]

    @property
    def staying(self) -> list[EnclosureChange]:
        return [one for one in self.enclosures if not one.then]

    @property
    def is_imagined(self) -> bool:
        return self.home is None and any(one.now is None for one in self.enclosures)


class BeforeAfter:
    def __init__(self, rescue: RescueToday, placing: Placing, naming: Naming) -> None:
        self._rescue, self._naming = rescue, naming
        self._stays = placing.stays
        self._lives_then = {
            stay.place.enclosure: stay.groups
            for stay in placing.stays
            if stay.place and stay.place.enclosure
        }
        self._placed = {ref for stay in placing.stays for ref in stay.groups}

    def homes(self) -> list[HomeChange]:
        """By name."""
        found: dict[Home | None, list[EnclosureChange]] = defaultdict(list)
        for code, reading in self._rescue.readings.items():
            found[reading.home].append(self._enclosure(code, reading))
        for home, change in self._builds():
            found[home].append(change)
        changed = [
            HomeChange(home, sorted(inside, key=lambda one: (one.then is None, one.label)))
            for home, inside in found.items()
            if any(one.then for one in inside)
        ]
        return sorted(changed, key=lambda one: str(one.home or "\uffff"))

    def _enclosure(self, code: str, reading: Reading) -> EnclosureChange:
        label = reading.enclosure.label
        now = (reading.group.code,) if reading.group else ()
        # Of a group that was not placed, nothing changes.
        stay = () if self._placed.issuperset(now) else now
        then = self._lives_then.get(code, stay)
        names = [name for _code, name, _share in reading.residents]
        before = self._drawn(label, reading.residence(), names)
        after = None if now == then else self._then(code, label, then)
        return EnclosureChange(label, code, before, after)

    def _builds(self) -> Iterator[tuple[Home | None, EnclosureChange]]:
        """What would be built, and what is being built for who would live in it."""
        for stay in self._stays:
            place = stay.place
            if place is None:
                continue
            if place.design is not None:
                offer = self._rescue.designs[place.design]
                yield (
                    self._rescue.homes[place.home or ""],
                    self._new(offer.design.name, offer.structure, stay.groups),
                )
            elif one := self._rescue.to_come.get(place.enclosure or ""):
                yield one.home, self._new(one.label, one.structure, stay.groups)

    def _new(self, label: str, structure: Structure, groups: Sequence[str]) -> EnclosureChange:
        companions = [one for ref in groups for one in self._rescue.companions[ref]]
        return EnclosureChange(label, "", None, self._with(structure, label, companions))

    def _then(self, code: str, label: str, groups: Sequence[str]) -> FloorDrawn:
        companions = [one for ref in groups for one in self._rescue.companions[ref]]
        structure = self._rescue.structures.get(code)
        if structure is None:
            return FloorDrawn("", _numbered([one.name for one in companions]))
        return self._with(structure, label, companions)

    def _with(
        self, structure: Structure, label: str, companions: Sequence[Companion]
    ) -> FloorDrawn:
        rules = self._rescue.rules[companions[0].species] if companions else None
        verdict = verdict_for(structure, companions, self._rescue.today, rules)
        names = [one.name for one in companions]
        return self._drawn(label, residence_by(structure, verdict), names)

    def _drawn(self, label: str, residence: Residence, names: Sequence[str]) -> FloorDrawn:
        units = self._naming.units
        picture = picture_of(residence, label, names, units, PAGE_MM_PER_UNIT)
        return FloorDrawn(picture, _numbered(names))


def _numbered(names: Sequence[str]) -> str:
    return format_html_join(" ", "<span><b>{}</b>&nbsp;{}</span>", enumerate(names, 1))
