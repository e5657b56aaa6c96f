"""Quarantine at intake or for illness, and rabbits exposed to rabbit haemorrhagic disease.

Each rule gives its objection, or None where it has none.
"""

from datetime import date, timedelta

from habitats.source import PRACTICE, Known, Source
from habitats.welfare.companion import Companion, Isolation, QuarantineSpan
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.litters import LITTER_DAYS
from habitats.welfare.objection import Objection, OverrideTerms, Severity, block, warning
from habitats.welfare.values import Species
from habitats.welfare.words import day_words
from habitats.wording import Message, counted, message

RHD_DAYS = 14

AT_INTAKE = {
    Species.GUINEA_PIG: Source(
        message(
            "guidance for rescues of guinea pigs: 14 days at least, 21 advised, in a separate "
            "room; no authority sets it"
        ),
        Known.SECOND_HAND,
    ),
    Species.RABBIT: PRACTICE,
}
RHD = Source(
    message("guidance on rabbits exposed to RHD: 14 days and a negative serology"),
    Known.SECOND_HAND,
)


def ends_on(animal: Companion, limits: WelfareLimits) -> date | None:
    """The first day on which its quarantine does not block any more; None if that was left open, or
    there is none.

    At intake never earlier than the shortest quarantine.
    """
    quarantine = animal.quarantine
    if quarantine is None:
        return None
    if quarantine.why is not Isolation.INTAKE:
        return quarantine.until
    least = quarantine.since + timedelta(days=limits.quarantine_days(animal.species))
    return max(least, quarantine.until or least)


def advised_until(animal: Companion, limits: WelfareLimits) -> date | None:
    """The first day on which nothing is advised any more; None if it was left open."""
    end, quarantine = ends_on(animal, limits), animal.quarantine
    if end is None or quarantine is None or quarantine.why is not Isolation.INTAKE:
        return end
    advised = timedelta(days=limits.quarantine_advised_days(animal.species))
    return max(end, quarantine.since + advised)


def in_quarantine(animal: Companion, day: date, limits: WelfareLimits) -> Severity | None:
    """How quarantine speaks on that day against company for this animal; None if it does not."""
    quarantine = animal.quarantine
    if quarantine is None or day < quarantine.since:
        return None
    end, advised = ends_on(animal, limits), advised_until(animal, limits)
    if end is None or day < end:
        return Severity.BLOCK
    return Severity.WARNING if advised and day < advised else None


def quarantined(
    kept: Companion, other: Companion, day: date, limits: WelfareLimits
) -> Objection | None:
    """One in quarantine with one that does not share it."""
    severity = in_quarantine(kept, day, limits)
    if severity is None or kept.quarantine is None or _share(kept, other):
        return None
    since, two = kept.quarantine.since, (kept.ref, other.ref)
    given = {"name": kept.name, "since": day_words(since), "other": other.name}
    source = AT_INTAKE[kept.species] if kept.quarantine.why is Isolation.INTAKE else PRACTICE
    if severity is Severity.WARNING:
        advised = message(
            "%(name)s has been in quarantine since %(since)s: the minimum is met, but "
            "%(days)d days are advised before it meets %(other)s.",
            days=limits.quarantine_advised_days(kept.species),
            **given,
        )
        return warning("quarantine_short", two, advised, source, basis=since)
    return block(
        "quarantine",
        two,
        _keep_apart(kept.quarantine).filled(**given),
        source,
        basis=since,
        override=OverrideTerms.SECOND_CONFIRMATION,
    )


def _keep_apart(quarantine: QuarantineSpan) -> Message:
    if quarantine.why is Isolation.INTAKE:
        return message(
            "%(name)s has been in quarantine since %(since)s: keep it apart from %(other)s, in a "
            "separate room."
        )
    if quarantine.until is None:
        return message(
            "%(name)s has been in quarantine for illness since %(since)s and stays there until a "
            "vet clears it: keep it apart from %(other)s, in a separate room."
        )
    return message(
        "%(name)s has been in quarantine for illness since %(since)s: keep it apart from "
        "%(other)s, in a separate room."
    )


def _share(kept: Companion, other: Companion) -> bool:
    """Whether the two are kept apart together, as a mother and her young always are."""
    mine, theirs = kept.quarantine, other.quarantine
    if mine and theirs and mine.together and mine.together == theirs.together:
        return True
    return _young_at_start(kept, other) or _young_at_start(other, kept)


def _young_at_start(mother: Companion, pup: Companion) -> bool:
    """Whether the pup was with its mother, or not yet born, when either quarantine began."""
    if pup.mother != mother.ref or pup.born is None:
        return False
    begun = [a.quarantine.since for a in (mother, pup) if a.quarantine]
    return any(pup.born.youngest(since) < LITTER_DAYS[pup.species] for since in begun)


def rhd(exposed: Companion, other: Companion, day: date, limits: WelfareLimits) -> Objection | None:
    """A rabbit that met RHD, with a rabbit that was not exposed on the same day."""
    if exposed.species is not Species.RABBIT or other.species is not Species.RABBIT:
        return None
    since = exposed.rhd_exposed_on
    if since is None or day < since:
        return None
    if not rhd_cleared(exposed, day):
        together = other.rhd_exposed_on == since and not rhd_cleared(other, day)
        return None if together else _exposed(exposed, other, since)
    sampled = exposed.rhd_negative_on
    if sampled is not None and (sampled - since).days < RHD_DAYS:
        return _sampled_early(exposed, other, since, sampled)
    return None


def rhd_cleared(animal: Companion, day: date) -> bool:
    """Whether 14 days have passed and a sample taken after the exposure was negative."""
    since, sampled = animal.rhd_exposed_on, animal.rhd_negative_on
    if since is None:
        return True
    return (day - since).days >= RHD_DAYS and sampled is not None and since < sampled <= day


def _exposed(exposed: Companion, other: Companion, since: date) -> Objection:
    earliest = since + timedelta(days=RHD_DAYS)
    return block(
        "rhd",
        (exposed.ref, other.ref),
        message(
            "%(name)s may have been exposed to rabbit haemorrhagic disease on %(since)s: keep it "
            "apart from %(other)s until %(earliest)s at least and until a blood sample taken "
            "since is negative. Call a vet.",
            name=exposed.name,
            since=day_words(since),
            other=other.name,
            earliest=day_words(earliest),
        ),
        RHD,
        basis=since,
        override=OverrideTerms.SECOND_CONFIRMATION,
    )


def _sampled_early(exposed: Companion, other: Companion, since: date, sampled: date) -> Objection:
    return warning(
        "rhd_sampled_early",
        (exposed.ref, other.ref),
        counted(
            "%(name)s's negative blood sample was taken only %(count)d day after it may have been "
            "exposed to rabbit haemorrhagic disease. Ask a vet whether that is enough before it "
            "meets %(other)s.",
            "%(name)s's negative blood sample was taken only %(count)d days after it may have "
            "been exposed to rabbit haemorrhagic disease. Ask a vet whether that is enough before "
            "it meets %(other)s.",
            (sampled - since).days,
            name=exposed.name,
            other=other.name,
        ),
        PRACTICE,
        basis=since,
    )
