"""Weights from a file: tens of thousands at once, each kept once however often it comes."""

import uuid
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from habitats.animals.models.animals import Animal, Weighing
from habitats.imports import ImportFault, ImportRow, ImportSheet
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.records.models.imports.plan import (
    AT_ONCE,
    Arrival,
    ImportNames,
    Plan,
    in_order,
    not_found,
)
from habitats.welfare.companion import BirthSpan, Companion, DatedWeight
from habitats.welfare.slips import likely_slip
from habitats.welfare.values import Species
from habitats.welfare.weights import weight_fault
from habitats.welfare.words import day_words
from habitats.wording import message

# Animal, day, grams: by that a weighing is known again, whoever entered it, struck out or not.
Key = tuple[int, date, int]


def plan(sheet: ImportSheet, today: date) -> Plan:
    animals = ImportNames(Animal.objects.all(), "species", "born", "born_margin_days")
    faults = list(sheet.faults)
    found: dict[Key, ImportRow] = {}
    known = 0
    for row in sheet.rows:
        animal = animals.called(row.values["animal"])
        fault = _fault(row, animal)
        if fault or animal is None:
            faults += [fault] if fault else []
            continue
        known += found.setdefault(_key(row, animal), row) is not row
    kept = _kept(found)
    new = [_arrival(key, row) for key, row in found.items() if key not in kept]
    doubts = _likely_slips(new, animals)
    return Plan(tuple(new), known + len(kept), in_order(faults), in_order(doubts))


def write(new: Sequence[Arrival], by: Person) -> None:
    Weighing.objects.bulk_create(
        (
            Weighing(
                animal_id=arrival.refs["animal"],
                grams=arrival.row.values["grams"],
                on=arrival.row.values["day"],
                note=arrival.row.values["note"],
                idempotency_key=arrival.idempotency_key,
                made_by=by,
            )
            for arrival in new
        ),
        batch_size=AT_ONCE,
    )
    # Written past `save`, which would have said so.
    Reading.objects.forget()


def _arrival(key: Key, row: ImportRow) -> Arrival:
    return Arrival(row, uuid.uuid4(), {"animal": key[0]})


def _key(row: ImportRow, animal: dict[str, Any]) -> Key:
    return animal["pk"], row.values["day"], row.values["grams"]


def _kept(wanted: dict[Key, ImportRow]) -> set[Key]:
    """Those that are remembered already, read along the days that the file is about."""
    days = [day for _animal, day, _grams in wanted]
    if not days:
        return set()
    there = Weighing.objects.filter(on__range=(min(days), max(days)))
    rows = there.values_list("animal_id", "on", "grams").iterator()
    return {row for row in rows if row in wanted}


def _likely_slips(new: Sequence[Arrival], animals: ImportNames) -> Iterator[ImportFault]:
    """Rows whose grams may have a wrong digit: people look again, nothing is refused.

    Each is compared with what was weighed before it, in the file and here; one in doubt is not
    what the next is compared with.
    """
    rows: dict[int, list[ImportRow]] = {}
    for arrival in new:
        rows.setdefault(arrival.refs["animal"], []).append(arrival.row)
    facts = {one["pk"]: one for one in animals.by_code.values() if one["pk"] in rows}
    known = _weighed_here(rows)
    for key, of_animal in rows.items():
        # By day, and of one day in the order of the lines, in which they are kept too.
        weighings: list[tuple[DatedWeight, ImportRow | None]] = [(one, None) for one in known[key]]
        weighings += [(_weighing(row), row) for row in of_animal]
        before: dict[date, DatedWeight] = {}
        for weighing, row in sorted(weighings, key=lambda one: one[0].day):
            recent = tuple(list(before.values())[-2:])
            slip = likely_slip(_companion(facts[key], recent), weighing) if row else None
            if row and slip:
                yield row.fault("grams", slip.question)
            else:
                before[weighing.day] = weighing


def _weighed_here(rows: dict[int, list[ImportRow]]) -> dict[int, list[DatedWeight]]:
    """By animal, up to the last day that the file is about: one query."""
    found: dict[int, list[DatedWeight]] = {key: [] for key in rows}
    until = max((row.values["day"] for many in rows.values() for row in many), default=None)
    if until is None:
        return found
    there = Weighing.objects.standing().filter(on__lte=until).in_time()
    for key, on, grams in there.values_list("animal_id", "on", "grams").iterator():
        if key in found:
            found[key].append(DatedWeight(on, grams))
    return found


def _weighing(row: ImportRow) -> DatedWeight:
    return DatedWeight(row.values["day"], row.values["grams"])


def _companion(facts: dict[str, Any], before: tuple[DatedWeight, ...]) -> Companion:
    born = BirthSpan.about(facts["born"], facts["born_margin_days"]) if facts["born"] else None
    return Companion(
        facts["code"], facts["code"], Species(facts["species"]), born=born, weighings=before
    )


def _fault(row: ImportRow, animal: dict[str, Any] | None) -> ImportFault | None:
    if animal is None:
        return row.fault("animal", not_found(message("No animal here has this code or number.")))
    sentence = weight_fault(Species(animal["species"]), row.values["grams"])
    if sentence:
        return row.fault("grams", sentence)
    born, day = animal["born"], row.values["day"]
    first = BirthSpan.about(born, animal["born_margin_days"]).earliest if born else None
    if first and day < first:
        sentence = message(
            "This is before its birth on %(day)s. Correct one of the two days.",
            day=day_words(first),
        )
        return row.fault("day", sentence)
    return None
