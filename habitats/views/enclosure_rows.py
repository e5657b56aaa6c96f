"""Enclosures in a list: who lives there, and what the chosen rule set says in a few words."""

from typing import NamedTuple

from habitats.measures import area
from habitats.models import Enclosure, Group, Person, Reading, State
from habitats.models.readings import ReadingQuerySet
from habitats.views.verdicts import Said
from habitats.welfare.words import listed


class EnclosureRow(NamedTuple):
    reading: Reading
    enclosure: Enclosure
    group: Group | None
    who: str
    said: Said

    @property
    def state(self) -> str:
        return State(self.reading.state).label


def rows_of(readings: ReadingQuerySet, person: Person) -> list[EnclosureRow]:
    """The readings' enclosures by label, with one query."""
    found = readings.select_related("enclosure", "group").order_by("enclosure__label", "enclosure")
    return [
        EnclosureRow(one, one.enclosure, one.group, who(one), said_of(one, person.units))
        for one in found
    ]


def who(reading: Reading) -> str:
    """The animals by name; empty where nobody lives."""
    names = [name for _code, name, _share in reading.residents]
    return listed(names) if names else ""


def said_of(reading: Reading, units: str) -> Said:
    if not reading.animals:
        return Said("untold", "Free")
    if reading.required_mm2 is None:
        return Said("untold", "Not judged: no rule set is chosen")
    if reading.lacking_mm2:
        return Said("lacks", f"Lacks {area(reading.lacking_mm2, units)}")
    if reading.passes is False:
        return Said("lacks", "Falls short, though not in floor")
    if reading.passes is None:
        return Said("untold", "Cannot be told: a value is missing")
    return Said("passes", f"Enough; {area(reading.free_mm2, units)} free")
