"""Linens: kinds of them, sizes, each one with its label, and what happened to it.

What happened is appended as events. What the last event left (state, pool, spot, day) also stands
on the linen itself, so that thousands can be counted and a spot holds one linen only; both are
written together, under one lock, and only here.
"""

import secrets
import uuid
from datetime import date
from typing import Any, Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.utils import timezone
from django.utils.functional import lazy
from django.utils.text import capfirst
from django.utils.translation import gettext, gettext_lazy

from habitats.common import days
from habitats.common.happened import AppendOnly, not_ahead
from habitats.common.idempotency import Idempotent, made_before
from habitats.common.sentence_field import SentenceField
from habitats.enclosures.models.enclosures import Enclosure
from habitats.linens.models.pools import Pool
from habitats.linens.models.spots import LinenSize, Sort, Spot
from habitats.people.models.people import Person
from habitats.rotation.cloth import LEAST_SHRINKAGE, MOST_SHRINKAGE, mass_g
from habitats.rotation.infection import Suspicion
from habitats.rotation.labels import BODY_LENGTH, LABEL_LENGTH, LABEL_MARKS, made_label, shown
from habitats.rotation.rating import DrumLinen
from habitats.rotation.states import State, refusal
from habitats.wording import message

LEAST_MM, LARGEST_MM = 50, 10_000
MOST_LAYERS = 8
LEAST_MASS, MOST_MASS = 20, 2000  # g/m² of a layer
_capital = lazy(lambda words: capfirst(str(words)), str)
STATES = [(state.value, _capital(state.words)) for state in State]
SUSPICIONS = [(one.value, _capital(one.words)) for one in Suspicion]


class InvalidTransition(Exception):
    """This cannot have happened to the linen as it stands, so nothing was changed."""


