"""What speaks against animals leaving for a home of their own: health, age, whom they leave.

The ages and the rule that a group stays whole are common practice, no source; a vet's word comes
before any of them.
"""

from collections.abc import Iterator, Sequence
from datetime import date, timedelta

from habitats.measures import grams
from habitats.source import PRACTICE
from habitats.welfare.companion import Companion
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.litters import GESTATION, litter_span
from habitats.welfare.objection import Objection, OverrideTerms, Severity, block, warning
from habitats.welfare.quarantine import advised_until, in_quarantine
from habitats.welfare.values import Species
from habitats.welfare.weights import alarm
from habitats.welfare.words import day_words
from habitats.wording import listed, message

# Younger ones stay with their mother and litter. Common practice, no source.
LEAST_DAYS = {Species.GUINEA_PIG: 42, Species.RABBIT: 56}
# Who dies so soon after leaving may have met an infection before. Common practice, no source.
SOON_DAYS = 28


def unready(
    animal: Companion, day: date, limits: WelfareLimits = DEFAULTS
) -> tuple[Objection, ...]:
    """Why it is not ready to leave on that day; empty for one that is."""
    found = (
        _apart(animal, day, limits),
        _too_young(animal, day),
        _weight_fell(animal, day, limits),
        _with_litter(animal, day),
    )
    return tuple(one for one in found if one)


def split(going: Sequence[Companion], staying: Sequence[Companion]) -> Objection:
    """Some of a group go, and others stay."""
    return warning(
        "split_group",
        tuple(one.ref for one in going),
        message(
            "%(going)s and %(staying)s live together. Adoption would separate them.",
            going=listed([one.name for one in going]),
            staying=listed([one.name for one in staying]),
        ),
        PRACTICE,
    )


def old_enough_on(animal: Companion) -> date | None:
    """The first day on which it is, however late it may have been born; None if that is unknown."""
    if animal.born is None:
        return None
    return animal.born.latest + timedelta(days=LEAST_DAYS[animal.species])


def _apart(animal: Companion, day: date, limits: WelfareLimits) -> Objection | None:
    severity, quarantine = in_quarantine(animal, day, limits), animal.quarantine
    if severity is None or quarantine is None:
        return None
    until = advised_until(animal, limits)
    sentence = _apart_words(animal.name, until)
    if severity is Severity.WARNING:
        return warning(
            "leaves_quarantine", (animal.ref,), sentence, PRACTICE, basis=quarantine.since
        )
    return block(
        "leaves_quarantine",
        (animal.ref,),
        sentence,
        PRACTICE,
        basis=quarantine.since,
        override=OverrideTerms.SECOND_CONFIRMATION,
    )


def _apart_words(name: str, until: date | None) -> str:
    if until is None:
        return message("%(name)s is in quarantine until a vet clears it.", name=name)
    return message("%(name)s is in quarantine until %(day)s.", name=name, day=day_words(until))


def _with_litter(animal: Companion, day: date) -> Objection | None:
    span = litter_span(animal, day)
    if span is None:
        return None
    if span.last is None:
        sentence = message(
            "%(name)s may be pregnant: she is with an entire male. Ask a vet before she leaves.",
            name=animal.name,
        )
    else:
        sentence = message(
            "%(name)s may have a litter up to %(day)s. Ask a vet before she leaves.",
            name=animal.name,
            day=day_words(span.last),
        )
    return warning(
        "leaves_with_litter", (animal.ref,), sentence, GESTATION[animal.species], basis=span.last
    )


def _too_young(animal: Companion, day: date) -> Objection | None:
    ready = old_enough_on(animal)
    if ready is None or ready <= day:
        return None
    return block(
        "leaves_too_young",
        (animal.ref,),
        message(
            "%(name)s may be younger than %(days)d days until %(day)s.",
            name=animal.name,
            days=LEAST_DAYS[animal.species],
            day=day_words(ready),
        ),
        PRACTICE,
        override=OverrideTerms.SECOND_CONFIRMATION,
    )


def _weight_fell(animal: Companion, day: date, limits: WelfareLimits) -> Objection | None:
    fall = alarm([one for one in animal.weighings if one.day <= day], limits)
    if fall is None:
        return None
    return warning(
        "leaves_unwell",
        (animal.ref,),
        message(
            "%(name)s lost weight: %(after)s on %(day)s. Ask a vet before it leaves.",
            name=animal.name,
            after=grams(fall.after.grams),
            day=day_words(fall.after.day),
        ),
        PRACTICE,
        basis=fall.after.day,
    )


def not_split(
    going: Sequence[Companion], groups: Sequence[Sequence[Companion]]
) -> Iterator[Objection]:
    """An objection for each of these groups of which some go and others stay."""
    refs = {one.ref for one in going}
    for group in groups:
        leaving = [one for one in group if one.ref in refs]
        staying = [one for one in group if one.ref not in refs]
        if leaving and staying:
            yield split(leaving, staying)
