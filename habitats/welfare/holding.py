"""How many animals a room has space for, beside those that live in it."""

from collections.abc import Sequence
from functools import lru_cache

from habitats.welfare.rule_set import RuleSet
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Room

MOST_TRIED = 20  # animals; a room for more is not counted further


def most_grown(room: Room, rules: RuleSet) -> int:
    """How many grown animals of the heaviest class it would be enough for, empty as it is."""
    return most_more(room, rules, (), Resident())


def most_more(room: Room, rules: RuleSet, living: Sequence[Resident], newcomer: Resident) -> int:
    """How many such newcomers, at most, it would be enough for together with those living there.

    All numbers are tried from above: a rule set may ask for company, so that one alone fails
    where two pass. 0: not even one.
    """
    return _most_more(room, _ByIdentity(rules), tuple(living), newcomer)


class _ByIdentity:
    """A rule set to be looked up by identity: working out its hash would take as long as this."""

    def __init__(self, rules: RuleSet) -> None:
        self.rules = rules

    def __hash__(self) -> int:
        return id(self.rules)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByIdentity) and self.rules is other.rules


@lru_cache(maxsize=4096)
def _most_more(
    room: Room, by: _ByIdentity, living: tuple[Resident, ...], newcomer: Resident
) -> int:
    """Kept: a rescue has few designs, and asks of many enclosures at once."""
    rules = by.rules
    fitting = (
        number
        for number in range(MOST_TRIED, 0, -1)
        if judged(rules, rules.species, room, [*living, *[newcomer] * number]).passes
    )
    return next(fitting, 0)