class LinenKind(models.Model):
    """Goods that linens are made of, and how they are made.

    ``grams_per_m2`` is of one layer. The shrinkages are what is expected of new goods, in tenths
    of a percent; what was measured counts instead (``habitats/linens/models/shrinkage.py``).
    """

    class Fibre(models.TextChoices):
        COTTON = "cotton", gettext_lazy("Cotton")
        SYNTHETIC = "synthetic", gettext_lazy("Synthetic, or mixed")

    name = models.CharField(max_length=60, unique=True)
    sort = models.CharField(max_length=10, choices=Sort)
    fibre = models.CharField(max_length=10, choices=Fibre, default=Fibre.SYNTHETIC)
    layers = models.PositiveSmallIntegerField(
        default=1, validators=[MinValueValidator(1), MaxValueValidator(MOST_LAYERS)]
    )
    grams_per_m2 = models.PositiveSmallIntegerField(
        validators=[MinValueValidator(LEAST_MASS), MaxValueValidator(MOST_MASS)]
    )
    shrink_length = models.SmallIntegerField(
        default=0,
        validators=[MinValueValidator(LEAST_SHRINKAGE), MaxValueValidator(MOST_SHRINKAGE)],
    )
    shrink_width = models.SmallIntegerField(
        default=0,
        validators=[MinValueValidator(LEAST_SHRINKAGE), MaxValueValidator(MOST_SHRINKAGE)],
    )
    most_washes = models.PositiveSmallIntegerField(
        default=100, validators=[MinValueValidator(1), MaxValueValidator(2000)]
    )
    put_away_on = models.DateField(null=True, blank=True, editable=False)

    class Meta:
        constraints = [
            models.CheckConstraint(name="linen_kind_has_a_name", condition=~models.Q(name="")),
            models.CheckConstraint(
                name="linen_sort_is_known",
                condition=models.Q(sort__in=[one.value for one in Sort]),
            ),
            models.CheckConstraint(
                name="linen_fibre_is_known", condition=models.Q(fibre__in=["cotton", "synthetic"])
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def is_folded(self) -> bool:
        """Whether its layers are folds of one cloth, as a ramp's towel has them."""
        return self.sort == Sort.TOWEL

    def spread(self, size: LinenSize) -> tuple[int, int]:
        """A finished size as one of this kind measures when it is spread out."""
        folds = self.layers if self.is_folded else 1
        return size.width_mm * folds, size.length_mm

    def mass_g(self, size: LinenSize) -> int:
        """What a finished linen of this kind weighs dry."""
        return mass_g(size.width_mm, size.length_mm, self.layers, self.grams_per_m2)


class LinenQuerySet(models.QuerySet["Linen"]):
    def visible_to(self, person: Person, today: date) -> Self:
        """Coordinators and laundry volunteers see all, fosters those of their pool and home."""
        if person.has_role(Person.Role.COORDINATOR, Person.Role.LAUNDRY):
            return self
        if not person.has_role(Person.Role.FOSTER):
            return self.none()
        own = Enclosure.objects.cared_for_by(person, today)
        of_pool = models.Q(pool__in=Pool.objects.visible_to(person))
        return self.filter(of_pool | models.Q(spot__enclosure__in=own))

    def live(self) -> Self:
        """Those still counted on: neither retired nor lost."""
        return self.exclude(state__in=(State.RETIRED, State.LOST))

    def in_state(self, *states: str) -> Self:
        return self.filter(state__in=states)

    def fitting(self, size: LinenSize) -> Self:
        return self.filter(size=size)

    def with_kind(self) -> Self:
        return self.select_related("kind", "size", "pool")

    def by_label(self) -> Self:
        return self.order_by("label")

    def longest_rested(self) -> Self:
        """Those that have been in their state longest first, so that all wear alike."""
        return self.order_by("since", "pk")

    def make(
        self,
        kind: LinenKind,
        size: LinenSize,
        pool: Pool,
        on: date,
        *,
        by: Person,
        cut: tuple[int, int] | None = None,
        washed: bool = False,
        idempotency_key: uuid.UUID | None = None,
    ) -> "Linen":
        """A new linen with a label of its own. The same key again gives the same linen.

        ``cut``: what was cut before hemming and washing, (width, length), None if not known.
        ``washed``: it was washed before it came to us, so it is clean and fits already.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(self, idempotency_key)
            if known:
                return known
            cut_width, cut_length = cut or (None, None)
            linen = self.create(
                label=self._free_label(),
                kind=kind,
                size=size,
                pool=pool,
                state=State.CLEAN if washed else State.NEW,
                since=on,
                cut_width_mm=cut_width,
                cut_length_mm=cut_length,
                idempotency_key=idempotency_key,
                made_by=by,
            )
            linen._append(on, by=by, idempotency_key=uuid.uuid5(idempotency_key, "made"))
        return linen

    def _free_label(self) -> str:
        while True:
            label = new_label()
            if not Linen.objects.filter(label=label).exists():
                return label


def new_label() -> str:
    """A label at random, which another linen may have already."""
    return made_label("".join(secrets.choice(LABEL_MARKS) for _ in range(BODY_LENGTH)))


class Linen(Idempotent):
    """A liner, towel, pad or cover with its own label, and how the last event left it.

    ``since``: the day of the last event. ``spot``: where it lies, None unless in use.
    ``washes``: how often it was washed. ``suspicion``: what it is set aside for, else empty;
    it stays with the linen through the wash until its programmes release it.
    """

    label = models.CharField(max_length=LABEL_LENGTH, unique=True, editable=False)
    kind = models.ForeignKey(LinenKind, on_delete=models.PROTECT, related_name="linens")
    size = models.ForeignKey(LinenSize, on_delete=models.PROTECT, related_name="linens")
    cut_width_mm = models.PositiveIntegerField(null=True, blank=True)
    cut_length_mm = models.PositiveIntegerField(null=True, blank=True)
    state = models.CharField(max_length=14, choices=STATES)
    since = models.DateField()
    pool = models.ForeignKey(Pool, on_delete=models.PROTECT, related_name="linens")
    spot = models.OneToOneField(
        Spot, on_delete=models.PROTECT, null=True, editable=False, related_name="linen"
    )
    washes = models.PositiveIntegerField(default=0, editable=False)
    suspicion = models.CharField(max_length=12, choices=SUSPICIONS, blank=True, editable=False)
    made_by = models.ForeignKey(Person, on_delete=models.PROTECT, related_name="+", editable=False)
    made_at = models.DateTimeField(default=timezone.now, editable=False)

    objects = LinenQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["pool", "size", "state"], name="linen_of_pool"),
            models.Index(fields=["state", "since"], name="linen_in_state"),
        ]
        constraints = [
            models.CheckConstraint(
                name="linen_state_is_known",
                condition=models.Q(state__in=[one.value for one in State]),
            ),
            models.CheckConstraint(
                name="a_linen_lies_in_a_spot_while_in_use",
                condition=models.Q(state=State.IN_USE, spot__isnull=False)
                | (~models.Q(state=State.IN_USE) & models.Q(spot__isnull=True)),
            ),
            models.CheckConstraint(
                name="what_is_set_aside_is_suspected",
                condition=~models.Q(state=State.SET_ASIDE, suspicion=""),
            ),
        ]

    def __str__(self) -> str:
        return shown(self.label)

    @property
    def state_words(self) -> str:
        return State(self.state).words

    @property
    def suspicion_words(self) -> str:
        return Suspicion(self.suspicion).words if self.suspicion else ""

    @property
    def is_oversize(self) -> bool:
        """New and not yet shrunk: it is larger than its finished size, as it should be."""
        return self.washes == 0 and self.cut_width_mm is not None

    @property
    def spread_size(self) -> tuple[int, int]:
        """Its finished size as its cloth is cut: a towel is folded, so it is wider spread out."""
        return self.kind.spread(self.size)

    @property
    def is_worn_out(self) -> bool:
        return self.washes >= self.kind.most_washes

    @property
    def mass_g(self) -> int:
        return self.kind.mass_g(self.size)

    def weighed(self) -> DrumLinen:
        """As the drum of a machine has it."""
        return DrumLinen(self.mass_g, self.kind.fibre == LinenKind.Fibre.SYNTHETIC)

    def set_state(
        self,
        state: str,
        on: date,
        *,
        by: Person,
        idempotency_key: uuid.UUID | None = None,
        seen: bool = False,
        **more: Any,
    ) -> "LinenEvent":
        """Append what happened to it. The same key again changes nothing.

        ``more``: ``spot`` (for in use), ``pool``, ``load``, ``change``, ``suspicion``, ``note``.
        ``seen``: somebody saw it so, whatever was said before.
        Raises ``InvalidTransition`` with a sentence for what cannot follow on its state, or on a
        day before its last event. One of a clock that was ahead refuses no day: the new event
        counts, and notes it.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            now = Linen.objects.select_for_update(of=("self",), no_key=True).get(pk=self.pk)
            known = made_before(LinenEvent.objects, idempotency_key)
            if known:
                return known
            now._refuse(State(state), on, seen=seen)
            if on < now.since:
                more.setdefault(
                    "note", message("The previous entry had a future date: a clock was wrong.")
                )
            now.state, now.since = state, on
            now.spot = more.pop("spot", None)
            if "pool" in more:
                now.pool = more.pop("pool")
            now.suspicion = more.pop("suspicion", now.suspicion)
            now.washes += state == State.WASHING
            now.save(update_fields=["state", "since", "spot", "pool", "suspicion", "washes"])
            event = now._append(on, by=by, idempotency_key=idempotency_key, **more)
        for name in ("state", "since", "spot", "pool", "suspicion", "washes"):
            setattr(self, name, getattr(now, name))
        return event

    def _append(
        self, on: date, *, by: Person, idempotency_key: uuid.UUID, **more: Any
    ) -> "LinenEvent":
        return self.events.create(
            state=self.state,
            on=on,
            pool_id=self.pool_id,
            spot_id=self.spot_id,
            washes=self.washes,
            suspicion=self.suspicion,
            made_by=by,
            idempotency_key=idempotency_key,
            **more,
        )

    def earliest(self, on: date) -> date:
        """The day, or that of its last event where that is later: both may follow on it."""
        last = self._event_after(on)
        return last.on if last else on

    def _event_after(self, day: date) -> "LinenEvent | None":
        """Its last event, if that is of a later day; those of a clock that was ahead are none."""
        if self.since <= day:
            return None
        last = not_ahead(self.events.order_by("-pk")).first()
        return last if last and last.on > day else None

    def _refuse(self, state: State, on: date, *, seen: bool) -> None:
        last = self._event_after(on)
        if last:
            raise InvalidTransition(
                gettext(
                    "%(day)s is before the last entry for %(linen)s: “%(state)s” on %(since)s. "
                    "Enter that day or a later one."
                )
                % {
                    "day": days.in_full(on),
                    "linen": self,
                    "state": last.state_words,
                    "since": days.in_full(last.on),
                }
            )
        sentence = refusal(State(self.state), state, str(self))
        if sentence and not seen:
            raise InvalidTransition(sentence)


class LinenEvent(AppendOnly):
    """What happened to a linen, with what it left: state, pool, spot, washes, suspicion.

    ``load``: the wash it went through; ``change``: the change of an enclosure it was part of.
    """

    linen = models.ForeignKey(Linen, on_delete=models.PROTECT, related_name="events")
    state = models.CharField(max_length=14, choices=STATES)
    on = models.DateField()
    pool = models.ForeignKey(Pool, on_delete=models.PROTECT, related_name="+")
    spot = models.ForeignKey(Spot, on_delete=models.PROTECT, null=True, related_name="events")
    load = models.ForeignKey(
        "habitats.Load", on_delete=models.PROTECT, null=True, related_name="events"
    )
    change = models.ForeignKey(
        "habitats.LinenChange", on_delete=models.PROTECT, null=True, related_name="events"
    )
    washes = models.PositiveIntegerField()
    suspicion = models.CharField(max_length=12, choices=SUSPICIONS, blank=True)
    note = SentenceField(blank=True)

    class Meta:
        indexes = [
            models.Index(fields=["linen", "-id"], name="linen_event_latest"),
            models.Index(fields=["spot", "on"], name="linen_event_in_spot"),
        ]
        constraints = [
            models.CheckConstraint(
                name="linen_event_state_is_known",
                condition=models.Q(state__in=[one.value for one in State]),
            ),
        ]

    @property
    def state_words(self) -> str:
        return State(self.state).words

    @property
    def suspicion_words(self) -> str:
        return Suspicion(self.suspicion).words if self.suspicion else ""

    def __str__(self) -> str:
        return f"linen {self.linen_id} {self.state} on {self.on}"
