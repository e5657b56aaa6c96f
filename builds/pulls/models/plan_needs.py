"""Needs of the plan of a build from the store."""

from builds.making.parts import Part, StoredAs
from builds.plans.models.build_plans import BuildPlan
from builds.store.models.needs import (
    CannotMake,
    Needs,
    Shelf,
    items_of,
    items_of_alteration,
    items_of_parts,
)
from habitats.structure.faults import BadDesign


def needs_of(plan: BuildPlan, shelf: Shelf | None = None) -> Needs:
    """What a plan takes: of a repair its parts alone.

    Of an alteration, what it takes new.

    Raises ``CannotMake``.
    """
    if plan.is_repair:
        return items_of_parts(plan.revision.shape().panel, _parts(plan), shelf)
    if (stands := plan.stands()) is None:
        return items_of(plan.revision, shelf, sheet=plan.sheet)
    try:
        return items_of_alteration(stands, plan.revision.shape(), shelf, sheet=plan.sheet)
    except BadDesign as bad:
        raise CannotMake(" ".join(fault.sentence for fault in bad.faults)) from bad


def _parts(plan: BuildPlan) -> list[Part]:
    return [Part(**{**one, "kind": StoredAs(one["kind"])}) for one in plan.parts]
