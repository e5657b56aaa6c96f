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
    NOTICE_DAYS,
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
from habitats.wording import counted, joined, listed, message

__all__ = [
    "BEFORE_LITTER",
    "Due",
    "DueKind",
    "Passes",
    "class_ages",
    "due",
    "outgrown_on",
    "residents_on",
]


BEFORE_LITTER = message(
    "Keep entire males away from her, close every gap that young could slip through, and have "
    "a vet's number at hand."
)


class DueKind(StrEnum):
    PART = "part"
    QUARANTINE_ENDS = "quarantine_ends"
    CASTRATION_WAIT_ENDS = "castration_wait_ends"
    LITTER_POSSIBLE = "litter_possible"
    OUTGROWN = "outgrown"
    SEX_CHECK = "sex_check"
    WEIGH = "weigh"
    WEIGHT_FELL = "weight_fell"


class Due(NamedTuple):
    """Something to be done. ``animals`` are refs; a past ``day`` is overdue.

    ``until`` is the last day of a span (a possible litter), None for a single day or no end.
    ``undated``: it is due now, and since when is not known; ``day`` is then the day of asking.
    """

    kind: DueKind
    day: date
    animals: tuple[str, ...]
    sentence: str
    until: date | None = None
    undated: bool = False


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
    the group outgrows its enclosure; None: that is not asked.
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
    yield from _sex_check(animal, today)
    yield from _weigh(animal, today, limits)
    yield from _weight_fell(animal, today, limits)


def _parting(animals: Sequence[Companion], today: date) -> Iterator[Due]:
    """Each male that is with females until it is too old for that; of young whose sex is not
    known, all of one day at once."""
    unsexed: dict[date, list[Companion]] = {}
    for male in animals:
        if male.sex is Sex.FEMALE or siring(male, today) in (Siring.NO, Siring.WAITING):
            continue
        females = [one for one in animals if _may_conceive_by(one, male, today)]
        if not females:
            continue
        if male.sex is None:
            unsexed.setdefault(_part_by(male, today), []).append(male)
        else:
            yield _part(male, females, today)
    for day, some in unsexed.items():
        if len(some) == 1:
            females = [one for one in animals if _may_conceive_by(one, some[0], today)]
            yield _part(some[0], females, today)
        else:
            yield _part_unsexed(some, day, today)


def _may_conceive_by(female: Companion, male: Companion, day: date) -> bool:
    return (
        female is not male
        and female.species is male.species
        and female.sex is not Sex.MALE
        and can_conceive(female, day)
    )


def _part_by(male: Companion, today: date) -> date:
    return max(leaves_on(male, today) or today, today)


def _part_unsexed(some: Sequence[Companion], day: date, today: date) -> Due:
    """Which of them are males nobody knows yet, so nobody can say from whom they are parted."""
    names = listed([one.name for one in some])
    if day > today:
        sentence = message(
            "Have the sex of %(names)s checked, and record it. Separate males from females by "
            "%(day)s at the latest.",
            names=names,
            day=day_words(day),
        )
    else:
        sentence = message(
            "Have the sex of %(names)s checked, and record it. Separate males from females now.",
            names=names,
        )
    refs = tuple(one.ref for one in some)
    return Due(DueKind.PART, day, refs, sentence, undated=day == today)


def _part(male: Companion, females: list[Companion], today: date) -> Due:
    day = _part_by(male, today)
    names = listed([female.name for female in females])
    unsure = [one.name for one in (male, *females) if one.sex is None]
    refs = (male.ref, *(female.ref for female in females))
    sentence = _separate(male.name, names, unsure, day, today)
    return Due(DueKind.PART, day, refs, sentence, undated=day == today)


def _separate(male: str, females: str, unsure: list[str], day: date, today: date) -> str:
    if day > today:
        separate = message(
            "Separate %(male)s from %(females)s by %(day)s at the latest.",
            male=male,
            females=females,
            day=day_words(day),
        )
    else:
        separate = message("Separate %(male)s from %(females)s now.", male=male, females=females)
    if not unsure:
        return separate
    check = message("First have the sex of %(names)s checked, and record it.", names=listed(unsure))
    return joined(" ", [separate, check])


