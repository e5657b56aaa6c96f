"""Days of a life that cannot be: one sentence each, for the form beside the field."""

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.words import day_words
from habitats.wording import message


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
    for field, event, day in _happened(animal):
        if day > today:
            yield LifeFault(
                field,
                message(
                    "%(event)s on %(day)s has not happened yet: today is %(today)s. Enter it when "
                    "it has.",
                    event=event,
                    day=day_words(day),
                    today=day_words(today),
                ),
            )
        elif animal.born and day < animal.born.earliest:
            yield LifeFault(
                field,
                message(
                    "%(event)s on %(day)s would be before its birth on %(born)s. Correct one of "
                    "the two.",
                    event=event,
                    day=day_words(day),
                    born=day_words(animal.born.earliest),
                ),
            )
    yield from _spans(animal)


def _birth(animal: Companion, today: date) -> Iterator[LifeFault]:
    born = animal.born
    if born is None:
        return
    if born.earliest > born.latest:
        yield LifeFault(
            "born",
            message(
                "A birth between %(earliest)s and %(latest)s ends before it begins. Enter the "
                "earlier day first.",
                earliest=day_words(born.earliest),
                latest=day_words(born.latest),
            ),
        )
    if born.earliest > today:
        yield LifeFault(
            "born",
            message(
                "A birth on %(day)s is in the future: today is %(today)s. Enter today or an "
                "earlier day.",
                day=day_words(born.earliest),
                today=day_words(today),
            ),
        )


def _happened(animal: Companion) -> Iterator[tuple[str, str, date]]:
    """What has been recorded: the field, the words for it, the day."""
    with_male = message("Contact with an entire male")
    for weighing in animal.weighings:
        yield "weighings", message("A weighing"), weighing.day
    if animal.castration and animal.castration.on:
        yield "castration", message("A castration"), animal.castration.on
    if animal.contact and animal.contact.since:
        yield "contact", with_male, animal.contact.since
    if animal.contact and animal.contact.last:
        yield "contact", with_male, animal.contact.last
    if animal.gave_birth_on:
        yield "gave_birth_on", message("Giving birth"), animal.gave_birth_on
    if animal.rhd_exposed_on:
        yield "rhd_exposed_on", message("Exposure to RHD"), animal.rhd_exposed_on
    if animal.rhd_negative_on:
        yield "rhd_negative_on", message("A blood sample"), animal.rhd_negative_on


def _spans(animal: Companion) -> Iterator[LifeFault]:
    contact, quarantine = animal.contact, animal.quarantine
    if contact and contact.since and contact.last and contact.last < contact.since:
        yield LifeFault(
            "contact",
            message(
                "Contact from %(since)s to %(last)s ends before it begins. Enter the earlier day "
                "first.",
                since=day_words(contact.since),
                last=day_words(contact.last),
            ),
        )
    if quarantine and quarantine.until and quarantine.until < quarantine.since:
        yield LifeFault(
            "quarantine",
            message(
                "A quarantine from %(since)s until %(until)s ends before it begins. Enter the "
                "earlier day first.",
                since=day_words(quarantine.since),
                until=day_words(quarantine.until),
            ),
        )
