"""Animals from a file. A mother may stand in the same file, above her young or below."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any

from habitats.animals.models.animals import Animal
from habitats.imports import ImportFault, ImportSheet
from habitats.people.models.people import Person
from habitats.readings.models.unhoused import Unhoused
from habitats.records.models.imports.plan import (
    AT_ONCE,
    Arrival,
    ImportNames,
    Plan,
    coded,
    in_order,
    not_found,
    sort,
)
from habitats.welfare.words import day_words
from habitats.wording import message

MOTHER_LINE = "mother_line"  # ref: the mother arrives too, in that line


def plan(sheet: ImportSheet, today: date) -> Plan:
    names = ImportNames(Animal.objects.all(), "name", "species", "sex", "born")
    found = sort(sheet, "animals", names)
    mothers = _Mothers(names, {one.row.line: one for one in found.new}, sheet.faulty_names)
    new, doubles = _without_doubles(found.new)
    faults = found.faults + doubles
    mothers.leave_out({fault.line for fault in doubles})
    while True:
        looked_at = [mothers.look(arrival) for arrival in new]
        refused = [one for one in looked_at if isinstance(one, ImportFault)]
        new = [one for one in looked_at if isinstance(one, Arrival)]
        faults += refused
        if not refused:
            return Plan(tuple(new), found.known, in_order(faults))
        # Whoever is refused is no mother any more: look at the others again.
        mothers.leave_out({fault.line for fault in refused})


def _without_doubles(new: Sequence[Arrival]) -> tuple[list[Arrival], list[ImportFault]]:
    """Rows without the chip of an animal that is here, and the faults of the others."""
    chips = {one.row.values["chip"] for one in new} - {""}
    here = Animal.objects.exclude(chip="").values_list("chip", "code") if chips else ()
    known = {chip: code for chip, code in here if chip in chips}
    faults = [
        one.row.fault(
            "chip",
            message(
                "%(code)s has this chip number already. Correct one of the two.", code=known[chip]
            ),
        )
        for one in new
        if (chip := one.row.values["chip"]) in known
    ]
    faulty = {fault.line for fault in faults}
    return [one for one in new if one.row.line not in faulty], faults


def write(new: Sequence[Arrival], by: Person) -> None:
    by_line: dict[int, Animal] = {}
    for arrival, code in coded(new, Animal):
        by_line[arrival.row.line] = Animal(
            **_facts(arrival.row.values),
            code=code,
            idempotency_key=arrival.idempotency_key,
            made_by=by,
            mother_id=arrival.refs.get("mother"),
        )
    Animal.objects.bulk_create(by_line.values(), batch_size=AT_ONCE)
    Unhoused.objects.forget()
    young = []
    for arrival in new:
        if line := arrival.refs.get(MOTHER_LINE):
            young.append(by_line[arrival.row.line])
            young[-1].mother = by_line[line]
    Animal.objects.bulk_update(young, ["mother"], batch_size=AT_ONCE)


def _facts(values: Mapping[str, Any]) -> dict[str, Any]:
    """What the model remembers; a day implies what happened on it."""
    facts = {name: value for name, value in values.items() if name not in ("code", "mother")}
    facts["is_castrated"] = bool(
        facts["is_castrated"] or facts["castrated_on"] or facts["castrated_before_maturity"]
    )
    facts["may_be_pregnant"] = bool(
        facts["may_be_pregnant"] or facts["with_male_since"] or facts["with_male_last"]
    )
    return facts


class _Mothers:
    """Who may be a mother: animals that are remembered, and those that arrive."""

    def __init__(
        self, kept: ImportNames, arriving: Mapping[int, Arrival], faulty: Mapping[str, int]
    ) -> None:
        self.kept, self.arriving, self.faulty = kept, dict(arriving), dict(faulty)
        self.lines = self._names(self.arriving)

    def leave_out(self, lines: set[int]) -> None:
        self.faulty |= self._names(lines)
        self.arriving = {line: one for line, one in self.arriving.items() if line not in lines}
        self.lines = self._names(self.arriving)

    def look(self, arrival: Arrival) -> Arrival | ImportFault:
        """The row with its mother found, or why it cannot be hers."""
        name = arrival.row.values["mother"]
        if not name:
            return arrival
        line = self._line(name)
        mother = self.arriving[line].row.values if line else self.kept.called(name)
        sentence = self._sentence(arrival, name, line, mother)
        if sentence:
            return arrival.row.fault("mother", sentence)
        refs = {MOTHER_LINE: line} if line else {"mother": mother["pk"] if mother else None}
        return arrival._replace(refs=refs)

    def _sentence(
        self, arrival: Arrival, name: str, line: int | None, mother: Mapping[str, Any] | None
    ) -> str:
        values = arrival.row.values
        faulty = self.faulty.get(name, self.faulty.get(name.upper()))
        if mother is None and faulty:
            return message(
                "Its mother is in line %(line)d, which has a fault. Correct that line first.",
                line=faulty,
            )
        if mother is None:
            return not_found(message("No animal here or in this file has this code or number."))
        if line and self._descends_from(line, arrival.row.line):
            return message(
                "It would be its own mother, or its own descendant. Correct the mothers."
            )
        if mother["sex"] == Animal.Sex.MALE or mother["species"] != values["species"]:
            return message(
                "%(name)s cannot be its mother. Name a female of the same species.",
                name=mother["name"],
            )
        if mother["born"] and values["born"] and mother["born"] >= values["born"]:
            return message(
                "%(name)s was born on %(day)s, not before its young. Name another mother, or "
                "correct the days.",
                name=mother["name"],
                day=day_words(mother["born"]),
            )
        return ""

    def _descends_from(self, line: int, child: int) -> bool:
        """Whether the child is among the mothers that a line has in this file."""
        met: set[int] = set()
        at: int | None = line
        while at is not None and at not in met:
            if at == child:
                return True
            met.add(at)
            at = self._line(self.arriving[at].row.values["mother"])
        return False

    def _line(self, name: str) -> int | None:
        return self.lines.get(name) or self.lines.get(name.upper())

    def _names(self, lines: Iterable[int]) -> dict[str, int]:
        return {
            name: line
            for line in lines
            for column in ("code", "own_id")
            if (name := self.arriving[line].row.values[column])
        }
