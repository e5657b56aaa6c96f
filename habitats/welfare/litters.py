"""Litters that may come, births, and pups that still need their mother.

Each rule gives its objection, or None where it has none.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from habitats.source import PRACTICE, Known, Source
from habitats.welfare.companion import Companion, MaleContact
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.maturity import Siring, can_conceive, castrated, siring
from habitats.welfare.objection import Objection, block, warning
from habitats.welfare.values import Sex, Species
from habitats.welfare.words import day_words
from habitats.wording import joined, message

# Shortest and longest gestation, in days.
GESTATION_DAYS = {Species.GUINEA_PIG: (59, 72), Species.RABBIT: (28, 32)}
# Weaned from here on at the earliest. Rabbits: common practice, no source.
WEANED_DAYS = {Species.GUINEA_PIG: 14, Species.RABBIT: 28}
# A litter counts as with its mother so long. Rabbits: common practice, no source.
LITTER_DAYS = {Species.GUINEA_PIG: 21, Species.RABBIT: 56}
# The day of birth and the one after count as giving birth. Common practice, no source.
BIRTH_DAYS = 2
# Of more males that lived with her, people need no sentence each.
MOST_NAMED = 3
# The code of its objection, which is so in whatever company.
POSSIBLE_LITTER = "possible_litter"

GESTATION = {
    Species.GUINEA_PIG: Source(
        message("gestation of guinea pigs, 59 to 72 days"), Known.SECOND_HAND
    ),
    Species.RABBIT: Source(message("gestation of rabbits, 28 to 32 days"), Known.SECOND_HAND),
}
WEANING = {
    Species.GUINEA_PIG: Source(
        message("guinea pigs are weaned at 14 to 21 days"), Known.SECOND_HAND
    ),
    Species.RABBIT: PRACTICE,
}
AFTER_BIRTH = Source(
    message("a female can conceive as soon as she has given birth"), Known.SECOND_HAND
)


class LitterSpan(NamedTuple):
    """First and last day on which a litter may come.

    ``first`` None: any day, since it is not known when she came to a male; ``last`` None: no
    end to it yet, since she still is.
    """

    first: date | None
    last: date | None

    def open(self, day: date) -> bool:
        return (self.first is None or self.first <= day) and (self.last is None or day <= self.last)


def litter_span(female: Companion, day: date) -> LitterSpan | None:
    """When she may give birth, as known on that day; None if she is not possibly pregnant.

    A birth after a contact ends what may come of it. One on the day of contact does not, since
    she can conceive at once.
    """
    spans = [span for _contact, span in _spans(female, day)]
    if not spans:
        return None
    firsts, lasts = [one.first for one in spans], [one.last for one in spans]
    return LitterSpan(
        None if None in firsts else min(filter(None, firsts)),
        None if None in lasts else max(filter(None, lasts)),
    )


def _spans(female: Companion, day: date) -> list[tuple[MaleContact, LitterSpan]]:
    """Each contact of which a litter may come still."""
    if female.sex is Sex.MALE or castrated(female, day):
        return []
    found = ((one, _span(one, female, day)) for one in female.contacts)
    return [(contact, span) for contact, span in found if span]


def _span(contact: MaleContact, female: Companion, day: date) -> LitterSpan | None:
    if contact.since is not None and day < contact.since:
        return None
    born = female.gave_birth_on if female.gave_birth_on and female.gave_birth_on <= day else None
    shortest, longest = GESTATION_DAYS[female.species]
    first = _plus(max(filter(None, (contact.since, born)), default=None), shortest)
    if contact.last is None or day < contact.last:
        return LitterSpan(first, None)
    last = contact.last + timedelta(days=longest)
    if day > last or (born is not None and contact.last < born):
        return None
    return LitterSpan(first, last)


def _plus(day: date | None, days: int) -> date | None:
    return day + timedelta(days=days) if day else None


def possible_litter(
    animal: Companion, group: Sequence[Companion], day: date, limits: WelfareLimits
) -> Objection | None:
    """A female that may be pregnant."""
    sentence = litter_words(animal, day)
    if sentence is None:
        return None
    return warning(
        POSSIBLE_LITTER,
        (animal.ref,),
        sentence,
        GESTATION[animal.species],
        basis=_last([contact.last for contact, _span in _spans(animal, day)]),
    )


def litter_words(animal: Companion, day: date) -> str | None:
    """That she may have a litter, up to when, and who lived with her; None if she may not."""
    span = litter_span(animal, day)
    if span is None:
        return None
    if span.last is None:
        litter = message(
            "%(name)s may have a litter while she is with an entire male, and after it. Keep her "
            "calm, give her room for it, and ask a vet to feel or scan.",
            name=animal.name,
        )
    else:
        litter = message(
            "%(name)s may have a litter up to %(day)s. Keep her calm, give her room for it, and "
            "ask a vet to feel or scan.",
            name=animal.name,
            day=day_words(span.last),
        )
    contacts = [contact for contact, _span in _spans(animal, day)]
    return joined(" ", [litter, *_lived_with(animal, contacts)])


def _last(days: Sequence[date | None]) -> date | None:
    """The last of the days on which contacts ended; None while one goes on."""
    return None if None in days else max(filter(None, days))


def _lived_with(animal: Companion, contacts: Sequence[MaleContact]) -> Iterator[str]:
    """A sentence each for who lived with her, the latest first."""
    lived = [(one, one.since) for one in contacts if one.male and one.since]
    for one, since in reversed(lived[-MOST_NAMED:]):
        names = {"name": animal.name, "male": one.male, "since": day_words(since)}
        if one.last is None:
            yield message("%(name)s has lived with %(male)s since %(since)s.", **names)
        else:
            yield message(
                "%(name)s lived with %(male)s from %(since)s to %(last)s.",
                last=day_words(one.last),
                **names,
            )


def birth_with_male(
    male: Companion, female: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """A male that can sire where a birth is near or just was."""
    if male.species is not female.species or female.sex is not Sex.FEMALE:
        return None
    if male.sex is not Sex.MALE or siring(male, day) not in (Siring.YES, Siring.WAITING):
        return None
    if not can_conceive(female, day) or not _birth_near(female, day):
        return None
    return block(
        "birth_with_male",
        (male.ref, female.ref),
        message(
            "%(female)s may give birth or just has, and can conceive again at once: %(male)s, who "
            "can sire, may not be with her.",
            female=female.name,
            male=male.name,
        ),
        AFTER_BIRTH,
        basis=female.gave_birth_on,
    )


def _birth_near(female: Companion, day: date) -> bool:
    span, born = litter_span(female, day), female.gave_birth_on
    just_born = born is not None and 0 <= (day - born).days < BIRTH_DAYS
    return just_born or (span is not None and span.open(day))


def unweaned(animal: Companion, day: date) -> bool:
    """Whether it may be too young to be without its mother; no if its birth is not known."""
    return animal.born is not None and animal.born.youngest(day) < WEANED_DAYS[animal.species]


def without_mother(
    animal: Companion, group: Sequence[Companion], day: date, limits: WelfareLimits
) -> Objection | None:
    """A pup or kit before weaning whose mother is not here."""
    if not unweaned(animal, day) or any(other.ref == animal.mother for other in group):
        return None
    days = WEANED_DAYS[animal.species]
    return warning(
        "without_mother",
        (animal.ref,),
        message(
            "%(name)s may be younger than %(days)d days and its mother is not here. Keep it with "
            "her until it is weaned; if it has none, ask a vet today how to rear it.",
            name=animal.name,
            days=days,
        ),
        WEANING[animal.species],
    )


def with_litter(animal: Companion, group: Sequence[Companion], day: date) -> bool:
    """Whether a female has her litter with her, or gave birth so lately that she may have."""
    days = LITTER_DAYS[animal.species]
    born = animal.gave_birth_on
    if born is not None and 0 <= (day - born).days < days:
        return True
    return any(
        pup.mother == animal.ref and pup.born is not None and pup.born.youngest(day) < days
        for pup in group
    )
