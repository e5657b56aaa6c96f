"""Costs of builds, alone and as a batch: material, and purchases still to be made.

Sheets are planned quickly here, as beside a drawing: they may be one too many. The buying list
searches on.
"""

from collections.abc import Iterable

from builds.batches.models.batches import Batch, BatchLine, ToCut
from builds.batches.models.sheet_jobs import PlanToCut, plans_to_cut
from builds.plans.models.builds import Build
from builds.pulls.models.accounts import Account, accounts_of
from builds.pulls.models.buying import needs_of_accounts, sheets_of_plans
from builds.store.models.costs import PricedNeeds, priced
from builds.store.models.items import Item
from builds.store.models.needs import QUICK, CannotMake, Needs, Shelf, all_needs, items_of


def cost_of_build(build: Build) -> PricedNeeds:
    """However it was loaded."""
    builds = Build.objects.with_state().filter(pk=build.pk)
    accounts = accounts_of(builds, Shelf(QUICK))
    lacking = needs_of_accounts(accounts, sheets_of_plans(accounts, plans_to_cut()))
    return priced(_material(accounts[0]), lacking)


def cost_of_batch(batch: Batch) -> PricedNeeds:
    """All builds of a batch, planned or not; as many questions for thirty as for three.

    Its sheets are those of its plan, once there is one that is still to be cut.
    """
    shelf = Shelf(QUICK)
    lines = list(BatchLine.objects.of_batch(batch).prefetch_related("builds"))
    builds = Build.objects.with_state().filter(batch_lines__batch=batch).distinct()
    accounts = accounts_of(builds, shelf)
    plans = plans_to_cut([batch.pk])
    wished = [(_needs(line, shelf), line.count - len(line.builds.all())) for line in lines]
    open_ = {one.line.pk: one for one in batch.to_cut()}
    lacking = [
        (needs_of_accounts(accounts, sheets_of_plans(accounts, plans, for_nobody=True)), 1),
        *_of_wished(lines, [needs for needs, _count in wished], open_, plans),
    ]
    material = [*((_material(one), 1) for one in accounts), *wished]
    return priced(all_needs(material), all_needs(lacking))


def _of_wished(
    lines: Iterable[BatchLine],
    needs: Iterable[Needs],
    to_cut: dict[int, ToCut],
    plans: list[PlanToCut],
) -> Iterable[tuple[Needs, int]]:
    """What builds that are not planned yet lack: sheets only where no plan takes them, and
    nothing was cut for them."""
    for line, one in zip(lines, needs, strict=True):
        planned = line.builds.all()
        sheets = tuple(need for need in one.lines if need.item.kind == Item.Kind.SHEET)
        others = tuple(need for need in one.lines if need.item.kind != Item.Kind.SHEET)
        yield Needs(others, one.missing), line.count - len(planned)
        if line.pk in to_cut and not plans:
            uncut = to_cut[line.pk]
            yield Needs(sheets), uncut.count - len(uncut.builds)


def _material(account: Account) -> Needs:
    try:
        return account.needs
    except CannotMake as reason:
        return Needs(missing=(str(reason),))


def _needs(line: BatchLine, shelf: Shelf) -> Needs:
    try:
        return items_of(line.revision, shelf)
    except CannotMake as reason:
        return Needs(missing=(str(reason),))
