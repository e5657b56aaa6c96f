"""Kits: what is settled about one, what is in its box, and what the box weighs.

A kit is a build with an adopter. What is packed is appended; the last word on a line counts.
"""

import uuid
from collections.abc import Mapping
from functools import cached_property
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils.translation import gettext as _

from builds.making.part_names import part_code, part_name
from builds.packing import (
    Cloth,
    PackingLine,
    ShortLine,
    known_mass,
    mass_words,
    missing,
    packing_list,
)
from builds.packing.lines import LINER, TOWEL
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import Build, BuildState, CannotBuild
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.linens.models.linens import LinenKind
from habitats.linens.models.shrinkage import shrinkage_of
from habitats.people.models.people import Person

# One lies in the enclosure while the other is in the wash: our own suggestion.
USUAL_SETS, MOST_SETS = 2, 6
LONGEST_WHAT = 120
MOST_PACKED = 10_000
LEAST_BOX_G, MOST_BOX_G = 100, 200_000
CLOSED = (BuildState.STOPPED, BuildState.HANDED_OVER)


class Kit(models.Model):
    """What is settled about a kit: how many sets of linens, and the goods they are made of.

    A kind of linen that is None has not been said, so its mass and shrinkage are not known.
    """

    build = models.OneToOneField(Build, on_delete=models.CASCADE, related_name="kit")
    linen_sets = models.PositiveSmallIntegerField(
        default=USUAL_SETS, validators=[MinValueValidator(1), MaxValueValidator(MOST_SETS)]
    )
    liner_kind = models.ForeignKey(
        LinenKind, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    towel_kind = models.ForeignKey(
        LinenKind, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                name="a_kit_has_linens_to_lie_on", condition=models.Q(linen_sets__gte=1)
            ),
        ]

    def __str__(self) -> str:
        return f"kit of build {self.build_id}"

    @classmethod
    def of(cls, build: Build) -> "Kit":
        """What is settled, or what is usual as long as nobody settled anything."""
        kinds = cls.objects.select_related("liner_kind", "towel_kind")
        return kinds.filter(build=build).first() or cls(build=build)

    def cloths(self) -> dict[str, Cloth]:
        """The goods of liners and towels, as far as they are said."""
        said = {LINER: self.liner_kind, TOWEL: self.towel_kind}
        return {sort: _cloth(kind) for sort, kind in said.items() if kind}


def _cloth(kind: LinenKind) -> Cloth:
    return Cloth(
        name=kind.name,
        is_cotton=kind.fibre == LinenKind.Fibre.COTTON,
        layers=kind.layers,
        grams_per_m2=kind.grams_per_m2,
        shrinkage=shrinkage_of(kind),
    )


class KitTickQuerySet(models.QuerySet["KitTick"]):
    def last_words(self) -> Self:
        """The last word on each line of each kit."""
        newest = self.values("build", "what").annotate(newest=models.Max("pk"))
        return self.filter(pk__in=newest.values("newest"))