def _quarantine_ends(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    quarantine = animal.quarantine
    if quarantine is None or in_quarantine(animal, max(today, quarantine.since), limits) is None:
        return
    least, advised = ends_on(animal, limits), advised_until(animal, limits)
    if least is None or advised is None:
        return
    day = advised if least < advised and least <= today else least
    yield Due(
        DueKind.QUARANTINE_ENDS,
        day,
        (animal.ref,),
        _quarantine_words(animal.name, quarantine.since, least, advised),
    )


def _quarantine_words(name: str, since: date, least: date, advised: date) -> str:
    if least < advised:
        ends = message(
            "%(name)s's quarantine, begun on %(since)s, ends on %(least)s at the earliest; "
            "%(advised)s is advised.",
            name=name,
            since=day_words(since),
            least=day_words(least),
            advised=day_words(advised),
        )
    else:
        ends = message(
            "%(name)s's quarantine, begun on %(since)s, ends on %(least)s at the earliest.",
            name=name,
            since=day_words(since),
            least=day_words(least),
        )
    vet = message("Check its health first; a vet's word comes before the calendar.")
    return joined(" ", [ends, vet])


def _rhd_ends(animal: Companion, today: date) -> Iterator[Due]:
    since = animal.rhd_exposed_on
    if since is None or rhd_cleared(animal, today):
        return
    end = since + timedelta(days=RHD_DAYS)
    if rhd_cleared(animal, end):
        pattern = message(
            "%(name)s's time apart for rabbit haemorrhagic disease ends on %(end)s at the "
            "earliest. Ask the vet."
        )
    else:
        pattern = message(
            "%(name)s's time apart for rabbit haemorrhagic disease ends on %(end)s at the "
            "earliest, if a blood sample taken since is negative. Ask the vet."
        )
    sentence = pattern.filled(name=animal.name, end=day_words(end))
    yield Due(DueKind.QUARANTINE_ENDS, end, (animal.ref,), sentence)


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
        message(
            "%(name)s was castrated on %(done)s and may live with females from %(end)s.",
            name=animal.name,
            done=day_words(done.on),
            end=day_words(end),
        ),
    )


def _litter(animal: Companion, today: date) -> Iterator[Due]:
    span = litter_span(animal, today)
    if span is None:
        return
    first = span.first or today
    if span.last is None:
        litter = message(
            "%(name)s may have a litter from %(first)s on, while she is with an entire male and "
            "after it.",
            name=animal.name,
            first=day_words(first),
        )
    elif span.last == first:
        litter = message(
            "%(name)s may have a litter on %(day)s, and not later.",
            name=animal.name,
            day=day_words(first),
        )
    else:
        litter = message(
            "%(name)s may have a litter from %(first)s to %(last)s.",
            name=animal.name,
            first=day_words(first),
            last=day_words(span.last),
        )
    sentence = joined(" ", [litter, BEFORE_LITTER])
    undated = span.first is None
    yield Due(DueKind.LITTER_POSSIBLE, first, (animal.ref,), sentence, span.last, undated)


def _sex_check(animal: Companion, today: date) -> Iterator[Due]:
    """Whose sex is not known: of young as soon as their parting is announced, else at once."""
    if animal.sex is not None:
        return
    born = animal.born
    day = born.earliest + timedelta(days=NOTICE_DAYS[animal.species]) if born else today
    sentence = message(
        "Check the sex of %(name)s, and record it: while it is not known, %(name)s counts as a "
        "male and as a female. Ask a vet or someone who is used to it.",
        name=animal.name,
    )
    yield Due(DueKind.SEX_CHECK, max(day, today), (animal.ref,), sentence, undated=day <= today)


def _weigh(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    last, day = animal.weighed_by(today), weigh_by(animal, today, limits)
    if last:
        sentence = message(
            "Weigh %(name)s: last weighed on %(day)s.", name=animal.name, day=day_words(last.day)
        )
    else:
        sentence = message("Weigh %(name)s: never weighed.", name=animal.name)
    yield Due(DueKind.WEIGH, day, (animal.ref,), sentence, undated=last is None)


def _weight_fell(animal: Companion, today: date, limits: WelfareLimits) -> Iterator[Due]:
    fall = alarm([one for one in animal.weighings if one.day <= today], limits)
    if fall:
        sentence = message("%(name)s: %(sentence)s", name=animal.name, sentence=fall.sentence)
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
    if day > today:
        small = message("The enclosure will be too small from %(day)s.", day=day_words(day))
    else:
        small = message("The enclosure is too small already.")
    refs = tuple(animal.ref for animal in animals)
    sentence = joined(" ", [small, *_how_sure(animals, day)])
    yield Due(DueKind.OUTGROWN, day, refs, sentence, undated=day == today)


def _how_sure(animals: Sequence[Companion], day: date) -> Iterator[str]:
    """What the weights on that day rest on, for the reader to judge."""
    ahead = {animal.name: weight_ahead(animal, day) for animal in animals}
    guided = any(weight and weight.upper_guide for weight in ahead.values())
    kept = [name for name, weight in ahead.items() if weight and weight.method is Method.KEPT]
    unknown = [name for name, weight in ahead.items() if weight is None]
    if guided:
        yield message("Forecast weights are an upper guide: weigh again as the day comes near.")
    if kept:
        yield message(
            "The forecast has no growth for %(names)s: enter an expected adult weight.",
            names=listed(kept),
        )
    if unknown:
        yield counted(
            "%(names)s counts as heaviest, since no weight is known.",
            "%(names)s count as heaviest, since no weight is known.",
            len(unknown),
            names=listed(unknown),
        )
