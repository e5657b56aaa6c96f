"""What builds need, have, keep and lack, read off the ledger and the pulls.

However many builds are asked for, the questions to the database are the same few.

- ``has``: taken from the store for a build and not brought back, thrown away or reported missing;
- ``kept``: reserved for it and not taken yet;
- ``wanted``: what a pull begun now would ask for: what its newest plan needs beyond what it has;
- ``lacks``: what is still to be had beyond what is kept.

Sheets are cut in a job, which may serve several builds. Until a job is cut that has the build in
it, as it is planned now, the build needs them; while a plan still to be cut takes them, it neither
keeps nor lacks them itself (``sheet_jobs.py``).
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import cached_property
from typing import Any

from django.db import models

from builds.batches.models.sheet_jobs import SeenTo, seen_to
from builds.making.parts import Kind, Part
from builds.plans.models.build_acts import Shortage
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import NEEDING, Build, BuildState
from builds.pulls.models.pulls import Pull, PullEnd, PullLine, ShortPick
from builds.store.models.items import Item
from builds.store.models.needs import Need, Needs, Shelf, items_of, items_of_parts
from builds.store.models.stock import Movement
from habitats.structure.design import Design as Shape

# Of a build that alters an enclosure these are there already, as far as it had them.
STAYING = (Item.Kind.PANEL, Item.Kind.CONNECTOR, Item.Kind.CLIP)

Why = Movement.Why
Amounts = dict[Item, int]


class Books:
    """Read once, for builds loaded ``with_state()``; ask anew after something happened."""

    def __init__(self, builds: Iterable[Build]) -> None:
        self.builds = list(builds)
        self._ids = [one.pk for one in self.builds]

    # --- One build ---

    def needs(self, build: Build) -> Needs:
        """What its newest plan takes as a whole. Raises ``CannotMake``."""
        return needs_of(self._plans[build.pk], self._shelf)

    def shape_of(self, build: Build) -> Shape:
        """The design of its newest plan."""
        return self._plans[build.pk].revision.shape()

    def has(self, build: Build) -> Counter[Item]:
        found: Counter[Item] = Counter()
        for (_pull, item), count in self._moved.get(build.pk, Counter()).items():
            found[item] += count
        return found

    def kept(self, build: Build) -> Counter[Item]:
        return self._kept.get(build.pk, Counter())

    def latest(self, build: Build) -> Pull | None:
        pulls = self._pulls.get(build.pk, [])
        return pulls[-1] if pulls else None

    def wanted(self, build: Build) -> Amounts:
        """Raises ``CannotMake``."""
        plan = self._plans[build.pk]
        has, gone, settled = self.has(build), self._gone(build), self._settled(build, plan)
        there = self._cut_for(build, plan)
        wanted = {}
        for item, count in self._whole(build, plan).items():
            is_cut = item.kind == Item.Kind.SHEET and there
            short = count + gone[item] - has[item] - settled[item]
            if short > 0 and not is_cut:
                wanted[item] = short
        return wanted

    def waits_for_cutting(self, build: Build) -> bool:
        """Whether all was pulled but its sheets, which are kept until a job has cut them."""
        latest = self.latest(build)
        end = latest.end_or_none() if latest else None
        if not (latest and end and latest.plan_id == self._plans[build.pk].pk):
            return False
        was_closed = end.how in (PullEnd.How.COMPLETE, PullEnd.How.SHORT)
        return was_closed and all(item.kind == Item.Kind.SHEET for item in self.wanted(build))

    def lacks(self, build: Build) -> Amounts:
        """What is still to be had; nothing for a build that takes nothing more.

        Raises ``CannotMake``.
        """
        if build.state not in NEEDING:  # type: ignore[attr-defined]
            return {}
        kept = self.kept(build)
        asked = self.without_planned(build, self._open(build))
        lacking = {item: count - kept[item] for item, count in asked.items()}
        return {item: count for item, count in lacking.items() if count > 0}

    def is_cut_for(self, build: Build) -> bool:
        """Whether the sheets of its newest plan are cut."""
        return self._cut_for(build, self._plans[build.pk])

    def is_planned(self, build: Build) -> bool:
        """Whether a sheet plan that is still to be cut takes its sheets."""
        return (build.pk, self._plans[build.pk].revision_id) in self._seen_to.planned

    def without_planned(self, build: Build, amounts: Amounts) -> Amounts:
        """The same without the sheets that a plan takes."""
        if not self.is_planned(build):
            return amounts
        return {item: n for item, n in amounts.items() if item.kind != Item.Kind.SHEET}

    def uncounted(self, build: Build) -> list[str]:
        """What it still needs that the store has no item for, as far as no pull told it already.

        Raises ``CannotMake``.
        """
        reported = [
            f"{one.count} × {one.what} {one.get_kind_display().lower()}"
            for one in self._unknown_shortages.get(build.pk, [])
        ]
        latest = self.latest(build)
        if build.pk in self._said_to_be_pulled or (
            latest and latest.plan_id and not latest.is_open
        ):
            return reported
        return [*self.needs(build).missing, *reported]

    def _open(self, build: Build) -> Amounts:
        plan, latest = self._plans[build.pk], self.latest(build)
        if latest and latest.plan_id == plan.pk:
            return self.unserved(latest) if latest.is_open else self.wanted(build)
        if latest and latest.plan_id:
            return self.wanted(build)
        reported = self.unserved(latest) if latest and latest.is_open else {}
        if self._has_its_own(build):
            return reported
        return _larger(self.wanted(build), reported)

    # --- One pull ---

    def lines(self, pull: Pull) -> Counter[Item]:
        """What it asks for, in the order of its lines."""
        return self._lines.get(pull.pk, Counter())

    def picked(self, pull: Pull) -> Counter[Item]:
        """What was taken for it and not brought back."""
        moved: Counter[tuple[int | None, Item]] = self._moved.get(pull.build_id, Counter())
        return Counter({item: count for (of, item), count in moved.items() if of == pull.pk})

    def shorts(self, pull: Pull) -> list[ShortPick]:
        return self._shorts.get(pull.pk, [])

    def left(self, pull: Pull) -> Counter[Item]:
        """What is neither taken nor said to be short."""
        said = _sum((one.item, one.count) for one in self.shorts(pull))
        return self._less(pull, said)

    def not_kept(self, pull: Pull) -> Amounts:
        """What is left and not reserved; below 0 where more is reserved than is left."""
        kept, left = self.kept(pull.build), self.without_planned(pull.build, self.left(pull))
        return {item: count - kept[item] for item, count in left.items()}

    def unserved(self, pull: Pull) -> Counter[Item]:
        """What is neither taken nor served or spared otherwise: also what was not there."""
        said = _sum(
            (one.item, one.count) for one in self.shorts(pull) if one.why != ShortPick.Why.MISSING
        )
        return self._less(pull, said)

    def _less(self, pull: Pull, said: Counter[Item]) -> Counter[Item]:
        picked, there = self.picked(pull), self.is_cut(pull)
        left = Counter[Item]()
        for item, count in self.lines(pull).items():
            more = 0 if item.kind == Item.Kind.SHEET and there else count
            left[item] = max(0, more - picked[item] - said[item])
        return +left

    def is_cut(self, pull: Pull) -> bool:
        """Whether the sheets of the plan that it is for are cut."""
        return bool(pull.plan and self._cut_for(pull.build, pull.plan))

    # --- Read off ---

    def _whole(self, build: Build, plan: BuildPlan) -> Counter[Item]:
        """What the plan takes; of sheets, those that were reserved for it."""
        needs = _sum((line.item, line.total) for line in self.needs(build).lines)
        for pull in self._pulls.get(build.pk, []):
            sheets = {i: n for i, n in self.lines(pull).items() if i.kind == Item.Kind.SHEET}
            if pull.plan_id == plan.pk and sheets:
                others = {i: n for i, n in needs.items() if i.kind != Item.Kind.SHEET}
                return Counter({**others, **sheets})
        return needs

    def _gone(self, build: Build) -> Counter[Item]:
        """What it had and reported missing since: only after a pull of a plan it was there."""
        return _sum(
            (line.item, line.wanted)
            for pull in self._pulls.get(build.pk, [])
            for line in self._all_lines.get(pull.pk, [])
            if pull.plan_id and line.shortage and line.shortage.kind == Shortage.Kind.MISSING
        )

    def _settled(self, build: Build, plan: BuildPlan) -> Counter[Item]:
        """What something else serves for; and of this plan, what is not needed."""
        return _sum(
            (one.item, one.count)
            for pull in self._pulls.get(build.pk, [])
            for one in self.shorts(pull)
            if one.why == ShortPick.Why.INSTEAD
            or (one.why == ShortPick.Why.UNNEEDED and pull.plan_id == plan.pk)
        )

    def _cut_for(self, build: Build, plan: BuildPlan) -> bool:
        return (build.pk, plan.revision_id) in self._seen_to.cut

    @cached_property
    def _plans(self) -> dict[int, BuildPlan]:
        plans = BuildPlan.objects.filter(build__in=self._ids).defer("points")
        plans = plans.select_related("revision__design", "standing__design").order_by("number")
        return {one.build_id: one for one in plans}

    @cached_property
    def _pulls(self) -> dict[int, list[Pull]]:
        pulls = Pull.objects.filter(build__in=self._ids).order_by("pk")
        return _by(pulls.select_related("build", "end__made_by", "plan"), "build_id")

    @cached_property
    def _all_lines(self) -> dict[int, list[PullLine]]:
        lines = PullLine.objects.filter(pull__build__in=self._ids).order_by("pk")
        return _by(lines.select_related("item", "shortage"), "pull_id")

    @cached_property
    def _lines(self) -> dict[int, Counter[Item]]:
        return {
            pull: _sum((line.item, line.wanted) for line in lines)
            for pull, lines in self._all_lines.items()
        }

    @cached_property
    def _shorts(self) -> dict[int, list[ShortPick]]:
        shorts = ShortPick.objects.filter(pull__build__in=self._ids).order_by("pk")
        return _by(shorts.select_related("item", "instead", "made_by"), "pull_id")

    @cached_property
    def _sums(self) -> list[Any]:
        came_or_went = models.Q(why__in=[Why.OUT, Why.IN])
        rows = Movement.objects.filter(build__in=self._ids).values("build", "pull", "item")
        return list(
            rows.annotate(
                gone=models.Sum("on_hand_change", filter=came_or_went, default=0),
                kept=models.Sum("reserved_change"),
            )
        )

    @cached_property
    def _items(self) -> dict[int, Item]:
        return Item.objects.in_bulk({row["item"] for row in self._sums})

    @cached_property
    def _moved(self) -> dict[int, Counter[tuple[int | None, Item]]]:
        found: dict[int, Counter[tuple[int | None, Item]]] = {}
        for row in self._sums:
            key = (row["pull"], self._items[row["item"]])
            found.setdefault(row["build"], Counter())[key] -= row["gone"]
        return found

    @cached_property
    def _kept(self) -> dict[int, Counter[Item]]:
        found: dict[int, Counter[Item]] = {}
        for row in self._sums:
            found.setdefault(row["build"], Counter())[self._items[row["item"]]] += row["kept"]
        return found

    @cached_property
    def _seen_to(self) -> SeenTo:
        return seen_to(self._ids)

    def _has_its_own(self, build: Build) -> bool:
        """Whether it was begun or said to be pulled without a pull: what it took is not known."""
        begun = build.state == BuildState.BUILDING  # type: ignore[attr-defined]
        return begun or build.pk in self._said_to_be_pulled

    @cached_property
    def _said_to_be_pulled(self) -> set[int]:
        events = Build.objects.filter(pk__in=self._ids, events__state=BuildState.PULLED)
        return set(events.values_list("pk", flat=True))

    @cached_property
    def _unknown_shortages(self) -> dict[int, list[Shortage]]:
        """Of parts that the store does not count."""
        unknown = Shortage.objects.filter(build__in=self._ids, line__isnull=True).order_by("pk")
        return _by(unknown, "build_id")

    @cached_property
    def _shelf(self) -> Shelf:
        return Shelf()


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
    return [Part(**{**one, "kind": Kind(one["kind"])}) for one in plan.parts]


def _less(line: Need, old: Needs) -> Need:
    """Spares of what stands are not in it any more."""
    there = next((one.count for one in old.lines if one.item == line.item), 0)
    count = max(0, line.count - there)
    return Need(line.item, count, line.spare if count else 0)


def _larger(one: Amounts, other: Amounts) -> Amounts:
    return {item: max(one.get(item, 0), other.get(item, 0)) for item in {**one, **other}}


def _sum(pairs: Iterable[tuple[Item, int]]) -> Counter[Item]:
    found: Counter[Item] = Counter()
    for item, count in pairs:
        found[item] += count
    return found


def _by(rows: Iterable[Any], field: str) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    for row in rows:
        found.setdefault(getattr(row, field), []).append(row)
    return found


def with_books(builds: Sequence[Build]) -> Books:
    """Books of builds however they were loaded."""
    return Books(Build.objects.with_state().filter(pk__in=[one.pk for one in builds]))
