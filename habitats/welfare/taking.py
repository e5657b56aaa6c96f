"""What an enclosure, with those who live in it, says of newcomers of each kind on a day.

Kept with how it stands, so that a question about a whole rescue reads a few letters of each
enclosure and not all of its animals. How many come is not asked here: company is the same for one
as for several, and space is told for each number.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import date
from functools import lru_cache
from typing import NamedTuple

from habitats.welfare.companion import Companion
from habitats.welfare.company import OF_ONE_ALONE, between
from habitats.welfare.holding import space_beside
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.maturity import Siring, can_conceive, siring
from habitats.welfare.newcomers import LEAST_OF_A_LITTER, Kind, Newcomers
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.values import Resident, Room, Sex, Species

NOT_ALLOWED = -1


class Admission(NamedTuple):
    """Of newcomers of one kind.

    ``space``: as the letters of ``SpaceBeside`` have it; of a litter, for the young beside their
    mother. ``company``: how many cautions they bring, or ``NOT_ALLOWED``.
    """

    space: str
    company: int


def takings(
    members: Sequence[Companion],
    objections: Iterable[Objection],
    living: Sequence[Resident],
    species: Species,
    room: Room,
    rules: RuleSet | None,
    today: date,
    *,
    overridden: Collection[str],
    limits: WelfareLimits,
) -> Mapping[Kind, Admission]:
    """``objections`` are those between the members, ``living`` is the members as space sees them,
    and ``species`` that of all of them.

    Without a rule set nothing is told of space.
    """
    is_refused = any(
        one.code not in OF_ONE_ALONE and blocks_newcomers(one, overridden) for one in objections
    )
    space = _Space(room, rules, living)
    heard = [one for one in members if not is_refused]
    mild = {one.ref: _mild_to(one, today, limits) for one in heard}
    found = {}
    for kind in Kind:
        coming = _coming(species, kind, today)
        asked = [one for one in heard if kind not in mild[one.ref]]
        company = NOT_ALLOWED if is_refused else _company(asked, coming.animals, today, limits)
        found[kind] = Admission(space.letters(coming.residents), company)
    return found


class _Space:
    """Asked once of those who ask for the same floor."""

    def __init__(self, room: Room, rules: RuleSet | None, living: Sequence[Resident]) -> None:
        self._room, self._rules, self._living = room, rules, living
        self._found: dict[object, str] = {}

    def letters(self, coming: Sequence[Resident]) -> str:
        if self._rules is None:
            return ""
        # Sex counts only where a standard has a floor for a pair with litter; all are grown.
        is_of_sex = self._rules.floor.breeding is not None
        key: object = coming if is_of_sex else tuple(one.with_litter for one in coming)
        if key not in self._found:
            beside = [*self._living, *coming[:-1]]
            told = space_beside(self._room, self._rules, beside, coming[-1])
            self._found[key] = told.letters
        return self._found[key]


def blocks_newcomers(objection: Objection, overridden: Collection[str]) -> bool:
    """What was let be of one animal holds no more once anybody comes."""
    if objection.severity is not Severity.BLOCK:
        return False
    return len(objection.animals) == 1 or objection.key not in overridden


def _mild_to(member: Companion, today: date, limits: WelfareLimits) -> frozenset[Kind]:
    """Kinds of newcomers about which no rule has anything to say beside this member.

    A short way for most animals, exact as far as it goes; of all other kinds the rules are asked.
    """
    if member.sex is None or member.rhd_exposed_on or in_quarantine(member, today, limits):
        return frozenset()
    if member.sex is Sex.MALE:
        return _TO_ANY if siring(member, today) is Siring.NO else _TO_THE_NEUTERED
    return _TO_FEMALES if can_conceive(member, today) else _TO_ANY


# Neither sires nor conceives who was neutered long ago, and females do not sire.
_TO_ANY = frozenset(Kind)
_TO_THE_NEUTERED = frozenset({Kind.SPAYED, Kind.NEUTERED})
_TO_FEMALES = _TO_THE_NEUTERED | {Kind.FEMALE, Kind.LITTER}


def _company(
    members: Sequence[Companion], coming: Sequence[Companion], today: date, limits: WelfareLimits
) -> int:
    found = between(members, coming, today, limits)
    if any(one.severity is Severity.BLOCK for one in found):
        return NOT_ALLOWED
    newcomers = {one.ref for one in coming}
    return len({(one.code, frozenset(one.animals) - newcomers) for one in found})


class _Coming(NamedTuple):
    """One of a kind, or a mother and one of her young: as company and as space see them."""

    animals: tuple[Companion, ...]
    residents: tuple[Resident, ...]


@lru_cache(maxsize=64)
def _coming(species: Species, kind: Kind, today: date) -> _Coming:
    newcomers = Newcomers(species, LEAST_OF_A_LITTER if kind is Kind.LITTER else 1, kind)
    return _Coming(newcomers.companions(today), residents_on(newcomers.grown(today), today))
