"""Objections as pages show them: what is said of several pairs in the same words is said once."""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import NamedTuple

from habitats.animals.models.groups import Override
from habitats.animals.models.objections import Brought, Told
from habitats.welfare.companion import Companion
from habitats.welfare.objection import Objection
from habitats.wording import listed


class Spoken(NamedTuple):
    """``also`` names the others with whom the same is the matter; empty for none."""

    objection: Objection
    also: str
    keys: tuple[str, ...]
    is_block: bool
    may_be_let_be: bool
    override: Override | None


def spoken(told: Sequence[Told], companions: Sequence[Companion]) -> list[Spoken]:
    """In the order in which they are told: the first of each kind, and who else."""
    names = {one.ref: one.name for one in companions}
    kinds = [_kind(one, names) for one in told]
    alike = sorted(range(len(told)), key=lambda at: (kinds.index(kinds[at]), at))
    groups = groupby(alike, key=lambda at: kinds[at])
    return [_said_once([told[at] for at in group], names) for _kind, group in groups]


def spoken_of(objections: Iterable[Objection], companions: Sequence[Companion]) -> list[Spoken]:
    """The same, of what nobody has let be yet."""
    return spoken([Told(one, None) for one in objections], companions)


class BroughtSpoken(NamedTuple):
    """``Brought``, ready for a page."""

    stops: list[Spoken]
    asks: list[Spoken]
    stays: list[Spoken]


def brought_spoken(brought: Brought, companions: Sequence[Companion]) -> BroughtSpoken:
    return BroughtSpoken(*(spoken_of(part, companions) for part in brought))


def _kind(told: Told, names: dict[str, str]) -> tuple[object, ...]:
    """What two objections share that can be said in one breath, and let be for one reason.

    Whoever was there on an earlier day only has no name here, and is spoken of apart.
    """
    one = told.objection
    if len(one.animals) != 2 or one.animals[-1] not in names:
        return (one.key,)
    reason = told.override.reason if told.override else None
    return one.code, one.severity, one.animals[0], one.basis, one.changes_on, reason


def _said_once(alike: Sequence[Told], names: dict[str, str]) -> Spoken:
    first, *others = alike
    also = [names[one.objection.animals[-1]] for one in others]
    return Spoken(
        first.objection,
        listed(also),
        tuple(one.objection.key for one in alike),
        first.is_block,
        first.may_be_let_be,
        first.override,
    )
