"""Objections as pages show them: what is said of several pairs in the same words is said once."""

from collections.abc import Collection, Iterable, Sequence
from typing import NamedTuple

from habitats.animals.models.groups import Override
from habitats.animals.models.objections import Brought, GroupObjection
from habitats.animals.pages.told_once import alike, also_words
from habitats.welfare.companion import Companion
from habitats.welfare.objection import Objection


class ObjectionRow(NamedTuple):
    """``also`` says with whom else the same is the matter; empty for none.

    ``to_weigh``: code and name of who should be weighed, since nobody did and the weight decides.
    """

    objection: Objection
    also: str
    keys: tuple[str, ...]
    is_block: bool
    may_be_let_be: bool
    override: Override | None
    to_weigh: tuple[str, str] | None


def objection_rows(
    objections: Sequence[GroupObjection], companions: Sequence[Companion]
) -> list[ObjectionRow]:
    """In the order in which they are told: the first of each kind, and who else."""
    names = {one.ref: one.name for one in companions}
    unweighed = {one.ref for one in companions if not one.weighings}
    kinds = alike(objections, lambda one: _kind(one, names))
    return [_row(some, names, unweighed) for some in kinds]


def open_objection_rows(
    objections: Iterable[Objection], companions: Sequence[Companion]
) -> list[ObjectionRow]:
    """The same, of what is not overridden yet."""
    return objection_rows([GroupObjection(one, None) for one in objections], companions)


class BroughtRows(NamedTuple):
    """``Brought``, ready for a page."""

    stops: list[ObjectionRow]
    asks: list[ObjectionRow]
    stays: list[ObjectionRow]
    tells: list[ObjectionRow]


def brought_rows(brought: Brought, companions: Sequence[Companion]) -> BroughtRows:
    return BroughtRows(*(open_objection_rows(part, companions) for part in brought))


def _kind(one: GroupObjection, names: dict[str, str]) -> tuple[object, ...]:
    """What two objections share that can be said in one breath, and let be for one reason.

    An animal that was there on an earlier day only has no name here, and is told apart.
    """
    objection = one.objection
    if objection.animals[-1] not in names:
        return (objection.key,)
    *_firsts, about = objection.animals
    # Of one animal: all but its name is the same.
    words = objection.sentence.replace(names[about], "") if not _firsts else ""
    return (
        words,
        objection.code,
        objection.severity,
        objection.animals[:-1],
        objection.basis,
        objection.changes_on,
        _overridden(one.override),
    )


def _overridden(override: Override | None) -> tuple[object, ...]:
    """Why, by whom and on which day; empty if nobody did."""
    if override is None:
        return ()
    return override.reason, override.made_by_id, override.made_at.date()


def _row(
    some: Sequence[GroupObjection], names: dict[str, str], unweighed: Collection[str]
) -> ObjectionRow:
    first, *others = some
    male = first.objection.animals[0]
    decides = first.objection.code == "young_male" and male in names and male in unweighed
    return ObjectionRow(
        first.objection,
        also_words(names[one.objection.animals[-1]] for one in others),
        tuple(one.objection.key for one in some),
        first.is_block,
        first.may_be_let_be,
        first.override,
        (male, names[male]) if decides else None,
    )
