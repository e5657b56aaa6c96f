"""People from a file. They cannot log in until somebody gives them a first password."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date

from django.contrib.auth.hashers import make_password

from habitats.common.languages import choices, spoken_as
from habitats.common.several_codes import codes_of
from habitats.homes.models.homes import Home
from habitats.imports import ImportFault, ImportRow, ImportSheet
from habitats.imports.cells import allowed
from habitats.people.models.people import Person
from habitats.records.models.imports.plan import (
    AT_ONCE,
    Arrival,
    ImportNames,
    Plan,
    Sorted,
    not_found,
    planned,
    sort_by_name,
)
from habitats.wording import joined, message

_FACTS = ("first_name", "last_name", "email", "units", "paper", "is_active")


def plan(sheet: ImportSheet, today: date) -> Plan:
    homes = ImportNames(Home.objects.all())

    def look(arrival: Arrival) -> Arrival | ImportFault:
        values = arrival.row.values
        language = spoken_as(values["language"]) if values["language"] else ""
        if values["language"] and not language:
            return arrival.row.fault(
                "language", joined(" ", [_NOT_SPOKEN, allowed(code for code, _name in choices())])
            )
        home = homes.called(values["home"]) if values["home"] else None
        if values["home"] and home is None:
            return arrival.row.fault(
                "home", not_found(message("No home here has this code or number."))
            )
        return arrival._replace(refs={"home": home and home["pk"], "language": language})

    found = planned(_sorted(sheet), look)
    return replace(found, doubts=tuple(_who_see_everything(found.new)))


def write(new: Sequence[Arrival], by: Person) -> None:
    people = [
        Person(
            username=arrival.row.values["log_in"],
            password=make_password(None),  # none fits it
            language=arrival.refs["language"],
            roles=arrival.row.values["role"],
            **{name: arrival.row.values[name] for name in _FACTS},
        )
        for arrival in new
    ]
    Person.objects.bulk_create(people, batch_size=AT_ONCE)
    in_homes = Home.people.through
    in_homes._default_manager.bulk_create(
        (
            in_homes(home_id=arrival.refs["home"], person_id=person.pk)
            for arrival, person in zip(new, people, strict=True)
            if arrival.refs["home"]
        ),
        batch_size=AT_ONCE,
    )


_NOT_SPOKEN = message("This language is not among those of the screens.")


def _sorted(sheet: ImportSheet) -> Sorted:
    """By log-in name, however it is capitalised: nobody should have to tell two apart by that."""
    names: dict[str, tuple[str, str]] = {
        name.casefold(): (first, last)
        for name, first, last in Person.objects.values_list("username", "first_name", "last_name")
    }

    def named(row: ImportRow) -> str:
        name: str = row.values["log_in"].casefold()
        return name

    def here(row: ImportRow) -> bool | ImportFault:
        found = names.get(named(row))
        if found is None or found == (row.values["first_name"], row.values["last_name"]):
            return found is not None
        return row.fault("log_in", _of_another(" ".join(found).strip()))

    return sort_by_name(sheet, "log_in", named, here)


def _of_another(name: str) -> str:
    if not name:
        return message(
            "This log-in name is taken by a person without a name. If it is the same person, write "
            "their name on their page; else choose another log-in name."
        )
    return message(
        "This log-in name belongs to %(name)s. If it is the same person, write the name in the "
        "same way; else choose another log-in name.",
        name=name,
    )


def _who_see_everything(new: Sequence[Arrival]) -> Iterator[ImportFault]:
    for arrival in new:
        if Person.Role.COORDINATOR in codes_of(arrival.row.values["role"]):
            yield arrival.row.fault(
                "role",
                message(
                    "A coordinator sees addresses and may change everything, people included. "
                    "Check that this person should."
                ),
            )
