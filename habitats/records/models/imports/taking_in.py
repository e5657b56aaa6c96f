"""The dry run of a file, and taking it in: all of it or nothing, or without its faulty rows."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import NamedTuple

from django.db import transaction

from habitats.common.row_counts import MANY, count_rows
from habitats.imports import KINDS, ImportSheet, read
from habitats.people.models.people import Person
from habitats.records.models.import_files import ImportFile
from habitats.records.models.imports import (
    animals,
    contacts,
    enclosures,
    homes,
    linens,
    people,
    weights,
)
from habitats.records.models.imports.plan import Arrival, Plan


class Importer(NamedTuple):
    plan: Callable[[ImportSheet, date], Plan]
    write: Callable[[Sequence[Arrival], Person], None]


# By the id of a kind. `builds` adds its own when it starts: what it keeps is not known here.
IMPORTERS = {
    "homes": Importer(homes.plan, homes.write),
    "contacts": Importer(contacts.plan, contacts.write),
    "people": Importer(people.plan, people.write),
    "enclosures": Importer(enclosures.plan, enclosures.write),
    "animals": Importer(animals.plan, animals.write),
    "weights": Importer(weights.plan, weights.write),
    "linens": Importer(linens.plan, linens.write),
}


class HasFaults(Exception):
    """The whole file was asked for, and a row of it cannot be taken in: nothing was."""


def dry_run(content: bytes, kind: str, today: date) -> Plan:
    """What taking the file in would do; nothing is written.

    Raises ``Unreadable`` with a sentence where the file as a whole cannot be taken in.
    """
    return IMPORTERS[kind].plan(read(content, KINDS[kind], today), today)


def take_in(file: ImportFile, *, skip: bool, by: Person, today: date) -> ImportFile:
    """Take the file in; what was taken in before changes nothing more.

    ``skip``: without its faulty rows, which are then listed; else raises ``HasFaults`` if there is
    one. Raises ``Unreadable``, as ``dry_run`` does.
    """
    with transaction.atomic():
        # Two who confirm at once take turns here; the second finds it taken in.
        locked = ImportFile.objects.select_for_update(no_key=True).get(pk=file.pk)
        if locked.is_taken:
            return locked
        plan = dry_run(bytes(locked.content), locked.kind, today)
        if plan.faults and not skip:
            raise HasFaults
        IMPORTERS[locked.kind].write(plan.new, by)
        if len(plan.new) >= MANY:
            count_rows()
        locked.close(
            made=len(plan.new),
            known=plan.known,
            left_out=plan.left_out,
            skipped=plan.faults,
        )
    return locked
