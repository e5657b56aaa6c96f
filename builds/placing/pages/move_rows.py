"""The moves of a placing, each with what may be said of it."""

from collections.abc import Sequence
from typing import NamedTuple
from urllib.parse import urlencode

from django.urls import reverse

from builds.placing.models.case_today import RescueToday
from builds.placing.pages.reasons import Reasons
from builds.placing.pages.wish_rows import Wishes
from builds.placing.pages.words import Naming
from habitats.placement.moves import ProposedMove
from habitats.placement.values import Pin
from habitats.welfare.litters import litters_told


class MoveRow(NamedTuple):
    """``to`` empty: into a carrier. ``address``: where this one move is recorded; empty while
    another has to come first. ``otherwise``: the page without this move."""

    who: str
    group: str
    start: str
    to: str
    reason: str
    address: str
    otherwise: str
    stay_put: str
    cautions: tuple[str, ...]


class MoveRows:
    def __init__(
        self, rescue: RescueToday, naming: Naming, reasons: Reasons, wishes: Wishes
    ) -> None:
        self._rescue, self._naming = rescue, naming
        self._reasons, self._wishes = reasons, wishes
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
            start=naming.place(move.start),
            to=naming.place(move.to),
            reason=self._reasons.of(move.group),
            address=_address(move.group, code) if code in self._free else "",
            otherwise=wishes.forbidding(Pin(move.group, enclosure=code)) if code else "",
            stay_put=wishes.pinned(Pin(move.group, enclosure=there)) if there else "",
            cautions=litters_told(self._rescue.companions[move.group], self._rescue.today),
        )


def _address(group: str, enclosure: str | None) -> str:
    query = urlencode({"enclosure": enclosure or ""})
    return f"{reverse('move_group', args=[group])}?{query}"
