"""Contacts from a file: of homes that are kept here, and of which nobody wrote one down yet."""

from collections.abc import Sequence
from datetime import date

from habitats.homes.models.homes import Home, HomeContact
from habitats.imports import ImportFault, ImportRow, ImportSheet
from habitats.imports.contacts import CONTACT
from habitats.people.models.people import Person
from habitats.records.models.imports.plan import (
    AT_ONCE,
    Arrival,
    ImportNames,
    Plan,
    in_order,
    not_found,
)
from habitats.wording import message


def plan(sheet: ImportSheet, today: date) -> Plan:
    homes = ImportNames(Home.objects.all())
    kept = set(HomeContact.objects.values_list("home", flat=True))
    lines: dict[int, int] = {}
    new: list[Arrival] = []
    faults, known = list(sheet.faults), 0
    for row in sheet.rows:
        home = homes.called(row.values["home"])
        before = lines.setdefault(home["pk"], row.line) if home else row.line
        fault = _fault(row, known_here=home is not None, before=before)
        if fault or home is None:
            faults += [fault] if fault else []
        elif home["pk"] in kept:
            known += 1
        else:
            new.append(Arrival(row, home["idempotency_key"], {"home": home["pk"]}))
    return Plan(tuple(new), known, in_order(faults))


def write(new: Sequence[Arrival], by: Person) -> None:
    HomeContact.objects.bulk_create(
        (
            HomeContact(
                home_id=arrival.refs["home"],
                **{name: arrival.row.values[name] for name in CONTACT},
            )
            for arrival in new
        ),
        batch_size=AT_ONCE,
    )


def _fault(row: ImportRow, *, known_here: bool, before: int) -> ImportFault | None:
    if not known_here:
        return row.fault("home", not_found(message("No home here has this code or number.")))
    if before != row.line:
        return row.fault(
            "home",
            message(
                "Line %(line)d is about the same home. Put both into one row, or delete one.",
                line=before,
            ),
        )
    return None
