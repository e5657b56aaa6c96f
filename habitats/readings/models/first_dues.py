"""The first of what is due, of several kinds at once, and how many there are of each.

One question of the database, written out: Django takes longer to write it than a database to
answer. Each kind is counted and begun along an index, so that all else that is due costs nothing.
"""

import json
from collections.abc import Mapping
from datetime import date
from typing import Any, NamedTuple, Self

from django.db import connection

from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home, home_words
from habitats.people.models.people import Person
from habitats.readings.models.due_rows import CHANGE, DueRow, DueRowQuerySet
from habitats.stored_wording import from_json


class DueSlice(NamedTuple):
    """The first ``most`` due by ``last``, and after a day if one is given.

    ``is_own``: in homes of the person's own, for a coordinator too.
    """

    kinds: tuple[str, ...]
    last: date
    most: int
    after: date | None = None
    is_own: bool = False


class ShownDue(NamedTuple):
    """Something due, with as much of where it is as a page tells; the names are empty: nowhere."""

    kind: str
    day: date
    until: date | None
    animals: list[tuple[str, str]]
    sentence_json: Any
    more: dict[str, Any]
    enclosure: str
    label: str
    home: str
    home_name: str
    home_area: str

    @property
    def sentence(self) -> str:
        return from_json(self.sentence_json)

    @property
    def names(self) -> list[str]:
        return [name for _code, name in self.animals]

    @property
    def at(self) -> str:
        """The home in words."""
        return home_words(self.home_name, self.home_area)

    @classmethod
    def of(cls, rows: DueRowQuerySet) -> list[Self]:
        return [cls._make(row[:6] + _texts(row[6:])) for row in rows.values_list(*_NAMES)]


_PLACE = ("enclosure__code", "enclosure__label", "home__code", "home__name", "home__area")
_NAMES = ("kind", "day", "until", "animals", "sentence_json", "more", *_PLACE)


class FirstDues(NamedTuple):
    """``number``: how many there are in all."""

    rows: list[ShownDue]
    number: int


NO_DUES = FirstDues([], 0)
_DUE, _HOME, _ENCLOSURE = (one._meta.db_table for one in (DueRow, Home, Enclosure))
_LIVES_IN = Home.people.through._meta.db_table
_ROWS = f"""
    SELECT f.name, f.number, d.kind, d.day, d.until, d.animals, d.sentence_json, d.more,
        e.code, e.label, h.code, h.name, h.area
    FROM ({{slices}}) AS f
    JOIN {_DUE} AS d ON d.id = f.id
    LEFT JOIN {_ENCLOSURE} AS e ON e.id = d.enclosure_id
    LEFT JOIN {_HOME} AS h ON h.id = d.home_id
    ORDER BY d.day, d.id"""  # nosec B608 # names of our own tables
_SLICE = f"""
    SELECT * FROM (
        SELECT %s AS name, id, (SELECT COUNT(*) FROM {_DUE} WHERE {{which}}) AS number
        FROM {_DUE} WHERE {{which}} ORDER BY day, id LIMIT %s) AS one"""  # nosec B608 # likewise


def first_dues(person: Person, slices: Mapping[str, DueSlice]) -> Mapping[str, FirstDues]:
    """By name, what this person sees of them in enclosures, soonest first; none without rows."""
    parts, given = [], []
    for name, one in slices.items():
        which, values = _which(person, one)
        parts.append(_SLICE.format(which=which))
        given += [name, *values, *values, one.most]
    found: dict[str, FirstDues] = {}
    with connection.cursor() as cursor:
        cursor.execute(_ROWS.format(slices=" UNION ALL ".join(parts)), given)
        for name, number, kind, day, until, animals, sentence, more, *place in cursor.fetchall():
            told = (json.loads(one) for one in (animals, sentence, more))
            row = ShownDue(kind, day, until, *told, *_texts(place))
            found.setdefault(name, FirstDues([], number)).rows.append(row)
    return found


def _which(person: Person, one: DueSlice) -> tuple[str, list[Any]]:
    """The condition and its values. Changes only where linens come from a pool."""
    kinds = ", ".join(["%s"] * len(one.kinds))
    told, values = [f"kind IN ({kinds})", "day <= %s"], [*one.kinds, one.last]
    if one.after:
        told.append("day > %s")
        values.append(one.after)
    told.append("enclosure_id IS NOT NULL")
    if CHANGE in one.kinds:
        pooled = f"home_id IN (SELECT id FROM {_HOME} WHERE pool_id IS NOT NULL)"  # nosec B608
        told.append(f"(kind <> %s OR {pooled})")
        values.append(CHANGE)
    if one.is_own or not person.is_coordinator:
        homes = f"SELECT home_id FROM {_LIVES_IN} WHERE person_id = %s"  # nosec B608 # likewise
        told.append(f"home_id IN ({homes})")
        values.append(person.pk)
    return " AND ".join(told), values


def _texts(place: Any) -> tuple[str, ...]:
    return tuple(one or "" for one in place)
