"""Linens from a file: of kinds that are here, into pools that are here."""

import uuid
from collections.abc import Sequence
from datetime import date

from django.utils import timezone

from habitats.imports import ImportFault, ImportSheet
from habitats.linens.models.linens import Linen, LinenKind
from habitats.linens.models.new_linens import NewLinens, cutting_for, key_of, make_many
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize
from habitats.people.models.people import Person
from habitats.records.models.imports.plan import (
    Arrival,
    Plan,
    Sorted,
    idempotency_key,
    planned,
    same_as_line,
    sort_by_name,
)
from habitats.wording import message

MOST_LINENS = 20_000  # of one file


def plan(sheet: ImportSheet, today: date) -> Plan:
    kinds = {kind.name: kind for kind in LinenKind.objects.filter(put_away_on__isnull=True)}
    pools: dict[str, Pool] = {}
    for pool in Pool.objects.live():
        pools |= {pool.code: pool, pool.name: pool}
    made = 0

    def look(arrival: Arrival) -> Arrival | ImportFault:
        nonlocal made
        values = arrival.row.values
        pool = pools.get(values["pool"]) or pools.get(values["pool"].upper())
        if pool is None:
            return arrival.row.fault("pool", _NO_POOL)
        if values["kind"] not in kinds:
            return arrival.row.fault("kind", _NO_KIND)
        made += values["number"]
        if made > MOST_LINENS:
            return arrival.row.fault("number", _TOO_MANY)
        return arrival._replace(refs={"pool": pool, "kind": kinds[values["kind"]]})

    return planned(_sorted(sheet), look)


def write(new: Sequence[Arrival], by: Person) -> None:
    cut: dict[tuple[str, int, int], tuple[LinenSize, tuple[int, int]]] = {}
    wanted = []
    for arrival in new:
        values, kind = arrival.row.values, arrival.refs["kind"]
        measures = kind.name, values["width_mm"], values["length_mm"]
        if measures not in cut:
            size = LinenSize.of(kind.sort, *measures[1:])
            cut[measures] = size, cutting_for(kind, size).piece
        size, piece = cut[measures]
        wanted.append(
            NewLinens(
                kind,
                size,
                arrival.refs["pool"],
                values["number"],
                values["made_on"] or timezone.localdate(),
                None if values["washed"] else piece,
                arrival.idempotency_key,
            )
        )
    make_many(wanted, by=by)


_NO_POOL = message(
    "No pool in use has this name or code. Correct it, or add the pool on the page of pools."
)
_NO_KIND = message(
    "No kind of linens in use has this name. Correct it, or add the kind on the page of linens."
)
_TOO_MANY = message(
    "With this row the file has more than %(most)d linens. Put this row and those after it into "
    "another file.",
    most=MOST_LINENS,
)


def _sorted(sheet: ImportSheet) -> Sorted:
    keys = {row.line: idempotency_key("linens", row, ("own_id",)) for row in sheet.rows}
    there = _there({key_of(key, 0): key for key in keys.values()})
    return sort_by_name(
        sheet,
        "own_id",
        lambda row: keys[row.line],
        lambda row: keys[row.line] in there,
        twice=same_as_line,
    )


def _there(wanted: dict[uuid.UUID, uuid.UUID]) -> set[uuid.UUID]:
    """Of these rows, by the key of the first linen of each, those that were imported before."""
    keys = Linen.objects.values_list("idempotency_key", flat=True).iterator()
    return {wanted[key] for key in keys if key in wanted}
