"""An animal as its company sees it: sex, age, weight, and what it went through lately.

Nothing here knows the day it is: functions that need it take ``today``.
What is not known is None (or a range, for a birth), and rules then take the cautious side.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

from habitats.welfare.values import Sex, Species


class BirthSpan(NamedTuple):
    """The first and the last day on which the animal may have been born; one day if known."""

    earliest: date
    latest: date

    @classmethod
    def on(cls, day: date) -> "BirthSpan":
        """A birth whose day is known."""
        return cls(day, day)

    @classmethod
    def about(cls, day: date, margin_days: int) -> "BirthSpan":
        """An estimate: so many days before or after."""
        margin = timedelta(days=margin_days)
        return cls(day - margin, day + margin)

    @property
    def estimated(self) -> bool:
        return self.earliest != self.latest

    def oldest(self, day: date) -> int:
        """Days of age on that day, if it was born as early as it may have been."""
        return (day - self.earliest).days

    def youngest(self, day: date) -> int:
        """Days of age on that day, if it was born as late as it may have been."""
        return (day - self.latest).days


class DatedWeight(NamedTuple):
    """What an animal weighed on a day."""

    day: date
    grams: int


def in_time(weighings: Iterable[DatedWeight]) -> list[DatedWeight]:
    """By day; those of one day stay in the order they are given, which is that of their moments."""
    return sorted(weighings, key=lambda one: one.day)


def last_of_each_day(weighings: Iterable[DatedWeight]) -> list[DatedWeight]:
    """By day, and of each day the weighing that was taken last: weighed again, it stands."""
    return list({one.day: one for one in in_time(weighings)}.values())


class Castration(NamedTuple):
    """``on`` is None if it is castrated but nobody knows since when (spayed, for a female).

    ``before_maturity``: done so young that it never could sire; then no wait is needed.
    """

    on: date | None
    before_maturity: bool = False


class MaleContact(NamedTuple):
    """When a female may last have been with an entire male.

    ``since`` is None if the first day is not known; ``last`` is None while it goes on.
    ``male`` is his name where he lived with her, empty where a contact was only written down.
    """

    since: date | None
    last: date | None
    male: str = ""


class Refusal(NamedTuple):
    """It and ``other`` (a ref) would not bear each other on that day, and did not bond since."""

    other: str
    on: date


class Isolation(StrEnum):
    """Why an animal is in quarantine."""

    INTAKE = "intake"
    ILLNESS = "illness"


class QuarantineSpan(NamedTuple):
    """Kept apart from ``since`` on; ``until`` is the first day it is over, None if left open.

    ``note`` is the recorded reason. ``together``: animals in quarantine with the same word here
    (not empty) are kept apart from others, but not from each other.
    """

    since: date
    until: date | None = None
    why: Isolation = Isolation.INTAKE
    note: str = ""
    together: str = ""


@dataclass(frozen=True, slots=True)
class Companion:
    """One animal. ``ref`` is a stable name without spaces; ``mother`` is the mother's ``ref``.

    ``weighings`` with their days in any order, those of one day in the order they were taken in;
    none after the day that is asked about as today. The latest is enough for company, more are
    used where there are.
    ``adult_weight_g`` is what it is expected to weigh full-grown, None if nobody said.
    ``contact`` is what was written down of her, ``lived_with`` what her groups tell.
    ``rhd_exposed_on`` is when it may last have met rabbit haemorrhagic disease;
    ``rhd_negative_on`` the day on which the sample for a negative serology was taken.
    """

    ref: str
    name: str
    species: Species
    sex: Sex | None = None
    born: BirthSpan | None = None
    weighings: tuple[DatedWeight, ...] = ()
    adult_weight_g: int | None = None
    castration: Castration | None = None
    contact: MaleContact | None = None
    lived_with: tuple[MaleContact, ...] = ()
    gave_birth_on: date | None = None
    mother: str | None = None
    quarantine: QuarantineSpan | None = None
    rhd_exposed_on: date | None = None
    rhd_negative_on: date | None = None
    refusals: tuple[Refusal, ...] = ()

    @property
    def contacts(self) -> tuple[MaleContact, ...]:
        """All of them; not those of a male, who has none."""
        return (self.contact, *self.lived_with) if self.contact else self.lived_with

    def weighed_by(self, day: date) -> DatedWeight | None:
        """The latest weighing up to and on that day; None if there is none."""
        known = in_time(one for one in self.weighings if one.day <= day)
        return known[-1] if known else None
