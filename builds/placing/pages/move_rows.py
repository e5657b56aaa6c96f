"""The moves of a placing, each with what may be said of it."""

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.placing.models.case_today import RescueToday
from builds.placing.models.unions_today import alone_words
from builds.placing.pages.build_rows import ProposedBuild, ProposedBuilds
from builds.placing.pages.reasons import Reasons
from builds.placing.pages.union_rows import together_with
from builds.placing.pages.wish_rows import Wishes
from builds.placing.pages.words import Naming
from habitats.animals.pages.told_once import litters_told
from habitats.placement.moves import ProposedMove
from habitats.placement.values import Pin, PlaceToLive, Placing
from habitats.rescue.models.rescue import Rescue


class MoveRow(NamedTuple):
    """``to`` empty: into a carrier. ``address``: where this one move is recorded; empty while
    something else has to come first. ``otherwise``: the page without this move.

    ``build``: what has to stand before; None: nothing. ``is_held``: it waits for a build.
    ``next_address``: the page with its second-best place. ``together``: with whom it would live.
    """

    who: str
    group: str
    start: str
    to: str
    reason: str
    address: str
    otherwise: str
    stay_put: str
    cautions: tuple[str, ...]
    build: ProposedBuild | None
    is_held: bool
    next_address: str
    together: str


class MoveRows:
    def __init__(
        self,
        rescue: RescueToday,
        placing: Placing,
        naming: Naming,
        reasons: Reasons,
        wishes: Wishes,
        held: Collection[str],
    ) -> None:
        self._held = held
        self._rescue, self._placing, self._naming = rescue, placing, naming
        self._reasons, self._wishes = reasons, wishes
        self._builds = ProposedBuilds(rescue, naming.units, Rescue.our_currency())
        self._free = {code for code, one in rescue.readings.items() if one.group is None}

    def of(self, moves: Sequence[ProposedMove]) -> list[MoveRow]:
        return [self._row(one) for one in moves]

    def _row(self, move: ProposedMove) -> MoveRow:
        code = move.to.enclosure if move.to else None
        there = self._rescue.lives_in.get(move.group)
        naming, wishes = self._naming, self._wishes
        return MoveRow(
            who=naming.group(move.group),
            group=move.group,
            start=naming.start(move.start),
            to=naming.place(move.to),
            reason=self._reasons.of(move.group),
            address=self._address(move.group, code) if code in self._free else "",
            otherwise=wishes.forbidding(_pin(move.group, move.to)) if move.to else "",
            stay_put=wishes.pinned(Pin(move.group, enclosure=there)) if there else "",
            cautions=(*self._cautions(move.group), *self._away_soon(move.to)),
            build=self._builds.of(move.to) if move.to else None,
            is_held=move.group in self._held,
            next_address=wishes.address(next=move.group) if move.to else "",
            together=naming.groups(together_with(self._placing, move.group)),
        )

    def _address(self, ref: str, enclosure: str | None) -> str:
        """Of an animal in no group, the page with every room for it; else of this move."""
        if together_with(self._placing, ref) or ref in self._held:
            return ""
        if ref in self._rescue.loose:
            return reverse("animal_room", args=[self._rescue.loose[ref].ref])
        here = reverse("builds:placing") + self._wishes.address()
        query = urlencode({"enclosure": enclosure or "", "then": here})
        return f"{reverse('move_group', args=[ref])}?{query}"

    def _cautions(self, ref: str) -> tuple[str, ...]:
        companions = self._rescue.companions[ref]
        told = tuple(litters_told(companions, self._rescue.today))
        if ref in self._rescue.loose and not together_with(self._placing, ref):
            return (*told, *(str(one) for one in alone_words(self._rescue, ref)))
        return told

    def _away_soon(self, to: PlaceToLive | None) -> Iterator[str]:
        home = self._rescue.homes.get((to.home if to else None) or "")
        absence = self._rescue.absences.get(home.pk) if home else None
        if absence:
            yield _("%(home)s is %(absence)s.") % {"home": home, "absence": absence.words}


def _pin(group: str, place: PlaceToLive) -> Pin:
    """Of what is yet to be built, the home."""
    if place.enclosure is not None:
        return Pin(group, enclosure=place.enclosure)
    return Pin(group, home=place.home)
