"""What comes due for a group: parting, quarantines and waits ending, litters, weights, space."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.growth import Method, weight_ahead
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.litters import litter_span
from habitats.welfare.maturity import (
    WAIT_DAYS,
    Siring,
    can_conceive,
    leaves_on,
    siring,
)
from habitats.welfare.outgrowing import Passes, class_ages, outgrown_on, residents_on
from habitats.welfare.quarantine import RHD_DAYS, advised_until, ends_on, in_quarantine, rhd_cleared
from habitats.welfare.values import Sex
from habitats.welfare.weights import alarm, weigh_by
from habitats.welfare.words import day_words
from habitats.wording import listed

__all__ = [
    "Due",
    "DueKind",
    "Passes",
    "class_ages",
    "due",
    "outgrown_on",
    "residents_on",
]


class DueKind(StrEnum):
    PART = "part"
    QUARANTINE_ENDS = "quarantine_ends"
    CASTRATION_WAIT_ENDS = "castration_wait_ends"
    LITTER_POSSIBLE = "litter_possible"
    OUTGROWN = "outgrown"
    WEIGH = "weigh"
    WEIGHT_FELL = "weight_fell"


class Due(NamedTuple):
    """Something for somebody to do. ``animals`` are refs; a past ``day`` is overdue.

    ``until`` is the last day of a span (a possible litter), None for a single day or no end.
    """

    kind: DueKind
    day: date
    animals: tuple[str, ...]
    sentence: str
    until: date | None = None


def due(
    animals: Sequence[Companion],
    today: date,
    *,
    within_days: int = 42,
    limits: WelfareLimits = DEFAULTS,
    passes: Passes | None = None,
    ages: Collection[int] | None = None,
) -> tuple[Due, ...]:
    """What is due for one group up to so many days ahead, sorted by day, kind and animals.

    With ``passes`` (and the rule set's ``class_ages`` as ``ages``) it also tells the day on which
    the group outgrows its enclosure.
    """
    found = [*_parting(animals, today)]
    for animal in animals:
        found += _of_one(animal, today, limits)
    if passes is not None:
        found += _outgrown(animals, today, passes, ages, within_days)
    last = today + timedelta(days=within_days)
    return tuple(sorted((one for one in found if one.day <= last), key=_in_time))


def _in_time(one: Due) -> tuple[date, str, tuple[str, ...]]:
    return one.day, one.kind, one.animals


def _of_one(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    yield from _quarantine_ends(animal, today, limits)
    yield from _rhd_ends(animal, today)
    yield from _wait_ends(animal, today)
    yield from _litter(animal, today)
    yield from _weigh(animal, today, limits)
    yield from _weight_fell(animal, today, limits)


def _parting(animals: Sequence[Companion], today: date) -> Iterator[Due]:
    """Each male, or animal that may be one, that is with females until it is too old for that."""
    for male in animals:
        if male.sex is Sex.FEMALE or siring(male, today) in (Siring.NO, Siring.WAITING):
            continue
        females = [one for one in animals if _may_conceive_by(one, male, today)]
        if females:
            yield _part(male, females, today)


def _may_conceive_by(female: Companion, male: Companion, day: date) -> bool:
    return (
        female is not male
        and female.species is male.species
        and female.sex is not Sex.MALE
        and can_conceive(female, day)
    )


def _part(male: Companion, females: list[Companion], today: date) -> Due:
    day = max(leaves_on(male, today) or today, today)
    names = listed([female.name for female in females])
    unsure = [one.name for one in (male, *females) if one.sex is None]
    are = "is" if len(unsure) == 1 else "are"
    look = (
        f" First have somebody look what {listed(unsure)} {are}, and record it." if unsure else ""
    )
    by = f"by {day_words(day)} at the latest" if day > today else "now"
    refs = (male.ref, *(female.ref for female in females))
    return Due(DueKind.PART, day, refs, f"Part {male.name} from {names} {by}.{look}")


def _quarantine_ends(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    quarantine = animal.quarantine
    if quarantine is None or in_quarantine(animal, max(today, quarantine.since), limits) is None:
        return
    least, advised = ends_on(quarantine, limits), advised_until(quarantine, limits)
    if least is None or advised is None:
        return
    if least < advised:
        advice = f"; {day_words(advised)} is advised"
        day = least if today < least else advised
    else:
        advice, day = "", least
    yield Due(
        DueKind.QUARANTINE_ENDS,
        day,
        (animal.ref,),
        f"{animal.name}'s quarantine since {day_words(quarantine.since)} ends on "
        f"{day_words(least)} at the earliest{advice}. Look it over first; a vet's word comes "
        "before the calendar.",
    )


def _rhd_ends(animal: Companion, today: date) -> Iterator[Due]:
    since = animal.rhd_exposed_on
    if since is None or rhd_cleared(animal, today):
        return
    end = since + timedelta(days=RHD_DAYS)
    need = "" if rhd_cleared(animal, end) else ", if a blood sample taken since is negative"
    yield Due(
        DueKind.QUARANTINE_ENDS,
        end,
        (animal.ref,),
        f"{animal.name}'s time apart for rabbit haemorrhagic disease ends on {day_words(end)} at "
        f"the earliest{need}. Ask the vet.",
    )


def _wait_ends(animal: Companion, today: date) -> Iterator[Due]:
    done = animal.castration
    if animal.sex is Sex.FEMALE or siring(animal, today) is not Siring.WAITING:
        return
    if done is None or done.on is None:
        return
    end = done.on + timedelta(days=WAIT_DAYS)
    yield Due(
        DueKind.CASTRATION_WAIT_ENDS,
        end,
        (animal.ref,),
        f"{animal.name} was castrated on {day_words(done.on)} and may live with females from "
        f"{day_words(end)}.",
    )


def _litter(animal: Companion, today: date) -> Iterator[Due]:
    span = litter_span(animal, today)
    if span is None:
        return
    first = span.first or today
    if span.last is None:
        when = f"from {day_words(first)} on, as long as she is with an entire male and after it"
    else:
        when = f"from {day_words(first)} to {day_words(span.last)}"
    yield Due(
        DueKind.LITTER_POSSIBLE,
        first,
        (animal.ref,),
        f"{animal.name} may have a litter {when}: no entire male with her, pup-safe walls, and a "
        "vet's number at hand.",
        span.last,
    )


def _weigh(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    last, day = animal.weighed_by(today), weigh_by(animal, today, limits)
    when = f"last weighed on {day_words(last.day)}" if last else "never weighed"
    yield Due(DueKind.WEIGH, day, (animal.ref,), f"Weigh {animal.name}: {when}.")


def _weight_fell(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    fall = alarm([one for one in animal.weighings if one.day <= today], limits)
    if fall:
        sentence = f"{animal.name}: {fall.sentence}"
        yield Due(DueKind.WEIGHT_FELL, fall.after.day, (animal.ref,), sentence)


def _outgrown(
    animals: Sequence[Companion],
    today: date,
    passes: Passes,
    ages: Collection[int] | None,
    within_days: int,
) -> Iterator[Due]:
    day = outgrown_on(animals, today, passes, class_ages=ages, within_days=within_days)
    if day is None:
        return
    since = f"will be too small from {day_words(day)}" if day > today else "is too small already"
    refs = tuple(animal.ref for animal in animals)
    sentence = f"The enclosure {since}.{_how_sure(animals, day)}"
    yield Due(DueKind.OUTGROWN, day, refs, sentence)


def _how_sure(animals: Sequence[Companion], day: date) -> str:
    """What the weights on that day rest on, for the reader to judge."""
    ahead = {animal.name: weight_ahead(animal, day) for animal in animals}
    guided = any(weight and weight.upper_guide for weight in ahead.values())
    kept = [name for name, weight in ahead.items() if weight and weight.method is Method.KEPT]
    unknown = [name for name, weight in ahead.items() if weight is None]
    words = ""
    if guided:
        words += " Weights ahead are an upper guide: weigh again as the day comes near."
    if kept:
        words += f" No growth is reckoned for {listed(kept)}: give an expected adult weight."
    if unknown:
        count = "counts" if len(unknown) == 1 else "count"
        words += f" {listed(unknown)} {count} as heaviest, since no weight is known."
    return words
