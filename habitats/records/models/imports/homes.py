"""Homes from a file, with how to reach their people."""

from collections.abc import Sequence
from datetime import date

from habitats.homes.models.homes import Home, HomeContact
from habitats.imports import ImportSheet
from habitats.imports.contacts import CONTACT
from habitats.people.models.people import Person
from habitats.records.models.imports.plan import (
    AT_ONCE,
    Arrival,
    ImportNames,
    Plan,
    coded,
    planned,
    sort,
)


def plan(sheet: ImportSheet, today: date) -> Plan:
    return planned(sort(sheet, "homes", ImportNames(Home.objects.all())), lambda arrival: arrival)


def write(new: Sequence[Arrival], by: Person) -> None:
    homes, contacts = [], []
    for arrival, code in coded(new, Home):
        values = dict(arrival.row.values)
        contact = {name: values.pop(name) for name in CONTACT}
        had_a_room = values.pop("has_isolation_room")  # as older files tell it
        if values["isolation_places"] is None:
            values["isolation_places"] = int(had_a_room)
        home = Home(**{**values, "code": code}, idempotency_key=arrival.idempotency_key, made_by=by)
        homes.append(home)
        if any(contact.values()):
            contacts.append(HomeContact(home=home, **contact))
    Home.objects.bulk_create(homes, batch_size=AT_ONCE)
    HomeContact.objects.bulk_create(contacts, batch_size=AT_ONCE)
