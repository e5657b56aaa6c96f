"""Needs of the plan of a build from the store."""

from builds.making.parts import Part, StoredAs
from builds.plans.models.build_plans import BuildPlan
from builds.store.models.items import Item
from builds.store.models.needs import Need, Needs, Shelf, items_of, items_of_parts

# Of a build that alters an enclosure these are there already, as far as it had them.
STAYING = (Item.Kind.PANEL, Item.Kind.CONNECTOR, Item.Kind.CLIP)


def needs_of(plan: BuildPlan, shelf: Shelf | None = None) -> Needs:
    """What a plan takes: of a repair its parts alone.

    Of an alteration, panels and their fastenings that stand are not counted.

    Raises ``CannotMake``.
    """
    if plan.is_repair:
        return items_of_parts(plan.revision.shape().panel, _parts(plan), shelf)
    new = items_of(plan.revision, shelf)
    if plan.standing is None:
        return new
    old = items_of(plan.standing, shelf)
    lines = (_less(line, old) if line.item.kind in STAYING else line for line in new.lines)
    return Needs(tuple(line for line in lines if line.total), new.missing)


def _parts(plan: BuildPlan) -> list[Part]:
    return [Part(**{**one, "kind": StoredAs(one["kind"])}) for one in plan.parts]


def _less(line: Need, old: Needs) -> Need:
    """Spares of what stands are not in it any more."""
    there = next((one.count for one in old.lines if one.item == line.item), 0)
    count = max(0, line.count - there)
    return Need(line.item, count, line.spare if count else 0)
