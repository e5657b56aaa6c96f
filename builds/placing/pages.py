"""A proposed placing, as its page tells it."""

from collections.abc import Iterator
from functools import cached_property
from typing import NamedTuple
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.placing.forms import pair_words
from builds.placing.models.case_today import ByHand, RescueToday
from habitats import measures
from habitats.animals.pages.members import called
from habitats.placement.moves import ProposedMove, moves_of
from habitats.placement.proposing import propose
from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import (
    AHEAD_DAYS,
    Contradiction,
    Goal,
    Miss,
    MissReason,
    Pin,
    PlaceToLive,
    Placing,
    ProposedStay,
    Reached,
)
from habitats.placement.words import contradiction_words, goal_words, miss_words, proof_words
from habitats.welfare.litters import litter_words
from habitats.wording import joined


class GoalRow(NamedTuple):
    name: str
    value: str
    proof: str


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


class WaitingRow(NamedTuple):
    who: str
    group: str
    where: str
    reason: str
    nearest: tuple[str, ...]


class HomeRow(NamedTuple):
    """An enclosure of a home where somebody comes or goes."""

    home: str
    enclosure: str
    now: str
    then: str


class WishByHand(NamedTuple):
    """Something wanted by hand; ``without``: the page without it."""

    words: str
    without: str


