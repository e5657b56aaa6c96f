"""Reading the inputs of a forecast from JSON, or every fault in it with its place.

Beside the keys that they must have, `laundry` may have `set_aside_washes`, 1 to 3 (see
`Laundry`); 1 where it is left out. An enclosure in which no linen lies is due on the first day.
Masses are read exactly and kept in whole grams, a linen's rounded up and a load's down, so that no
load is ever too heavy.
"""

import math
import re
from collections.abc import Collection
from datetime import date
from fractions import Fraction
from typing import Any

from habitats.rotation.values import ForecastInputs, Laundry, LinenNeed, LinenToday, WashStage
from habitats.structure.faults import FileFault
from habitats.structure.fields import Fields, Findings, on_one_line, shown

MOST_DAYS = 1100  # three years ahead
MOST_NEEDS = 20_000
MOST_PIECES = 100_000
INTERVAL_DAYS = (1, 3650)
LOADS_A_DAY = (0, 1000)
DAYS_TO_CLEAN = (0, 365)
SET_ASIDE_WASHES = (1, 3)
MOST_KG = 1000
LONGEST_ID = 100
YEARS = (1900, 2200)

DAY = "Give a day as YYYY-MM-DD, such as 2027-01-04."
KG = f"Give kilograms, more than 0 and at most {MOST_KG}."
WEEKDAYS = "Give a list of days of the week, 0 for Monday to 6 for Sunday, each at most once."
TEXT = f"Give a text of 1 to {LONGEST_ID} characters on one line."


class BadForecastInputs(ValueError):
    """They cannot be forecast as given; `faults` names every reason found."""

    def __init__(self, faults: list[FileFault]) -> None:
        super().__init__("; ".join(str(fault) for fault in faults))
        self.faults = tuple(faults)


def forecast_inputs_from(document: object) -> ForecastInputs:
    """The inputs in a parsed document. Raises BadForecastInputs."""
    if not isinstance(document, dict):
        raise BadForecastInputs(
            [FileFault("", f"A round is one JSON object, not {shown(document)}.")]
        )
    findings = Findings()
    inputs = _Reader(document, findings).read()
    if findings.faults:
        raise BadForecastInputs(findings.faults)
    return inputs


