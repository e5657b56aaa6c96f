"""Animals: a row each, with the days of a life, which have to be possible."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from habitats.chips import ALLOWED, NoChip, chip_number
from habitats.imports.cells import YES_OR_NO, allowed, day, one_of, whole, words, yes_or_no
from habitats.imports.shared_columns import CODE, OWN_ID, notes
from habitats.imports.values import Column, ImportFault, ImportKind, ImportRow, Refused
from habitats.welfare.companion import BirthSpan, Castration, Companion, MaleContact
from habitats.welfare.life import life_faults
from habitats.welfare.values import Sex, Species
from habitats.welfare.weights import weight_fault
from habitats.welfare.words import day_words
from habitats.wording import joined, message

MOST_MARGIN_DAYS = 3 * 365  # as in habitats/animals/models/animals.py
SEXES = {"f": "F", "female": "F", "m": "M", "male": "M"}
ORIGINS = {why: why for why in ("found", "given up", "seized", "rescue", "born here", "other")}
LEAVINGS = {why: why for why in ("adopted", "passed on", "returned", "died", "missing")}
SPECIES = {one.value.replace("_", " "): one.value for one in Species}


def companion_of(values: Any) -> Companion:
    """The days of its life, as the pure rules see them."""
    born, sex = values["born"], values["sex"]
    return Companion(
        ref="it",
        name=values["name"],
        species=Species(values["species"]),
        sex=Sex(sex) if sex else None,
        born=BirthSpan.about(born, values["born_margin_days"]) if born else None,
        castration=Castration(values["castrated_on"]) if values["castrated_on"] else None,
        contact=MaleContact(values["with_male_since"], values["with_male_last"]),
        rhd_exposed_on=values["rhd_exposed_on"],
        rhd_negative_on=values["rhd_negative_on"],
    )


def _faults(row: ImportRow, today: date) -> Iterator[ImportFault]:
    animal = companion_of(row.values)
    at = {"castration": "castrated_on", "contact": _contact(row)}
    for fault in life_faults(animal, today):
        yield row.fault(at.get(fault.field, fault.field), fault.sentence)
    yield from _comes_and_goes(row, animal)
    yield from _does_not_go_together(row)


def _contact(row: ImportRow) -> str:
    return "with_male_since" if row.values["with_male_since"] else "with_male_last"


def _comes_and_goes(row: ImportRow, animal: Companion) -> Iterator[ImportFault]:
    came, left = row.values["came_on"], row.values["left_on"]
    if animal.born and came < animal.born.earliest:
        sentence = message(
            "It came on %(day)s, before it was born. Correct one of the two days.",
            day=day_words(came),
        )
        yield row.fault("came_on", sentence)
    if left and left < came:
        sentence = message(
            "It left on %(day)s, before it came. Correct one of the two days.", day=day_words(left)
        )
        yield row.fault("left_on", sentence)
    if bool(left) != bool(row.values["left_why"]):
        yield row.fault(
            "left_why" if left else "left_on",
            message("The day and the reason for leaving go together. Write both, or neither."),
        )


def _does_not_go_together(row: ImportRow) -> Iterator[ImportFault]:
    values, species = row.values, Species(row.values["species"])
    pregnant = values["may_be_pregnant"] or values["with_male_since"] or values["with_male_last"]
    if pregnant and values["sex"] == Sex.MALE:
        yield row.fault(
            "sex",
            message(
                "A male cannot be pregnant. Correct the sex, or empty the columns about pregnancy."
            ),
        )
    if values["sex"] and values["sex_guess"]:
        yield row.fault(
            "sex_guess",
            message("The sex is known: leave the guess empty, or empty the sex."),
        )
    if species is Species.GUINEA_PIG and values["rhd_exposed_on"]:
        yield row.fault(
            "rhd_exposed_on", message("Only rabbits catch this disease. Leave the day empty.")
        )
    grown = values["adult_grams"]
    if grown is not None and (sentence := weight_fault(species, grown)):
        yield row.fault("adult_grams", sentence)


def _optional_day(name: str, help: str, example: str = "") -> Column:
    return Column(name, day, help, example, empty=None)


def _words_seen(name: str, longest: int, help: str) -> Column:
    return Column(name, words(longest), help, "", is_later=True)


def _chip(text: str, _today: date) -> str:
    try:
        return chip_number(text)
    except NoChip as fault:
        raise Refused(fault.sentence) from fault


def _tick(name: str, help: str) -> Column:
    return Column(name, yes_or_no, joined(" ", [help, YES_OR_NO]), "", empty=False)


ANIMALS = ImportKind(
    "animals",
    message("Animals"),
    (
        CODE,
        OWN_ID,
        Column("name", words(60), message("The name of the animal."), "Pip", needed=True),
        Column(
            "species",
            one_of(SPECIES),
            allowed(SPECIES),
            "guinea pig",
            needed=True,
        ),
        Column(
            "sex",
            one_of(
                SEXES, refusal=message("Write F or M, or leave it empty if the sex is not known.")
            ),
            message("F or M; “female” and “male” work too. Empty means not known yet."),
            "F",
        ),
        _optional_day(
            "born", message("The day of birth, or the middle of an estimate."), "2026-01-15"
        ),
        Column(
            "born_margin_days",
            whole(0, MOST_MARGIN_DAYS),
            message("For an estimate: correct to this many days. Empty means the day is known."),
            "30",
            empty=0,
        ),
        Column("came_on", day, message("The day it came to you."), "2026-03-02", needed=True),
        Column(
            "sex_guess",
            one_of(SEXES, refusal=message("Write F or M, or leave it empty.")),
            message("F or M: what it looks like while the sex is not known. Then “sex” is empty."),
            "",
            is_later=True,
        ),
        Column("chip", _chip, ALLOWED, "", names_it=True, is_later=True),
        _words_seen("colour", 60, message("Its colour.")),
        _words_seen("marks", 120, message("Marks by which you know it.")),
        Column(
            "origin",
            one_of(ORIGINS),
            joined(" ", [message("How it came to you."), allowed(ORIGINS)]),
            "",
            is_later=True,
        ),
        _words_seen("came_from", 120, message("Where it came from. Only coordinators see it.")),
        _words_seen("found_by", 120, message("Who found or brought it. Only coordinators see it.")),
        _words_seen("condition", 300, message("What was seen of it on the day it came.")),
        _tick("is_castrated", message("Castrated or spayed.")),
        _optional_day("castrated_on", message("The day of castration, if it is known.")),
        _tick("castrated_before_maturity", message("Castrated before he could sire.")),
        _tick("may_be_pregnant", message("She may be pregnant.")),
        _optional_day("with_male_since", message("The first day with an entire male.")),
        _optional_day(
            "with_male_last", message("The last day with him. Empty means she is still with him.")
        ),
        _optional_day(
            "rhd_exposed_on",
            message("The day a rabbit may have been exposed to haemorrhagic disease."),
        ),
        _optional_day("rhd_negative_on", message("The day its negative blood sample was taken.")),
        Column(
            "mother",
            words(40),
            message("Her code, or your own number for her. She may be in the same file."),
            "",
        ),
        Column(
            "adult_grams",
            whole(1, 99_999),
            message("The expected weight when full-grown, in whole grams."),
            "",
            empty=None,
        ),
        notes(4000),
        _optional_day("left_on", message("The day it left you. Empty means it is still with you.")),
        Column(
            "left_why",
            one_of(LEAVINGS),
            joined(" ", [message("Why it left."), allowed(LEAVINGS)]),
            "",
        ),
    ),
    _faults,
)
