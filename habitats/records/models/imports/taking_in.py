"""The dry run of a file, and taking it in: all of it or nothing, or without its faulty rows."""

from collections.abc import Callable, Sequence
from datetime import date
from typing import NamedTuple

from django.db import transaction

from habitats.imports import KINDS, ImportSheet, read
from habitats.people.models.people import Person
from habitats.records.models.import_files import ImportFile
from habitats.records.models.imports import animals, contacts, enclosures, homes, weights
from habitats.records.models.imports.plan import Arrival, Plan


class _Importer(NamedTuple):
    plan: Callable[[ImportSheet, date], Plan]
    write: Callable[[Sequence[Arrival], Person], None]


_IMPORTERS = {
    "homes": _Importer(homes.plan, homes.write),
    "contacts": _Importer(contacts.plan, contacts.write),
    "enclosures": _Importer(enclosures.plan, enclosures.write),
    "animals": _Importer(animals.plan, animals.write),
    "weights": _Importer(weights.plan, weights.write),
}


class HasFaults(Exception):
    """The whole file was asked for, and a row of it cannot be taken in: nothing was."""


def dry_run(content: bytes, kind: str, today: date) -> Plan:
    """What taking the file in would do; nothing is written.

    Raises ``Unreadable`` with a sentence where the file as a whole cannot be taken in.
    """
    return _IMPORTERS[kind].plan(read(content, KINDS[kind], today), today)


def take_in(file: ImportFile, *, skip: bool, by: Person, today: date) -> ImportFile:
    """Take the file in; what was taken in before changes nothing more.

    ``skip``: without its faulty rows, which are then listed; else raises ``HasFaults`` if there is
    one. Raises ``Unreadable``, as ``dry_run`` does.
    """
    with transaction.atomic():
        # Two who confirm at once take turns here; the second finds it taken in.
        locked = ImportFile.objects.select_for_update().get(pk=file.pk)
        if locked.is_taken:
            return locked
        plan = dry_run(bytes(locked.content), locked.kind, today)
        if plan.faults and not skip:
            raise HasFaults
        _IMPORTERS[locked.kind].write(plan.new, by)
        locked.close(
            made=len(plan.new),
            known=plan.known,
            left_out=plan.left_out,
            skipped=plan.faults,
        )
    return locked
