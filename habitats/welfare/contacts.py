"""When a female was with a male who could sire, from who lived with whom.

What people write down of her is one contact (``Companion.contact``). Who shared a group with her
tells the others, also where a sex, a birth or a castration was corrected later. Whose sex is not
recorded counts as whatever could breed.
"""

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from habitats.welfare.companion import Companion, MaleContact
from habitats.welfare.maturity import LEAVES_DAYS, WAIT_DAYS, Siring, siring
from habitats.welfare.values import Sex

CAN_SIRE = (Siring.YES, Siring.WAITING)


class LivedWith(NamedTuple):
    """Another animal in the same group from ``since`` up to but not including ``until``.

    ``until`` is None while they live together.
    """

    other: Companion
    since: date
    until: date | None


def contacts_of(animal: Companion, lived: Iterable[LivedWith]) -> tuple[MaleContact, ...]:
    """A contact with each male who could sire while he was there, in the order of their days.

    Days ahead are told as far as they are known: a young male who stays will be one of them.
    """
    if animal.sex is Sex.MALE:
        return ()
    others = (
        one
        for one in lived
        if one.other.species is animal.species and one.other.sex is not Sex.FEMALE
    )
    found = [contact for one in others if (contact := _contact(one))]
    return tuple(sorted(found, key=lambda one: (one.since or date.min, one.male)))


def _contact(lived: LivedWith) -> MaleContact | None:
    """From both ends of their days together, since what lies between may be years."""
    # On the day of parting they were together up to some hour: it counts.
    settled = _settled(lived)
    end = settled if lived.until is None else min(settled, lived.until)
    days = range(lived.since.toordinal(), end.toordinal() + 1)
    first, last = _first_as_sire(lived.other, days), _first_as_sire(lived.other, reversed(days))
    if first is None or last is None:
        return None
    # As he was when he settled, he stays.
    return MaleContact(first, lived.until if last == settled else last, lived.other.name)


def _first_as_sire(male: Companion, ordinals: Iterable[int]) -> date | None:
    days = map(date.fromordinal, ordinals)
    return next((day for day in days if siring(male, day) in CAN_SIRE), None)


def _settled(lived: LivedWith) -> date:
    """From this day on he can sire for good, or not at all; at least their first day."""
    male, days = lived.other, [lived.since]
    if male.born is not None:
        days.append(male.born.earliest + timedelta(days=LEAVES_DAYS[male.species]))
    if male.castration and male.castration.on:
        days.append(male.castration.on + timedelta(days=WAIT_DAYS))
    return max(days)