class PlacingPage:
    """For who reads these units. ``clash``: why the wishes cannot hold; else empty."""

    def __init__(self, rescue: RescueToday, by_hand: ByHand, units: str) -> None:
        self._rescue, self._by_hand, self._units = rescue, by_hand, units
        self.clash = ""
        self.case = rescue.case(by_hand)
        self._suiting = Suiting(self.case)
        self.placing = self._placing()

    def _placing(self) -> Placing | None:
        if not self.case.groups:
            return None
        try:
            return propose(self.case)
        except Contradiction as clash:
            self.clash = contradiction_words(clash, self._named, self._area)
            return None

    @cached_property
    def moves(self) -> tuple[ProposedMove, ...]:
        return moves_of(self.case, self.placing) if self.placing else ()

    @cached_property
    def proposal(self) -> str:
        """What is proposed, to be sent with "Record all moves"."""
        return ",".join(f"{one.group}.{one.to.enclosure if one.to else ''}" for one in self.moves)

    @property
    def is_large(self) -> bool:
        return self._rescue.is_large

    @property
    def groups(self) -> int:
        return len(self.case.groups)

    # --- Goals ---

    @property
    def goals(self) -> list[GoalRow]:
        """Who waits, and what of the rest there is to tell."""
        reached = self.placing.reached if self.placing else ()
        shown = [one for one in reached if one.value or not one.is_proved]
        return [self._goal(one) for one in shown if one.goal is not Goal.SPARE]

    @property
    def all_have_a_place(self) -> bool:
        return bool(self.placing) and not self.waiting and not self.unjudged

    @property
    def unjudged(self) -> list[str]:
        return [self._called(code) for code in self._rescue.unjudged]

    def _goal(self, one: Reached) -> GoalRow:
        return GoalRow(str(goal_words(one)), str(one.value), str(proof_words(one)))

    # --- Moves ---

    @property
    def rows(self) -> list[MoveRow]:
        free = {code for code, one in self._rescue.readings.items() if one.group is None}
        return [self._move(one, free) for one in self.moves]

    def _move(self, move: ProposedMove, free: set[str]) -> MoveRow:
        code = move.to.enclosure if move.to else None
        there = self._rescue.lives_in.get(move.group)
        return MoveRow(
            who=self._called(move.group),
            group=move.group,
            start=self._place_words(move.start),
            to=self._place_words(move.to) if move.to else "",
            reason=self._reason(move.group),
            address=self._address(move.group, code) if code in free else "",
            otherwise=self._asked(forbidden=Pin(move.group, enclosure=code)) if code else "",
            stay_put=self._asked(pin=Pin(move.group, enclosure=there)) if there else "",
            cautions=self._cautions(move.group),
        )

    def _cautions(self, ref: str) -> tuple[str, ...]:
        """Which of them may have a litter, and up to when."""
        companions = self._rescue.companions[ref]
        words = (litter_words(one, self._rescue.today) for one in companions)
        return tuple(str(one) for one in words if one)

    @staticmethod
    def _address(group: str, enclosure: str | None) -> str:
        query = urlencode({"enclosure": enclosure or ""})
        return f"{reverse('move_group', args=[group])}?{query}"

    def _reason(self, ref: str) -> str:
        """Why this group moves."""
        there = self._rescue.lives_in.get(ref)
        if there is None:
            return _("They have no enclosure.")
        group = self._suiting.groups[ref]
        misses = [*self._suiting.misses(Asking.one(group), self._suiting.standing(there))]
        pressing = [
            one for one in misses if one.reason in (MissReason.UNSAFE, MissReason.TOO_SMALL)
        ]
        if pressing:
            return self._drives_out(ref, there, pressing[0])
        if misses:
            words = [miss_words(one, self._named, self._area) for one in misses]
            return _("Where they live: %(reasons)s.") % {"reasons": joined("; ", words)}
        return self._makes_room(ref, there)

    def _drives_out(self, ref: str, there: str, miss: Miss) -> str:
        if miss.reason is MissReason.UNSAFE:
            return _("Their enclosure is unsafe.")
        if self._rescue.readings[there].passes is False:
            words = _("Their enclosure is %(area)s too small.")
        else:
            words = _("Within %(days)d days their enclosure will be %(area)s too small.")
        return words % {"area": self._area(miss.lacking_mm2), "days": AHEAD_DAYS}

    def _makes_room(self, ref: str, there: str) -> str:
        comes = [
            stay
            for stay in self._stays
            if stay.place and stay.place.enclosure == there and ref not in stay.groups
        ]
        if comes:
            return _("Makes room for %(group)s.") % {"group": self._called(comes[0].groups[0])}
        return _("Makes room in the home.")

    @property
    def _stays(self) -> tuple[ProposedStay, ...]:
        return self.placing.stays if self.placing else ()

    # --- Who waits ---

    @cached_property
    def waiting(self) -> list[WaitingRow]:
        misses = self.placing.misses if self.placing else {}
        return [
            WaitingRow(
                self._called(ref),
                ref,
                self._where(ref),
                self._reason(ref),
                tuple(self._miss(one) for one in nearest),
            )
            for ref, nearest in misses.items()
        ]

    def _where(self, ref: str) -> str:
        there = self._rescue.lives_in.get(ref)
        return self._place_words(self._suiting.standing(there)) if there else ""

    def _miss(self, miss: Miss) -> str:
        words = miss_words(miss, self._named, self._area)
        return f"{self._place_words(miss.place)}: {words}"

    # --- Homes before and after ---

    @property
    def homes(self) -> list[HomeRow]:
        """Every enclosure where somebody else lives then, by home."""
        then = {
            stay.place.enclosure: ", ".join(self._called(ref) for ref in stay.groups)
            for stay in self._stays
            if stay.place
        }
        rows = [
            HomeRow(str(one.home), str(one.enclosure), self._now(code), then.get(code, ""))
            for code, one in self._rescue.readings.items()
            if one.home
        ]
        changed = [one for one in rows if one.now != one.then]
        return sorted(changed, key=lambda one: (one.home, one.enclosure))

    def _now(self, code: str) -> str:
        group = self._rescue.readings[code].group
        return self._called(group.code) if group else ""

    # --- Wishes ---

    @property
    def wishes(self) -> list[WishByHand]:
        return [*self._pair_wishes(), *self._away_wishes()]

    def _pair_wishes(self) -> Iterator[WishByHand]:
        for pin in self._by_hand.pins:
            words = _("%(group)s: in %(place)s") % self._pair(pin)
            yield WishByHand(words, self._without(pin=pin))
        for pin in self._by_hand.forbidden:
            words = _("%(group)s: not in %(place)s") % self._pair(pin)
            yield WishByHand(words, self._without(pin=pin))

    def _away_wishes(self) -> Iterator[WishByHand]:
        for code in sorted(self._by_hand.away):
            words = _("%(home)s takes nobody") % {"home": self._rescue.homes[code]}
            yield WishByHand(words, self._without(away=code))

    def _pair(self, pin: Pin) -> dict[str, str]:
        place = self._suiting.standing(pin.enclosure or "")
        return {"group": self._called(pin.group), "place": self._place_words(place)}

    def choices(self) -> list[tuple[str, str]]:
        """Homes that could be ruled out: code and name."""
        open_ones = [one for one in self._rescue.homes.values() if one.closed_on is None]
        chosen = self._by_hand.away
        named = [(one.code, str(one)) for one in open_ones if one.code not in chosen]
        return sorted(named, key=lambda one: one[1])

    def _asked(self, pin: Pin | None = None, forbidden: Pin | None = None) -> str:
        by_hand = self._by_hand
        # The last word counts: who is to stay somewhere is not ruled out there, nor elsewhere.
        pins = [one for one in by_hand.pins if pin is None or one.group != pin.group]
        return _query(
            ByHand(
                (*pins, *([pin] if pin else [])),
                (*by_hand.forbidden, *([forbidden] if forbidden else [])),
                by_hand.away,
            )
        )

    def _without(self, pin: Pin | None = None, away: str = "") -> str:
        by_hand = self._by_hand
        return _query(
            ByHand(
                tuple(one for one in by_hand.pins if one != pin),
                tuple(one for one in by_hand.forbidden if one != pin),
                by_hand.away - {away},
            )
        )

    @property
    def kept(self) -> list[tuple[str, str]]:
        """The wishes as fields of a form."""
        return _pairs(self._by_hand)

    # --- Words ---

    def _called(self, ref: str) -> str:
        names = [one.name for one in self._rescue.companions.get(ref, ())]
        return called(self._rescue.groups[ref], names)

    def _named(self, ref: str) -> str:
        if ref in self._rescue.groups:
            return self._called(ref)
        if ref in self._rescue.readings:
            return self._place_words(self._suiting.standing(ref))
        return str(self._rescue.homes.get(ref, ref))

    def _place_words(self, place: PlaceToLive | None) -> str:
        if place is None or place.enclosure is None:
            return ""
        reading = self._rescue.readings[place.enclosure]
        parts = [str(one) for one in (reading.enclosure, reading.home) if one]
        return ", ".join(parts)

    def _area(self, mm2: int) -> str:
        return measures.area_needed(mm2, self._units)