class KitTick(AppendOnly):
    """So many of a line are in the box now; ``what`` is the part's code."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="kit_ticks")
    what = models.CharField(max_length=LONGEST_WHAT)
    count = models.PositiveIntegerField()

    objects = KitTickQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["build", "what", "-id"], name="kit_tick_latest")]
        constraints = [
            models.CheckConstraint(name="a_kit_tick_is_of_a_line", condition=~models.Q(what=""))
        ]

    def __str__(self) -> str:
        return f"{self.count} × {self.name} packed"

    @property
    def name(self) -> str:
        return part_name(self.what)


class KitWeighing(AppendOnly):
    """What the packed box weighed, all boxes together. ``is_whole``: nothing was missing then."""

    build = models.ForeignKey(Build, on_delete=models.PROTECT, related_name="kit_weighings")
    grams = models.PositiveIntegerField()
    is_whole = models.BooleanField()

    class Meta:
        constraints = [
            models.CheckConstraint(name="a_kit_weighs_something", condition=models.Q(grams__gt=0))
        ]

    def __str__(self) -> str:
        return f"kit of build {self.build_id}: {self.grams} g"


class Packing:
    """What is in the box of a kit, read off its plan and what was packed."""

    def __init__(self, build: Build) -> None:
        self.build, self.kit = build, Kit.of(build)

    @cached_property
    def plan(self) -> BuildPlan:
        return self.build.plans.newest_first().select_related("revision__design")[0]

    @cached_property
    def cloths(self) -> dict[str, Cloth]:
        return self.kit.cloths()

    @cached_property
    def lines(self) -> tuple[PackingLine, ...]:
        return packing_list(self.plan.parts, sets=self.kit.linen_sets, cloths=self.cloths)

    @cached_property
    def linens(self) -> tuple[PackingLine, ...]:
        return tuple(line for line in self.lines if line.is_linen)

    @cached_property
    def ticks(self) -> dict[str, KitTick]:
        """The last word on each line, by what it is of."""
        said = self.build.kit_ticks.last_words().select_related("made_by")
        return {tick.what: tick for tick in said}

    @cached_property
    def packed(self) -> Mapping[str, int]:
        return {what: tick.count for what, tick in self.ticks.items()}

    @cached_property
    def missing(self) -> tuple[ShortLine, ...]:
        return missing(self.lines, self.packed)

    @property
    def done(self) -> int:
        """How many lines are in the box whole."""
        return len(self.lines) - len(self.missing)

    @cached_property
    def last_weighing(self) -> KitWeighing | None:
        return self.build.kit_weighings.select_related("made_by").order_by("-pk").first()

    @cached_property
    def masses(self) -> tuple[int, int]:
        """Of the lines whose mass is known: what is in the box, and what belongs there, in g."""
        return known_mass(self.lines, self.packed)

    @property
    def mass_sentence(self) -> str:
        """What the last weighing says; empty where nobody weighed or nothing is known."""
        if self.last_weighing is None:
            return ""
        return mass_words(self.last_weighing.grams, self.masses[0], self._last_like_it())

    def _last_like_it(self) -> int | None:
        """What the last whole kit of the same design weighed, in grams."""
        alike = KitWeighing.objects.filter(
            is_whole=True,
            build__plans__revision=self.plan.revision_id,
            build__kit__linen_sets=self.kit.linen_sets,
        )
        others = alike.exclude(build=self.build).order_by("-pk")
        return others.values_list("grams", flat=True).first()


def pack(build: Build, what: str, count: int, *, by: Person, idempotency_key: uuid.UUID) -> KitTick:
    """So many are in the box. The same key again changes nothing.

    Raises ``CannotBuild`` for what is on no line, more than belongs there, or a kit that has gone.
    """
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(KitTick.objects, idempotency_key)
        if known:
            return known
        refuse_if_closed(build)
        what = part_code(what)
        line = next((one for one in Packing(build).lines if one.what == what), None)
        if line is None:
            raise CannotBuild(
                _("“%(part)s” is not in this kit. Choose a part from the list.") % {"part": what}
            )
        if count > line.to_pack:
            raise CannotBuild(
                _(
                    "%(count)d × %(part)s given; the kit needs %(needed)s. "
                    "Count again, and put the rest back into the store."
                )
                % {"count": count, "part": line.name, "needed": line.counted}
            )
        return build.kit_ticks.create(
            what=what, count=count, made_by=by, idempotency_key=idempotency_key
        )


def weigh(build: Build, grams: int, *, by: Person, idempotency_key: uuid.UUID) -> KitWeighing:
    """The packed box was weighed. The same key again changes nothing.

    Raises ``CannotBuild`` for a kit that has gone.
    """
    with transaction.atomic():
        Build.objects.select_for_update(of=("self",), no_key=True).get(pk=build.pk)
        known = made_before(KitWeighing.objects, idempotency_key)
        if known:
            return known
        refuse_if_closed(build)
        packing = Packing(build)
        _settle(packing.kit)
        return build.kit_weighings.create(
            grams=grams, is_whole=not packing.missing, made_by=by, idempotency_key=idempotency_key
        )


def refuse_if_closed(build: Build) -> None:
    """Raises ``CannotBuild`` for a kit that is handed over or stopped."""
    state = build.state_now()
    if state in CLOSED:
        raise CannotBuild(
            _("“%(build)s” is %(state)s, so you cannot pack it any more.")
            % {"build": build, "state": BuildState(state).in_a_sentence}
        )


def _settle(kit: Kit) -> None:
    """Keep what is usual, so that kits of as many linens are told apart."""
    if kit.pk is None:
        kit.save()
