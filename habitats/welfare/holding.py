"""How many animals a room has space for, beside those that live in it."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from typing import NamedTuple

from habitats.welfare.alike import alike, verdict_of
from habitats.welfare.identity import ByIdentity
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Resident, Room, Verdict

MOST_TRIED = 20  # animals; a room for more is not counted further
# What is said of each number of newcomers, a letter each.
ENOUGH, TOO_SMALL, NO_FIGURE, NOT_MEASURED = "y", "n", "f", "m"


def most_grown(room: Room, rules: RuleSet) -> int:
    """How many grown animals of the heaviest class it would be enough for, empty as it is."""
    return most_more(room, rules, (), Resident())


def lacking_for(room: Room, rules: RuleSet, number: int) -> int:
    """The floor in mm² that is missing for so many such animals; 0 where floor is not the reason.

    That is so too where the rule set has no figure for them.
    """
    residents = [Resident()] * number
    return verdict_of(rules, room, residents).lacking_mm2 if rules.floor.covers(residents) else 0


def most_more(room: Room, rules: RuleSet, living: Sequence[Resident], newcomer: Resident) -> int:
    """How many such newcomers, at most, it would be enough for together with those living there.

    A rule set may ask for company, so that one alone fails where two pass. 0: not even one.
    """
    return space_beside(room, rules, living, newcomer).most


class SpaceBeside(NamedTuple):
    """Whether there is space for one newcomer, for two, and so on, a letter each.

    For more than the letters tell there is not enough.
    """

    letters: str

    def of(self, number: int) -> str:
        return self.letters[number - 1 : number] or TOO_SMALL

    @property
    def most(self) -> int:
        return self.letters.rfind(ENOUGH) + 1


def space_beside(
    room: Room, rules: RuleSet, living: Sequence[Resident], newcomer: Resident
) -> SpaceBeside:
    """For up to ``MOST_TRIED`` such newcomers together with those who live there."""
    *there, coming = alike(rules, [*living, newcomer])
    return _space_beside(room, ByIdentity(rules), tuple(there), coming)


@lru_cache(maxsize=8192)
def _space_beside(
    room: Room, by: ByIdentity[RuleSet], living: tuple[Resident, ...], newcomer: Resident
) -> SpaceBeside:
    """Kept: a rescue has few designs, and asks of many enclosures at once."""
    return SpaceBeside("".join(_letters(room, by.value, living, newcomer)).rstrip(TOO_SMALL))


def _letters(
    room: Room, rules: RuleSet, living: tuple[Resident, ...], newcomer: Resident
) -> Iterator[str]:
    for number in range(1, MOST_TRIED + 1):
        residents = [*living, *[newcomer] * number]
        verdict = verdict_of(rules, room, residents)
        yield _letter(verdict, rules, residents)
        # Each animal more asks for as much floor, or more: where it lacks once, it lacks for all.
        if verdict.lacking_mm2 and verdict.passes is False:
            return


def _letter(verdict: Verdict, rules: RuleSet, residents: Sequence[Resident]) -> str:
    if verdict.passes is not None:
        return ENOUGH if verdict.passes else TOO_SMALL
    return NOT_MEASURED if rules.floor.covers(residents) else NO_FIGURE