def _pairs(by_hand: ByHand) -> list[tuple[str, str]]:
    return [
        *(("stays", pair_words(one)) for one in by_hand.pins),
        *(("not", pair_words(one)) for one in by_hand.forbidden),
        *(("away", code) for code in sorted(by_hand.away)),
    ]


def _query(by_hand: ByHand) -> str:
    return f"?{urlencode(_pairs(by_hand))}"


def is_done(before: str, rescue: RescueToday) -> bool:
    """Whether everybody lives where this proposal brings them: it was sent twice."""
    # The last word of each group: one that waits in a carrier moves twice.
    ends = {group: to for group, _dot, to in (one.partition(".") for one in before.split(","))}
    return all(rescue.lives_in.get(group) == to for group, to in ends.items())


def no_longer(before: str, page: PlacingPage, rescue: RescueToday) -> list[str]:
    """What was proposed before and is not now, in sentences."""
    now = set(page.proposal.split(","))
    return [words for one in before.split(",") if one not in now and (words := _was(one, rescue))]


def _was(one: str, rescue: RescueToday) -> str:
    group, _dot, enclosure = one.partition(".")
    if group not in rescue.companions or enclosure not in rescue.readings:
        return ""
    names = [animal.name for animal in rescue.companions[group]]
    return _("%(group)s to %(enclosure)s") % {
        "group": called(rescue.groups[group], names),
        "enclosure": rescue.readings[enclosure].enclosure,
    }
