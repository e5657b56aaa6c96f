"""Days of a life that cannot be: one sentence each, for the form beside the field."""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.words import day_words


class LifeFault(NamedTuple):
    """``field`` is the attribute of ``Companion`` it is about."""

    field: str
    sentence: str


def life_fault(animal: Companion, today: date) -> str | None:
    """The first sentence of ``life_faults``; None if all days can be."""
    return next((fault.sentence for fault in _faults(animal, today)), None)


def life_faults(animal: Companion, today: date) -> tuple[LifeFault, ...]:
    """Births in the future, castration before birth and the like, in the order of the fields."""
    return tuple(_faults(animal, today))


def _faults(animal: Companion, today: date) -> Iterator[LifeFault]:
    yield from _birth(animal, today)
    for field, what, day in _happened(animal):
        if day > today:
            yield LifeFault(
                field,
                f"{what} on {day_words(day)} has not happened yet: today is {day_words(today)}. "
                "Enter it when it has.",
            )
        elif animal.born and day < animal.born.earliest:
            yield LifeFault(
                field,
                f"{what} on {day_words(day)} would be before its birth on "
                f"{day_words(animal.born.earliest)}. Correct one of the two.",
            )
    yield from _spans(animal)


def _birth(animal: Companion, today: date) -> Iterator[LifeFault]:
    born = animal.born
    if born is None:
        return
    if born.earliest > born.latest:
        yield LifeFault(
            "born",
            f"A birth between {day_words(born.earliest)} and {day_words(born.latest)} ends before "
            "it begins. Enter the earlier day first.",
        )
    if born.earliest > today:
        yield LifeFault(
            "born",
            f"A birth on {day_words(born.earliest)} is in the future: today is {day_words(today)}. "
            "Enter today or an earlier day.",
        )


def _happened(animal: Companion) -> Iterator[tuple[str, str, date]]:
    """What is said to have happened: the field, the words for it, the day."""
    for weighing in animal.weighings:
        yield "weighings", "A weighing", weighing.day
    if animal.castration and animal.castration.on:
        yield "castration", "A castration", animal.castration.on
    if animal.contact and animal.contact.since:
        yield "contact", "Contact with an entire male", animal.contact.since
    if animal.contact and animal.contact.last:
        yield "contact", "Contact with an entire male", animal.contact.last
    if animal.gave_birth_on:
        yield "gave_birth_on", "Giving birth", animal.gave_birth_on
    if animal.rhd_exposed_on:
        yield "rhd_exposed_on", "Exposure to RHD", animal.rhd_exposed_on
    if animal.rhd_negative_on:
        yield "rhd_negative_on", "A blood sample", animal.rhd_negative_on


def _spans(animal: Companion) -> Iterator[LifeFault]:
    contact, quarantine = animal.contact, animal.quarantine
    if contact and contact.since and contact.last and contact.last < contact.since:
        yield LifeFault(
            "contact",
            f"Contact from {day_words(contact.since)} to {day_words(contact.last)} ends before it "
            "begins. Enter the earlier day first.",
        )
    if quarantine and quarantine.until and quarantine.until < quarantine.since:
        yield LifeFault(
            "quarantine",
            f"A quarantine from {day_words(quarantine.since)} until {day_words(quarantine.until)} "
            "ends before it begins. Enter the earlier day first.",
        )
