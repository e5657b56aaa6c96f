"""What releases linens that are set aside: the washes behind them, and those that a pool offers."""

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from django.utils.translation import gettext as _

from habitats.linens.models.linens import Linen, LinenEvent
from habitats.linens.models.pools import Programme
from habitats.rotation.infection import Release, Suspicion, WashRun, releases
from habitats.rotation.states import State

MOST_IN_A_ROW = 2  # no rule of infection.py asks for more


class Offer(NamedTuple):
    """A programme, run so often in a row without drying between.

    ``still``: how many washes are missing at least when it is done; 0 if it releases all.
    """

    programme: Programme
    washes: int
    still: int

    @property
    def releases(self) -> bool:
        return not self.still

    @property
    def key(self) -> str:
        return f"{self.programme.pk}-{self.washes}" if self.washes > 1 else str(self.programme.pk)

    @property
    def words(self) -> str:
        if self.washes > 1:
            return _("%(programme)s, two washes in a row") % {"programme": self.programme}
        return str(self.programme)

    @property
    def figures(self) -> list[WashRun]:
        return [self.programme.figures()] * self.washes


class NotReleased(NamedTuple):
    """How many linens a wash would not release, and what those that lack most still take."""

    number: int
    missing: str


def washes_behind(linens: Iterable[Linen]) -> dict[int, list[WashRun]]:
    """By the linens' keys, the programmes run since each was set aside, with one question."""
    found: dict[int, list[WashRun]] = {linen.pk: [] for linen in linens}
    events = LinenEvent.objects.filter(
        linen__in=found, state__in=(State.SET_ASIDE, State.WASHING)
    ).order_by("pk")
    for event in events.select_related("load__programme"):
        if event.load is None and event.state == State.SET_ASIDE:
            found[event.linen_id].clear()
        elif event.load is not None and event.state == State.WASHING:
            found[event.linen_id].append(event.load.programme.figures())
    return found


def release_of(linen: Linen) -> Release:
    """Whether the programmes it went through since it was set aside release it."""
    return releases(Suspicion(linen.suspicion), washes_behind([linen])[linen.pk])


def offers_for(programmes: Iterable[Programme], linens: Sequence[Linen]) -> list[Offer]:
    """What may be run for linens that are set aside: what releases all of them first.

    Two washes in a row are offered where they leave less missing than one.
    """
    behind = washes_behind(linens)
    offers = []
    for programme in programmes:
        least: int | None = None
        for washes in range(1, MOST_IN_A_ROW + 1):
            offer = Offer(programme, washes, 0)
            still = max((one.still for one in _after(offer, linens, behind)), default=0)
            if least is None or still < least:
                offers.append(offer._replace(still=still))
                least = still
    return sorted(
        offers,
        key=lambda one: (one.still, one.washes, one.programme.temperature_c, one.programme.pk),
    )


def not_released(offer: Offer, linens: Iterable[Linen]) -> NotReleased | None:
    """What this wash leaves missing of these; None if it releases all that are set aside."""
    apart = [linen for linen in linens if linen.suspicion]
    left = [one for one in _after(offer, apart, washes_behind(apart)) if not one.released]
    if not left:
        return None
    return NotReleased(len(left), max(left, key=lambda one: one.still).missing)


def _after(
    offer: Offer, linens: Iterable[Linen], behind: Mapping[int, Sequence[WashRun]]
) -> list[Release]:
    return [
        releases(Suspicion(linen.suspicion), [*behind[linen.pk], *offer.figures])
        for linen in linens
    ]
