"""What an import would do: who arrives, who is known already, what cannot be."""

import uuid
from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from django.db import models

from habitats.common.codes import new_code
from habitats.imports import KINDS, ImportFault, ImportRow, ImportSheet
from habitats.wording import joined, message

# Rows without code and own number are known again by all that they say.
_BY_CONTENT = uuid.UUID("6b0f6d1c-9a5e-4a0f-8f5c-2f9f6f0c7d11")
AT_ONCE = 500  # rows written in one go

_HOW_TO_NAME = message(
    "Copy the code from its page, or write your own number that it was imported with."
)


def not_found(sentence: str) -> str:
    """With how to name what is here."""
    return joined(" ", [sentence, _HOW_TO_NAME])


def same_as_line(before: int) -> str:
    """Of a row without a number of its own that stands in the file twice."""
    return message(
        "The row is the same as line %(line)d. Give each row its own number, or delete one.",
        line=before,
    )


def same_name_as_line(before: int) -> str:
    """Of a row that is known by a name, which another line gives as well."""
    return message(
        "Line %(line)d has the same. Each row needs its own: correct one of the two, "
        "or delete one.",
        line=before,
    )


class Arrival(NamedTuple):
    """A row that becomes something. ``refs`` are the primary keys its words point to."""

    row: ImportRow
    idempotency_key: uuid.UUID
    refs: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Plan:
    """``known`` rows change nothing. Faults are in the order of their lines, and so are doubts:
    what people should look at of rows that are taken in all the same.
    """

    new: tuple[Arrival, ...]
    known: int
    faults: tuple[ImportFault, ...]
    doubts: tuple[ImportFault, ...] = ()

    @property
    def left_out(self) -> int:
        """How many rows have a fault."""
        return len({fault.line for fault in self.faults})


class ImportNames:
    """By code and by own number, what is remembered of one noun: rows of ``values``."""

    def __init__(self, found: "models.QuerySet[Any]", *fields: str) -> None:
        self.by_code: dict[str, dict[str, Any]] = {}
        self.by_own_id: dict[str, dict[str, Any]] = {}
        self.idempotency_keys: set[uuid.UUID] = set()
        for one in found.values("pk", "code", "own_id", "idempotency_key", *fields).iterator():
            self.by_code[one["code"]] = one
            self.idempotency_keys.add(one["idempotency_key"])
            if one["own_id"]:
                self.by_own_id[one["own_id"]] = one

    def called(self, name: str) -> dict[str, Any] | None:
        """By own number first: whoever numbers their own means those."""
        return self.by_own_id.get(name) or self.by_code.get(name.upper())


@dataclass(frozen=True, slots=True)
class Sorted:
    """Rows of a sheet: those that are new, how many are known, and what cannot be."""

    new: list[Arrival]
    known: int
    faults: list[ImportFault]


def sort(sheet: ImportSheet, kind: str, names: ImportNames) -> Sorted:
    """Tell rows apart by code, by own number, or else by all that they say."""
    keys = {row.line: idempotency_key(kind, row, ("code", "own_id")) for row in sheet.rows}

    def here(row: ImportRow) -> bool | ImportFault:
        is_here = keys[row.line] in names.idempotency_keys or _is_known(row, names)
        return _two_at_once(row, names) or is_here

    return sort_by_name(sheet, "own_id", lambda row: keys[row.line], here, twice=same_as_line)


def sort_by_name(
    sheet: ImportSheet,
    column: str,
    named: Callable[[ImportRow], Hashable],
    here: Callable[[ImportRow], bool | ImportFault],
    *,
    twice: Callable[[int], str] = same_name_as_line,
) -> Sorted:
    """Tell rows apart by what names them, which stands in the column.

    ``here``: whether a row is recorded already; or why it cannot be. A name that is a key is that
    of what the row becomes.
    """
    new: list[Arrival] = []
    known, faults = 0, list(sheet.faults)
    seen: dict[Hashable, int] = {}
    for row in sheet.rows:
        name = named(row)
        before = seen.setdefault(name, row.line)
        there = row.fault(column, twice(before)) if before != row.line else here(row)
        if isinstance(there, ImportFault):
            faults.append(there)
        elif there:
            known += 1
        else:
            key = name if isinstance(name, uuid.UUID) else uuid.uuid4()
            new.append(Arrival(row, key, {}))
    return Sorted(new, known, faults)


def planned(found: Sorted, look: Callable[[Arrival], Arrival | ImportFault]) -> Plan:
    """The plan, each new row looked at once more: it may point to what is not there."""
    new: list[Arrival] = []
    faults = found.faults
    for arrival in found.new:
        looked_at = look(arrival)
        if isinstance(looked_at, Arrival):
            new.append(looked_at)
        else:
            faults.append(looked_at)
    return Plan(tuple(new), found.known, in_order(faults))


def in_order(faults: Iterable[ImportFault]) -> tuple[ImportFault, ...]:
    return tuple(sorted(faults, key=lambda fault: fault.line))


def free_codes(taken: Iterable[str]) -> Iterator[str]:
    """Codes that nothing has, one after the other."""
    used = set(taken)
    while True:
        code = new_code()
        if code not in used:
            used.add(code)
            yield code


def coded(new: Iterable[Arrival], model: type[models.Model]) -> Iterator[tuple[Arrival, str]]:
    """Each with the code that its row gives, or a new one."""
    arrivals = list(new)
    given = [one.row.values["code"] for one in arrivals]
    codes = free_codes([*model._default_manager.values_list("code", flat=True), *given])
    for arrival, code in zip(arrivals, given, strict=True):
        yield arrival, code or next(codes)


def idempotency_key(kind: str, row: ImportRow, names: Sequence[str]) -> uuid.UUID:
    """The same for the same row, on every day. ``names``: columns by which it is known again."""
    values = row.values
    named = next(((one, values[one]) for one in names if values[one]), None)
    later = {one.name for one in KINDS[kind].columns if one.is_later}
    told = (value for name, value in values.items() if value or name not in later)
    identity = named or tuple(str(one) for one in told)
    return uuid.uuid5(_BY_CONTENT, repr((kind, identity)))


def _is_known(row: ImportRow, names: ImportNames) -> bool:
    return row.values["code"] in names.by_code or row.values["own_id"] in names.by_own_id


def _two_at_once(row: ImportRow, names: ImportNames) -> ImportFault | None:
    """A code that is one's and an own number that is another's."""
    one = names.by_code.get(row.values["code"])
    other = names.by_own_id.get(row.values["own_id"])
    if other is None or not row.values["code"] or one is other:
        return None
    return row.fault(
        "own_id",
        message(
            "This is your own number for %(code)s, but the row gives another code. Correct one of "
            "the two.",
            code=other["code"],
        ),
    )
