"""The question of ``placing``, asked of a whole rescue: which enclosures could take newcomers.

It reads what is kept of each enclosure (``taking``) and no animals, and so tells no sentences: for
the few that a page shows, ``room_for`` is asked. Both answer alike; the tests compare them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import NamedTuple

from habitats.welfare.company import OF_ONE_ALONE, company
from habitats.welfare.declining import PlaceThere, Why, at_home, declines
from habitats.welfare.holding import ENOUGH, MOST_TRIED, TOO_SMALL, SpaceBeside
from habitats.welfare.limits import DEFAULTS, WelfareLimits
from habitats.welfare.newcomers import Kind, Newcomers
from habitats.welfare.objection import Objection, Severity
from habitats.welfare.placing import home_cautions, tightness
from habitats.welfare.rule_set import RuleSet
from habitats.welfare.taking import NOT_ALLOWED, Admission


class SiftedOffer(NamedTuple):
    """As ``RoomOffer``, with how many cautions there are."""

    enclosure: str
    group: str | None
    takes: int | None
    cautions: int


class SiftedOut(NamedTuple):
    """As ``Declined``, without its sentence."""

    enclosure: str
    group: str | None
    why: Why
    takes: int | None = None


class Sifted(NamedTuple):
    """In the order of ``RoomOffers``."""

    free: tuple[SiftedOffer, ...]
    groups: tuple[SiftedOffer, ...]
    declined: tuple[SiftedOut, ...]


def sift(
    newcomers: Newcomers,
    places: Iterable[tuple[PlaceThere, Admission | None]],
    rules: RuleSet | None,
    today: date,
    limits: WelfareLimits = DEFAULTS,
) -> Sifted:
    """Each place with what it says of this kind of newcomer; None where several species live."""
    asked = _Asked(newcomers, rules, today, limits)
    answers = [asked.about(place, taking) for place, taking in places]
    offers = [one for one in answers if isinstance(one, SiftedOffer)]
    offers.sort(key=lambda one: tightness(one.takes, one.cautions))
    return Sifted(
        free=tuple(one for one in offers if one.group is None),
        groups=tuple(one for one in offers if one.group is not None),
        declined=tuple(one for one in answers if isinstance(one, SiftedOut)),
    )


class _AmongThemselves(NamedTuple):
    """What speaks against the newcomers alone, without anybody else."""

    is_blocked: bool
    cautions: int

    @classmethod
    def of(cls, objections: Sequence[Objection]) -> "_AmongThemselves":
        return cls(
            any(one.severity is Severity.BLOCK for one in objections),
            len({one.code for one in objections}),
        )


@dataclass(frozen=True)  # without slots: what was worked out is kept
class _Asked:
    newcomers: Newcomers
    rules: RuleSet | None
    today: date
    limits: WelfareLimits

    def about(self, place: PlaceThere, taking: Admission | None) -> SiftedOffer | SiftedOut:
        why = declines(place, self.newcomers)
        if why is None and taking is None:
            raise ValueError(f"Nothing is told of {place.ref}: give what it says of newcomers.")
        if why is not None or taking is None:
            return SiftedOut(place.ref, place.group, why or Why.OTHER_SPECIES)
        is_free = place.group is None
        among = self._alone if is_free else self._in_company
        is_blocked = among.is_blocked or taking.company == NOT_ALLOWED
        letter, in_space = self._space(taking)
        takes = at_home(in_space, place.home)
        # As in ``placing``: a free one is refused for company first, a group for its floor.
        if letter == TOO_SMALL and not (is_free and is_blocked):
            return SiftedOut(place.ref, place.group, Why.TOO_SMALL, takes)
        if is_blocked:
            return SiftedOut(place.ref, place.group, Why.COMPANY)
        cautions = among.cautions + taking.company + self._of_home(place) + (letter != ENOUGH)
        return SiftedOffer(place.ref, place.group, takes if letter == ENOUGH else None, cautions)

    def _space(self, taking: Admission) -> tuple[str, int | None]:
        if self.rules is None:
            return "", None
        space = SpaceBeside(taking.space)
        mothers = 1 if self.newcomers.kind is Kind.LITTER else 0
        takes = min(space.most + mothers, MOST_TRIED) if space.most else 0
        return space.of(self.newcomers.number - mothers), takes

    def _of_home(self, place: PlaceThere) -> int:
        return sum(1 for _ in home_cautions(place.home, self.newcomers))

    @cached_property
    def _objections(self) -> tuple[Objection, ...]:
        never_singly = self.rules.never_singly if self.rules else None
        coming = self.newcomers.companions(self.today)
        return company(coming, self.today, never_singly=never_singly, limits=self.limits)

    @cached_property
    def _alone(self) -> _AmongThemselves:
        return _AmongThemselves.of(self._objections)

    @cached_property
    def _in_company(self) -> _AmongThemselves:
        """Beside others nobody is alone."""
        return _AmongThemselves.of(
            [one for one in self._objections if one.code not in OF_ONE_ALONE]
        )
