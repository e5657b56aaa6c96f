"""The account of each build with the store, read off the ledger and the pulls.

However many are asked for, the questions to the database are the same few. An account is read
once: ask for another after something happened.

- ``issued``: taken from the store and not brought back, written off or reported missing;
- ``reserved``: reserved for the build and not taken yet;
- ``wanted``: what a pull begun now would ask for: what the newest plan needs beyond what is issued;
- ``short``: what is still to be had beyond what is reserved.

Sheets are cut in a job, which may serve several builds. Until a job is cut that has the build in
it, as it is planned now, the build needs them; while a plan still to be cut takes them, it neither
reserves them nor is short of them (``builds/batches/models/sheet_jobs.py``).
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple, Self, TypeVar

from django.db import models

from builds.batches.models.sheet_jobs import SeenTo, seen_to
from builds.plans.models.build_acts import Shortage
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import NEEDING, Build, BuildState
from builds.pulls.models.plan_needs import needs_of
from builds.pulls.models.pulls import Pull, PullEnd, PullLine, ShortPick
from builds.store.models.items import Item
from builds.store.models.needs import Needs, Shelf
from builds.store.models.stock import Movement
from habitats.wording import message

Amounts = dict[Item, int]
Row = TypeVar("Row")


def without_sheets(amounts: Amounts) -> Amounts:
    return {item: count for item, count in amounts.items() if item.kind != Item.Kind.SHEET}


@dataclass(frozen=True, eq=False)  # without slots: what is worked out from it is kept at hand
class PullAccount:
    """What one pull asks for, and what became of it.

    ``issued``: taken for it and not brought back. ``reserved``: for its build. ``is_cut``: the
    sheets of the plan that it is for are cut. ``is_planned``: a sheet plan that is still to be cut
    takes those of its build.
    """

    pull: Pull
    lines: tuple[PullLine, ...]
    shorts: tuple[ShortPick, ...]
    issued: Counter[Item]
    reserved: Counter[Item]
    is_cut: bool
    is_planned: bool

    @cached_property
    def asked(self) -> Counter[Item]:
        """What it asks for, in the order of its lines."""
        return _sum((line.item, line.wanted) for line in self.lines)

    @cached_property
    def left(self) -> Counter[Item]:
        """What is neither taken nor said to be short."""
        return self._less(self.shorts)

    @cached_property
    def own_left(self) -> Amounts:
        """The same without the sheets that a plan takes."""
        return without_sheets(self.left) if self.is_planned else self.left

    @property
    def not_reserved(self) -> Amounts:
        """What is left and not reserved; below 0 where more is reserved than is left."""
        return {item: count - self.reserved[item] for item, count in self.own_left.items()}

    @property
    def unserved(self) -> Counter[Item]:
        """What is neither taken nor served or spared otherwise: also what was not there."""
        return self._less(one for one in self.shorts if one.why != ShortPick.Why.MISSING)

    @property
    def lost(self) -> Counter[Item]:
        """What was reported missing after it was there: only a pull of a plan brought it."""
        return _sum(
            (line.item, line.wanted)
            for line in self.lines
            if self.pull.plan_id and line.shortage and line.shortage.kind == Shortage.Kind.MISSING
        )

    def _less(self, shorts: Iterable[ShortPick]) -> Counter[Item]:
        reported, left = _sum((one.item, one.count) for one in shorts), Counter[Item]()
        for item, count in self.asked.items():
            more = 0 if item.kind == Item.Kind.SHEET and self.is_cut else count
            left[item] = max(0, more - self.issued[item] - reported[item])
        return +left


@dataclass(frozen=True, eq=False)  # without slots: what is worked out from it is kept at hand
class Account:
    """How a build stands with the store, by its newest plan.

    ``build`` is loaded ``with_state()``; ``pulls`` are all of its, the oldest first. ``is_cut``:
    the sheets of its plan are cut; ``is_planned``: a plan that is still to be cut takes them.
    ``was_pulled``: somebody said that it is. ``unknown``: shortages of parts that the store does
    not count. ``shelf`` has the items in use, for all accounts that are read together.
    """

    build: Build
    plan: BuildPlan
    pulls: tuple[PullAccount, ...]
    issued: Counter[Item]
    reserved: Counter[Item]
    is_cut: bool
    is_planned: bool
    was_pulled: bool
    unknown: tuple[Shortage, ...]
    shelf: Shelf

    @property
    def state(self) -> str:
        state: str = self.build.state  # type: ignore[attr-defined]
        return state

    @property
    def latest(self) -> PullAccount | None:
        return self.pulls[-1] if self.pulls else None

    @cached_property
    def needs(self) -> Needs:
        """What its plan takes as a whole. Raises ``CannotMake``."""
        return needs_of(self.plan, self.shelf)

    @cached_property
    def wanted(self) -> Amounts:
        """Raises ``CannotMake``."""
        lost = _sum(pair for one in self.pulls for pair in one.lost.items())
        wanted = {}
        for item, count in self._whole.items():
            short = count + lost[item] - self.issued[item] - self._settled[item]
            if short > 0 and not (item.kind == Item.Kind.SHEET and self.is_cut):
                wanted[item] = short
        return wanted

    @property
    def own_wanted(self) -> Amounts:
        """The same without the sheets that a plan takes. Raises ``CannotMake``."""
        return self._own(self.wanted)

    @property
    def waits_for_cutting(self) -> bool:
        """Whether all was pulled but its sheets, which are reserved until a job has cut them."""
        latest = self.latest
        end = latest.pull.end_or_none() if latest else None
        if not (latest and end and latest.pull.plan_id == self.plan.pk):
            return False
        was_closed = end.how in (PullEnd.How.COMPLETE, PullEnd.How.SHORT)
        return was_closed and not without_sheets(self.wanted)

    @property
    def short(self) -> Amounts:
        """What is still to be had; nothing for a build that takes nothing more.

        Raises ``CannotMake``.
        """
        if self.state not in NEEDING:
            return {}
        short = {item: count - self.reserved[item] for item, count in self._own(self._open).items()}
        return {item: count for item, count in short.items() if count > 0}

    @property
    def uncounted(self) -> list[str]:
        """What it still needs that the store has no item for, as far as no pull told it already.

        Raises ``CannotMake``.
        """
        reported = [_reported(one) for one in self.unknown]
        latest = self.latest.pull if self.latest else None
        if self.was_pulled or (latest and latest.plan_id and not latest.is_open):
            return reported
        return [*self.needs.missing, *reported]

    def _own(self, amounts: Amounts) -> Amounts:
        return without_sheets(amounts) if self.is_planned else amounts

    @property
    def _open(self) -> Amounts:
        """What is neither issued nor settled, reserved or not."""
        latest = self.latest
        if latest and latest.pull.plan_id == self.plan.pk:
            return latest.unserved if latest.pull.is_open else self.wanted
        if latest and latest.pull.plan_id:
            return self.wanted
        reported = latest.unserved if latest and latest.pull.is_open else {}
        # Begun or said to be pulled without a pull: what it took is not known.
        if self.was_pulled or self.state == BuildState.BUILDING:
            return reported
        return _larger(self.wanted, reported)

    @property
    def _whole(self) -> Counter[Item]:
        """What the plan takes; of sheets, those that were reserved for it."""
        needs = _sum((line.item, line.total) for line in self.needs.lines)
        for one in self.pulls:
            sheets = {i: n for i, n in one.asked.items() if i.kind == Item.Kind.SHEET}
            if one.pull.plan_id == self.plan.pk and sheets:
                return Counter({**without_sheets(needs), **sheets})
        return needs

    @cached_property
    def _settled(self) -> Counter[Item]:
        """What something else serves for; and of this plan, what is not needed."""
        return _sum(
            (short.item, short.count)
            for one in self.pulls
            for short in one.shorts
            if short.why == ShortPick.Why.INSTEAD
            or (short.why == ShortPick.Why.UNNEEDED and one.pull.plan_id == self.plan.pk)
        )


# --- Read off ---


def accounts_of(builds: Iterable[Build], shelf: Shelf | None = None) -> list[Account]:
    """Of builds loaded ``with_state()``, in their order. ``shelf``: where it is asked already."""
    builds = list(builds)
    ids = [one.pk for one in builds]
    book, shelf = _Book.of(ids), shelf or Shelf()
    pulls = Pull.objects.filter(build__in=ids).order_by("pk")
    accounts = book.pull_accounts(pulls.select_related("build", "end__made_by", "plan"))
    by_build = _by(accounts.values(), lambda one: one.pull.build_id)
    reported = Build.objects.filter(pk__in=ids, events__state=BuildState.PULLED)
    was_pulled = set(reported.values_list("pk", flat=True))
    unknown = Shortage.objects.filter(build__in=ids, line__isnull=True).order_by("pk")
    shortages = _by(unknown, lambda one: one.build_id)
    return [
        Account(
            build=one,
            plan=book.plans[one.pk],
            pulls=tuple(by_build.get(one.pk, ())),
            issued=_issued(book.moved_for(one.pk)),
            reserved=book.reserved(one.pk),
            is_cut=book.is_cut(book.plans[one.pk]),
            is_planned=book.is_planned(one.pk),
            was_pulled=one.pk in was_pulled,
            unknown=tuple(shortages.get(one.pk, ())),
            shelf=shelf,
        )
        for one in builds
    ]


def account_of(build: Build) -> Account:
    """However it was loaded."""
    [account] = accounts_of(Build.objects.with_state().filter(pk=build.pk))
    return account


def pull_accounts(pulls: Iterable[Pull]) -> dict[Pull, PullAccount]:
    """Of some pulls alone, however they were loaded, in their order."""
    pulls = list(pulls)
    return _Book.of([pull.build_id for pull in pulls]).pull_accounts(pulls)


def issued_to(builds: Sequence[Build]) -> dict[Build, Counter[Item]]:
    """What builds have from the store, whatever pull it was taken for."""
    moved = _moved([one.pk for one in builds])
    return {one: _issued(moved.get(one.pk, ())) for one in builds}


class _Moved(NamedTuple):
    """What movements of an item for a build, and for one of its pulls or for none, come to."""

    build: int
    pull: int | None
    item: Item
    issued: int
    reserved: int


def _moved(builds: Collection[int]) -> dict[int, list[_Moved]]:
    came_or_went = models.Q(why__in=[Movement.Why.OUT, Movement.Why.IN])
    sums = Movement.objects.filter(build__in=builds).values("build", "pull", "item")
    rows = list(
        sums.annotate(
            gone=models.Sum("on_hand_change", filter=came_or_went, default=0),
            reserved_now=models.Sum("reserved_change"),
        )
    )
    items = Item.objects.in_bulk({row["item"] for row in rows})
    found = (
        _Moved(row["build"], row["pull"], items[row["item"]], -row["gone"], row["reserved_now"])
        for row in rows
    )
    return _by(found, lambda one: one.build)


def _issued(moved: Iterable[_Moved]) -> Counter[Item]:
    return _sum((one.item, one.issued) for one in moved)


@dataclass(frozen=True, slots=True)
class _Book:
    """What accounts are read from: of some builds, their newest plans, what moved for them, and
    who sees to their sheets."""

    plans: dict[int, BuildPlan]
    moved: dict[int, list[_Moved]]
    seen: SeenTo

    @classmethod
    def of(cls, builds: Collection[int]) -> Self:
        plans = BuildPlan.objects.filter(build__in=builds).defer("points")
        plans = plans.select_related("revision__design", "standing__design").order_by("number")
        return cls({one.build_id: one for one in plans}, _moved(builds), seen_to(builds))

    def moved_for(self, build: int) -> Sequence[_Moved]:
        return self.moved.get(build, ())

    def reserved(self, build: int) -> Counter[Item]:
        return _sum((one.item, one.reserved) for one in self.moved_for(build))

    def is_cut(self, plan: BuildPlan | None) -> bool:
        return plan is not None and (plan.build_id, plan.revision_id) in self.seen.cut

    def is_planned(self, build: int) -> bool:
        return (build, self.plans[build].revision_id) in self.seen.planned

    def pull_accounts(self, pulls: Iterable[Pull]) -> dict[Pull, PullAccount]:
        pulls = list(pulls)
        lines = PullLine.objects.filter(pull__in=pulls).select_related("item", "shortage")
        lines_of = _by(lines.order_by("pk"), lambda one: one.pull_id)
        shorts = ShortPick.objects.filter(pull__in=pulls).order_by("pk")
        shorts_of = _by(
            shorts.select_related("item", "instead", "made_by"), lambda one: one.pull_id
        )
        return {
            pull: PullAccount(
                pull=pull,
                lines=tuple(lines_of.get(pull.pk, ())),
                shorts=tuple(shorts_of.get(pull.pk, ())),
                issued=_issued(one for one in self.moved_for(pull.build_id) if one.pull == pull.pk),
                reserved=self.reserved(pull.build_id),
                is_cut=self.is_cut(pull.plan),
                is_planned=self.is_planned(pull.build_id),
            )
            for pull in pulls
        }


# --- Small things ---


def _sum(pairs: Iterable[tuple[Item, int]]) -> Counter[Item]:
    found = Counter[Item]()
    for item, count in pairs:
        found[item] += count
    return found


def _by(rows: Iterable[Row], key: Callable[[Row], int]) -> dict[int, list[Row]]:
    found: dict[int, list[Row]] = {}
    for row in rows:
        found.setdefault(key(row), []).append(row)
    return found


def _larger(one: Amounts, other: Amounts) -> Amounts:
    return {item: max(one.get(item, 0), other.get(item, 0)) for item in {**one, **other}}


def _reported(one: Shortage) -> str:
    if one.kind == Shortage.Kind.DAMAGED:
        return message("%(count)d × %(part)s damaged", count=one.count, part=one.name)
    return message("%(count)d × %(part)s missing", count=one.count, part=one.name)