class _Reader:
    """One document; what was read of it before decides what may come after."""

    def __init__(self, document: dict[str, Any], findings: Findings) -> None:
        self._fields = Fields(document, "", findings)
        self._sizes_given = document.get("sizes")
        self._sizes: dict[str, int] = {}
        self._needs: dict[str, LinenNeed] = {}
        self._pieces: dict[str, LinenToday] = {}
        self._takes: dict[str, str | None] = {}  # by enclosure, faulty ones too; None: not known
        self._lying: dict[str, str] = {}

    def read(self) -> ForecastInputs:
        fields = self._fields
        fields.known("start", "days", "sizes", "enclosures", "linens", "laundry")
        start = fields.read_as("start", _day, DAY)
        days = fields.whole("days", (1, MOST_DAYS))
        laundry = self._laundry()
        self._read_sizes(laundry)
        for one in fields.children("enclosures", MOST_NEEDS):
            self._read_need(one, start)
        for one in fields.children("linens", MOST_PIECES):
            self._read_piece(one, start)
        needs, pieces = tuple(self._needs.values()), tuple(self._pieces.values())
        return ForecastInputs(start or date.min, days, self._sizes, needs, pieces, laundry)

    def _laundry(self) -> Laundry:
        fields = self._fields.child("laundry")
        fields.known(
            "wash_weekdays", "loads_per_day", "load_kg", "days_to_clean", "set_aside_washes"
        )
        return Laundry(
            fields.read_as("wash_weekdays", _weekdays, WEEKDAYS) or frozenset(),
            fields.whole("loads_per_day", LOADS_A_DAY),
            math.floor(fields.read_as("load_kg", _grams, KG) or MOST_KG * 1000),
            fields.whole("days_to_clean", DAYS_TO_CLEAN),
            fields.whole("set_aside_washes", SET_ASIDE_WASHES, default=1),
        )

    def _read_sizes(self, laundry: Laundry) -> None:
        fields = self._fields.child("sizes")
        for size in self._sizes_given if isinstance(self._sizes_given, dict) else ():
            if _id(size) is None:
                fields.fault(on_one_line(size), f"The size is named {shown(size)}. {TEXT}")
                continue
            one = fields.child(size)
            one.known("kg")
            grams = math.ceil(one.read_as("kg", _grams, KG) or 1)
            self._sizes[size] = grams
            if grams > laundry.load_g:
                one.fault(
                    "kg",
                    f"{grams / 1000:g} given, which is more than a load of "
                    f"{laundry.load_g / 1000:g} kg: it can never be washed here. "
                    "Give another mass, or a larger load_kg.",
                )

    def _read_need(self, fields: Fields, start: date | None) -> None:
        fields.known("id", "size", "interval_days", "last_changed")
        id = self._new_id(fields, self._takes)
        size = self._size(fields)
        interval = fields.whole("interval_days", INTERVAL_DAYS)
        changed = fields.read_as("last_changed", _day, DAY)
        if start and changed and changed > start:
            fields.fault("last_changed", f"{changed} given. Give a day up to the start, {start}.")
        if id:
            self._takes.setdefault(id, size)
        if id and size and changed:
            self._needs[id] = LinenNeed(id, size, interval, changed)

    def _read_piece(self, fields: Fields, start: date | None) -> None:
        fields.known("id", "size", "state", "enclosure", "ready", "set_aside")
        id = self._new_id(fields, self._pieces)
        size = self._size(fields)
        state = fields.one_of("state", list(WashStage))
        set_aside = fields.yes_no("set_aside", default=False)
        at = WashStage(state or WashStage.CLEAN)
        enclosure = self._enclosure(fields, id, size, at) if state else None
        ready = self._ready(fields, at, start) if state else None
        if id and size:
            self._pieces[id] = LinenToday(id, size, at, enclosure, ready, set_aside)

    def _enclosure(
        self, fields: Fields, id: str | None, size: str | None, at: WashStage
    ) -> str | None:
        """Where a linen in use lies. Of a soiled one it may be said where it came from."""
        if at is not WashStage.IN_USE:
            given = fields.maybe_read_as("enclosure", _id, TEXT)
            if given and at is WashStage.CLEAN:
                fields.fault(
                    "enclosure",
                    f"{shown(given)} given for a clean linen. Give null, or in_use as its state.",
                )
            return None
        given = fields.read_as("enclosure", _id, "Give the id of the enclosure that it lies in.")
        if given is None:
            return None
        takes = self._takes.get(given)
        if given not in self._takes:
            fields.fault("enclosure", f"{shown(given)} given. Give the id of one of enclosures.")
        elif size and takes and takes != size:
            what = f"{shown(given)} given, which takes {shown(takes)}. Give another."
            fields.fault("enclosure", what)
        elif given in self._lying:
            other = shown(self._lying[given])
            fields.fault("enclosure", f"{shown(given)} given, in which {other} lies. Give another.")
        self._lying.setdefault(given, id or "")
        return given

    def _ready(self, fields: Fields, at: WashStage, start: date | None) -> date | None:
        """When a linen in the wash is clean. Of a clean one it may be said when it became so."""
        if at is WashStage.WASHING:
            return fields.read_as("ready", _day, f"A linen in the wash has one. {DAY}")
        given = fields.maybe_read_as("ready", _day, DAY)
        if given and (at is WashStage.SOILED or (start and given > start)):
            fields.fault(
                "ready", f"{given} given for one that is {at}. Give null, or washing as its state."
            )
        return None

    def _new_id(self, fields: Fields, known: Collection[str]) -> str | None:
        id = fields.read_as("id", _id, TEXT)
        if id in known:
            fields.fault("id", f"{shown(id)} given a second time. Give each its own.")
        return id

    def _size(self, fields: Fields) -> str | None:
        size = fields.read_as("size", _id, TEXT)
        if size is None or size in self._sizes:
            return size
        some = ", ".join(on_one_line(one) for one in list(self._sizes)[:10]) or "none was read"
        fields.fault("size", f"{shown(size)} given. Give one that sizes has: {some}.")
        return None


def _day(value: object) -> date | None:
    if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        return None
    try:
        day = date.fromisoformat(value)
    except ValueError:
        return None
    return day if YEARS[0] <= day.year < YEARS[1] else None


def _grams(value: object) -> Fraction | None:
    """Grams, exactly as the kilograms are written."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value <= MOST_KG:
        return None
    return Fraction(str(value)) * 1000


def _weekdays(value: object) -> frozenset[int] | None:
    if not isinstance(value, list) or not all(type(day) is int for day in value):
        return None
    days = frozenset(value)
    return days if len(days) == len(value) and days <= frozenset(range(7)) else None


def _id(value: object) -> str | None:
    """A text that can be printed on one line."""
    if not isinstance(value, str) or not 0 < len(value) <= LONGEST_ID:
        return None
    return value if on_one_line(value, LONGEST_ID) == value and value.strip() else None
