"""Needs of planned builds beyond what they have and keep, for the buying list."""

from collections import Counter
from collections.abc import Iterable, Sequence

from builds.batches.models.cutting_lines import CuttingJobLine
from builds.batches.models.sheet_jobs import PlanToCut, plans_to_cut
from builds.plans.models.builds import NEEDING, Build, BuildQuerySet
from builds.pulls.models.accounts import Account, accounts_of
from builds.store.models.items import Item
from builds.store.models.needs import CannotMake, Need, Needs, all_needs
from builds.store.models.sheets import SheetKind
from habitats.wording import message


def planned_builds() -> BuildQuerySet:
    """Those that may still take something, the soonest first."""
    return Build.objects.in_state(*NEEDING).soonest_first()


def needs_of_planned_builds() -> Needs:
    """What all builds that are to be made still need from the store.

    What is reserved for a build or taken already is not among it; what was reported missing or
    damaged is. Sheets of builds that a plan cuts together are as many as that takes. ``missing``
    says in words what the store does not count.
    """
    accounts = accounts_of(planned_builds())
    return needs_of_accounts(accounts, sheets_of_plans(accounts, plans_to_cut(), for_nobody=True))


def needs_of_builds(builds: Iterable[Build]) -> Needs:
    """The same of some builds, loaded ``with_state()``.

    A plan that cuts for one of them cuts for others, too: its sheets are needed as a whole.
    """
    accounts = accounts_of(builds)
    return needs_of_accounts(accounts, sheets_of_plans(accounts, plans_to_cut()))


def needs_of_accounts(accounts: Iterable[Account], of_plans: Iterable[Needs]) -> Needs:
    several = [needs_of_account(one) for one in accounts]
    return all_needs((one, 1) for one in [*several, *of_plans])


def sheets_of_plans(
    accounts: Iterable[Account], plans: Sequence[PlanToCut], *, for_nobody: bool = False
) -> list[Needs]:
    """The sheets that these plans take for these builds, less those reserved for them.

    ``for_nobody``: also of plans that cut for builds which are not planned yet.
    """
    lines = CuttingJobLine.objects.filter(job__in=[one.job for one in plans])
    builds = {one.build.pk: one for one in accounts}
    asked: dict[int, int] = Counter()
    theirs: dict[int, list[int]] = {}
    for job, count in lines.values_list("job", "count"):
        asked[job] += count
    for job, build in lines.filter(builds__isnull=False).values_list("job", "builds"):
        theirs.setdefault(job, []).append(build)
    kinds = SheetKind.objects.select_related("item").in_bulk(
        {kind for one in plans for kind in one.sheets}
    )
    found = []
    for plan in plans:
        own = [builds[one] for one in theirs.get(plan.job, []) if one in builds]
        if own or (for_nobody and len(theirs.get(plan.job, [])) < asked[plan.job]):
            found.append(_needs_of_plan(plan, kinds, [one.reserved for one in own]))
    return found


def _needs_of_plan(
    plan: PlanToCut, kinds: dict[int, SheetKind], reserved: list[Counter[Item]]
) -> Needs:
    needs = []
    for pk, count in plan.sheets.items():
        item = kinds[pk].item
        needs.append(Need(item, max(0, count - sum(one[item] for one in reserved))))
    return Needs(tuple(one for one in needs if one.count))


def needs_of_account(account: Account) -> Needs:
    """What the build is short of."""
    try:
        lines = tuple(Need(item, count) for item, count in account.short.items())
        missing = account.uncounted
    except CannotMake as reason:
        return Needs(missing=(str(reason),))
    return Needs(lines, tuple(_for_build(one, account.build) for one in missing))


def _for_build(needed: str, build: Build) -> str:
    return message("%(needed)s, for “%(build)s”", needed=needed, build=str(build))
