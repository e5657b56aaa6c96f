"""Loads: linens that go through the wash together, from the machine back to the cupboard."""

import uuid
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any, Self

from django.db import models, transaction
from django.utils.translation import gettext as _

from habitats.common.codes import CODE_LENGTH, new_code
from habitats.common.happened import AppendOnly
from habitats.common.idempotency import made_before
from habitats.linens.models.linens import SUSPICIONS, InvalidTransition, Linen, LinenEvent
from habitats.linens.models.pools import Pool, Programme
from habitats.linens.models.releasing import MOST_IN_A_ROW, release_of
from habitats.linens.models.turns import lock_linens
from habitats.people.models.people import Person
from habitats.rotation.infection import Suspicion
from habitats.rotation.states import State
from habitats.wording import message

WASHABLE = (State.SOILED, State.SET_ASIDE, State.NEW)


class LoadQuerySet(models.QuerySet["Load"]):
    def visible_to(self, person: Person) -> Self:
        return self.filter(pool__in=Pool.objects.visible_to(person))

    def under_way(self) -> Self:
        """Those with a linen that has not come back yet."""
        wet = Linen.objects.in_state(State.WASHING, State.DRYING, State.DRY)
        return self.filter(events__linen__in=wet, events__state=State.WASHING).distinct()

    def newest_first(self) -> Self:
        return self.order_by("-on", "-pk")

    def start(
        self,
        pool: Pool,
        linens: Sequence[Linen],
        programme: Programme,
        on: date,
        *,
        by: Person,
        in_a_row: int = 1,
        idempotency_key: uuid.UUID | None = None,
    ) -> "Load":
        """These linens go into the machine. The same key again gives the same load.

        ``in_a_row``: so many washes are meant to be run before they are taken out; how many were
        is said when they are (``Load.take_out``).

        Raises ``InvalidTransition`` for no linens, for one that is not to be washed, and where
        linens set aside would share the drum with others.
        """
        idempotency_key = idempotency_key or uuid.uuid4()
        with transaction.atomic():
            known = made_before(self, idempotency_key)
            if known:
                return known
            suspicion = _one_suspicion(linens)
            load = self.create(
                code=new_code(),
                pool=pool,
                programme=programme,
                on=on,
                suspicion=suspicion,
                grams=sum(linen.mass_g for linen in linens),
                in_a_row=in_a_row,
                idempotency_key=idempotency_key,
                made_by=by,
            )
            lock_linens(linens)
            for linen in linens:
                load._set_state(linen, State.WASHING, on, by)
        return load


class Load(AppendOnly):
    """One filling of the machine. How far it is, is read off its linens.

    ``suspicion``: what its linens were set aside for, empty for an everyday load. ``in_a_row``:
    how many washes, one after the other without drying, were meant when it was started.
    """

    code = models.CharField(max_length=CODE_LENGTH, unique=True, editable=False)
    pool = models.ForeignKey(Pool, on_delete=models.PROTECT, related_name="loads")
    programme = models.ForeignKey(Programme, on_delete=models.PROTECT, related_name="loads")
    on = models.DateField()
    grams = models.PositiveIntegerField()
    suspicion = models.CharField(max_length=12, choices=SUSPICIONS, blank=True)
    in_a_row = models.PositiveSmallIntegerField(default=1)

    objects = LoadQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["pool", "-on"], name="load_of_pool")]
        constraints = [
            models.CheckConstraint(
                name="load_is_washed_once_or_twice",
                condition=models.Q(in_a_row__range=(1, MOST_IN_A_ROW)),
            ),
        ]

    def __str__(self) -> str:
        return f"load {self.code}"

    @property
    def suspicion_words(self) -> str:
        return Suspicion(self.suspicion).words if self.suspicion else ""

    def linens(self) -> models.QuerySet[Linen]:
        """All that went in, also those that have gone on since."""
        went_in = self.events.filter(state=State.WASHING).values("linen")
        return Linen.objects.filter(pk__in=went_in).with_kind().by_label()

    def still(self, state: str) -> list[Linen]:
        """Its linens that are in this state because of this load."""
        last = LinenEvent.objects.filter(linen=models.OuterRef("pk")).order_by("-pk")
        there = self.linens().filter(state=state)
        here = there.annotate(last_load=models.Subquery(last.values("load")[:1]))
        return list(here.filter(last_load=self.pk))

    def take_out(
        self,
        on: date,
        *,
        by: Person,
        linens: Iterable[Linen] | None = None,
        washes: int = 1,
        idempotency_key: uuid.UUID,
    ) -> int:
        """Out of the machine, to dry: all that are in it, or these. How many that were.

        ``washes``: how many were run in a row; each after the first is written down now.
        """
        with transaction.atomic():
            if not self._was_done(idempotency_key):
                chosen = self._chosen(State.WASHING, linens)
                lock_linens(chosen)
                for linen in chosen:
                    self._washed_again(linen, washes - 1, on, by, idempotency_key)
            return self._go_on(State.WASHING, State.DRYING, on, by, linens, idempotency_key)

    def mark_dry(
        self,
        on: date,
        *,
        by: Person,
        linens: Iterable[Linen] | None = None,
        idempotency_key: uuid.UUID,
    ) -> int:
        return self._go_on(State.DRYING, State.DRY, on, by, linens, idempotency_key)

    def bring_back(
        self,
        on: date,
        *,
        by: Person,
        linens: Iterable[Linen] | None = None,
        idempotency_key: uuid.UUID,
    ) -> int:
        """Back to the cupboard: clean, to be measured after a first wash, or still set aside."""
        return self._go_on(State.DRY, None, on, by, linens, idempotency_key)

    def _go_on(
        self,
        before: State,
        after: State | None,
        on: date,
        by: Person,
        linens: Iterable[Linen] | None,
        idempotency_key: uuid.UUID,
    ) -> int:
        with transaction.atomic():
            if self._was_done(idempotency_key):
                return 0  # a repeat
            no_more: dict[str, Any] = {}
            chosen = self._chosen(before, linens)
            lock_linens(chosen)
            for linen in chosen:
                state, more = (after, no_more) if after else self._back_as(linen)
                linen.set_state(
                    state,
                    on,
                    by=by,
                    load=self,
                    idempotency_key=uuid.uuid5(idempotency_key, linen.label),
                    **more,
                )
        return len(chosen)

    def _chosen(self, state: State, linens: Iterable[Linen] | None) -> list[Linen]:
        there = self.still(state)
        return there if linens is None else [one for one in there if one in set(linens)]

    def _washed_again(
        self, linen: Linen, washes: int, on: date, by: Person, idempotency_key: uuid.UUID
    ) -> None:
        """It was in the machine for more washes than that with which the load was started."""
        for number in range(washes):
            linen.set_state(
                State.WASHING,
                on,
                by=by,
                load=self,
                seen=True,
                note=message("washed again, in a row"),
                idempotency_key=uuid.uuid5(idempotency_key, f"{linen.label} {number}"),
            )

    def _was_done(self, idempotency_key: uuid.UUID) -> bool:
        labels = self.linens().values_list("label", flat=True)
        idempotency_keys = [uuid.uuid5(idempotency_key, label) for label in labels]
        return LinenEvent.objects.filter(load=self, idempotency_key__in=idempotency_keys).exists()

    def _back_as(self, linen: Linen) -> tuple[State, dict[str, Any]]:
        """What a dry linen is once it is back, and what is kept with that."""
        if linen.suspicion:
            release = release_of(linen)
            if not release.released:
                return State.SET_ASIDE, {"note": release.sentence}
            return self._fresh(linen), {"suspicion": "", "note": release.sentence}
        return self._fresh(linen), {}

    @staticmethod
    def _fresh(linen: Linen) -> State:
        is_first = linen.washes == 1 and linen.cut_width_mm is not None
        return State.FIRST_WASHED if is_first else State.CLEAN

    def _set_state(self, linen: Linen, state: State, on: date, by: Person) -> None:
        linen.set_state(
            state,
            on,
            by=by,
            load=self,
            idempotency_key=uuid.uuid5(self.idempotency_key, linen.label),
        )


def _one_suspicion(linens: Sequence[Linen]) -> str:
    """What all of a load are set aside for; empty for an everyday load."""
    if not linens:
        raise InvalidTransition(
            _("A load needs at least one linen. Scan or tick the linens that go in.")
        )
    for linen in linens:
        if linen.state not in WASHABLE:
            raise InvalidTransition(
                _(
                    "%(linen)s is marked “%(state)s”, so it does not go into the wash. "
                    "Take it out of this load, or record that it is soiled."
                )
                % {"linen": linen, "state": linen.state_words}
            )
    suspicions = {linen.suspicion for linen in linens}
    if len(suspicions) > 1:
        apart = next(linen for linen in linens if linen.suspicion)
        raise InvalidTransition(
            _(
                "%(linen)s is set aside for %(suspicion)s: wash it alone, or with linens set aside "
                "for the same, never with everyday linens. Take it out of this load."
            )
            % {"linen": apart, "suspicion": apart.suspicion_words}
        )
    return suspicions.pop()
