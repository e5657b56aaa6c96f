"""A proposed placing, as its page tells it."""

from collections.abc import Callable
from functools import cached_property
from typing import NamedTuple

from django.urls import reverse
from django.utils.translation import gettext as _

from builds.placing.forms import pairs_of, proposal_of, proposed_in, query_of
from builds.placing.models.asked import (
    PlacingAsked,
    asking_for_next_best,
    asking_for_proposal,
    case_of_all,
    proposal_asked,
)
from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.models.runs import moves_found
from builds.placing.pages.at_hand import AnswersAtHand, NotAtHand, RunShown, at_once, ended_words
from builds.placing.pages.before_after import BeforeAfter, HomeChange
from builds.placing.pages.build_rows import ProposedBuild, bought_together
from builds.placing.pages.folding import FoldedRows, folded
from builds.placing.pages.move_rows import MoveRow, MoveRows
from builds.placing.pages.next_best import NextBest, next_best
from builds.placing.pages.reasons import Reasons
from builds.placing.pages.union_rows import UnionRow, union_rows
from builds.placing.pages.wish_rows import Wishes
from builds.placing.pages.words import Naming
from builds.store.models.costs import as_amount
from habitats.board.pages.cards import BARS, ScaleBar
from habitats.drawing.residence import KeyEntry, residence_key
from habitats.money import money
from habitats.placement.moves import ProposedMove
from habitats.placement.questions import Answer, NextBestOf, Proposed, Question
from habitats.placement.suiting import Suiting
from habitats.placement.values import Contradiction, Goal, Miss, Placing, Reached
from habitats.placement.words import contradiction_words, goal_words, proof_words
from habitats.rescue.models.rescue import Rescue

# Raises ``NotAtHand`` where the answer is not there yet.
Ask = Callable[[PlacingAsked, Question], Answer]


class GoalRow(NamedTuple):
    name: str
    value: str
    proof: str


class WaitingRow(NamedTuple):
    """``address``: of the group's page. ``needs``: the floor, and whether a design has it."""

    who: str
    address: str
    where: str
    reason: str
    needs: str
    nearest: tuple[str, ...]


class FellAway(NamedTuple):
    """``moves`` of a proposal that was worked out at ``time``, in sentences; one at least."""

    time: str
    moves: list[str]


class PlacingPage:
    """For who reads these units. ``clash``: why the wishes cannot hold; else empty.

    ``next_for``: the group whose second-best place is asked for; empty: none is.
    """

    def __init__(
        self,
        rescue: RescueToday,
        by_hand: ByHand,
        units: str,
        next_for: str = "",
        ask: Ask = at_once,
    ) -> None:
        self.rescue, self._by_hand, self._next_for = rescue, by_hand, next_for
        self.naming = Naming(rescue, units, by_hand.away)
        self.wishes = Wishes(by_hand, rescue, self.naming)
        self.clash = ""
        self.working: RunShown | None = None
        self.case = case_of_all(rescue, by_hand)
        self._asked, self._ask = proposal_asked(rescue, self.case), ask
        self._suiting = Suiting(self.case)
        self._proposed = self._answered()
        self.next_best = self._next_best()

    def _answered(self) -> Proposed | None:
        if not self.case.groups:
            return None
        found = self._answer(asking_for_proposal(self.rescue, self._by_hand), self._asked)
        if isinstance(found, Contradiction):
            self.clash = contradiction_words(found, self.naming.anything, self.naming.miss)
        return found if isinstance(found, Proposed) else None

    def _answer(self, asked: PlacingAsked, question: Question) -> Answer:
        """None while it is not at hand; ``working`` then says how far it is."""
        try:
            return self._ask(asked, question)
        except NotAtHand as missing:
            more = {"next": self._next_for} if self._next_for else {}
            self.working = RunShown(missing.run, self.wishes.address(**more))
            return None

    @property
    def placing(self) -> Placing | None:
        return self._proposed.placing if self._proposed else None

    @property
    def _all_moves(self) -> tuple[ProposedMove, ...]:
        return self._proposed.moves if self._proposed else ()

    @property
    def _held(self) -> frozenset[str]:
        return self._proposed.held if self._proposed else frozenset()

    @cached_property
    def moves(self) -> tuple[ProposedMove, ...]:
        """Those that can be done now, in their order."""
        waits = self._held | self.rescue.loose.keys()
        return tuple(one for one in self._all_moves if one.group not in waits)

    @cached_property
    def _held_moves(self) -> tuple[ProposedMove, ...]:
        waits = self._held | self.rescue.loose.keys()
        return tuple(one for one in self._all_moves if one.group in waits)

    @cached_property
    def unions(self) -> list[UnionRow]:
        return union_rows(self.placing, self.naming) if self.placing else []

    @cached_property
    def proposal(self) -> str:
        """What is proposed, to be sent with "Record all moves"."""
        return proposal_of(self.moves)

    @cached_property
    def fell_away(self) -> "FellAway | None":
        """Moves of the proposal before something changed that are not proposed any more."""
        before = self._ask.before if isinstance(self._ask, AnswersAtHand) else None
        if before is None or self.placing is None:
            return None
        proposed = [(one.group, one.to.enclosure) for one in self.moves if one.to]
        gone = [one for one in moves_found(before) if one not in proposed]
        told = [words for one in gone if (words := _was(*one, self.naming, self.rescue))]
        return FellAway(ended_words(before), told) if told else None

    @property
    def is_large(self) -> bool:
        return self.rescue.is_large

    @property
    def groups(self) -> int:
        return len(self.case.groups)

    # --- Goals ---

    @property
    def goals(self) -> list[GoalRow]:
        """Who waits, and what of the rest there is to tell."""
        reached = self.placing.reached if self.placing else ()
        shown = [one for one in reached if one.value or not one.is_proved]
        left_out = {Goal.SPARE, *([] if self.rescue.has_prices else [Goal.COST])}
        return [self._goal(one) for one in shown if one.goal not in left_out]

    def _goal(self, one: Reached) -> GoalRow:
        value = str(one.value)
        if one.goal is Goal.COST:
            value = money(as_amount(one.value), Rescue.our_currency())
        return GoalRow(str(goal_words(one)), value, str(proof_words(one)))

    @property
    def all_have_a_place(self) -> bool:
        return bool(self.placing) and not self.waiting and not self.unjudged

    @property
    def unjudged(self) -> list[str]:
        return [self.naming.group(code) for code in self.rescue.unjudged]

    # --- Moves ---

    @cached_property
    def rows(self) -> list[MoveRow]:
        if self.placing is None or not self._reasons:
            return []
        rows = MoveRows(
            self.rescue, self.placing, self.naming, self._reasons, self.wishes, self._held
        )
        return rows.of((*self.moves, *self._held_moves))

    @property
    def folded_rows(self) -> FoldedRows:
        return folded(self.rows)

    @property
    def is_next_folded(self) -> bool:
        """Whether the group whose second-best place is asked for is among what is folded."""
        return any(one.group == self._next_for for one in self.folded_rows.more)

    def step_of(self, group: str, key: str) -> ProposedBuild | None:
        """The build that is proposed for a group; None where it no longer is."""
        steps = [one.build for one in self.rows if one.group == group and one.build]
        return next((one for one in steps if key and one.key == key), None)

    @cached_property
    def bought_together(self) -> str:
        """For all builds: each by itself is told with the whole store."""
        stays = self.placing.stays if self.placing else ()
        built = [one.place.design for one in stays if one.place and one.place.design]
        offers = [self.rescue.designs[code] for code in built]
        return bought_together(offers, Rescue.our_currency())

    @property
    def waits_for_more(self) -> int:
        """How many groups."""
        return len({one.group for one in self._held_moves})

    @cached_property
    def _reasons(self) -> Reasons | None:
        if self.placing is None:
            return None
        return Reasons(self.rescue, self._suiting, self.placing, self.naming)

    def _next_best(self) -> NextBest | None:
        """Of the group for which it is asked."""
        ref = self._next_for
        if self.placing is None or ref not in {one.group for one in self._all_moves}:
            return None
        asked = asking_for_next_best(self.rescue, self._by_hand, ref)
        found = self._answer(asked, NextBestOf(self._asked, ref, self.placing))
        if self.working:
            return None
        other = found if isinstance(found, Placing) else None
        return next_best(self.placing, other, ref, self.naming, self.wishes)

    @property
    def next_for(self) -> str:
        return self._next_for

    @property
    def groups_moving(self) -> int:
        return len({one.group for one in self._all_moves})

    # --- Who waits ---

    @property
    def groups_waiting(self) -> frozenset[str]:
        return frozenset(self.placing.misses if self.placing else ())

    @cached_property
    def waiting(self) -> list[WaitingRow]:
        misses = self.placing.misses if self.placing else {}
        return [
            WaitingRow(
                self.naming.group(ref),
                self.naming.page(ref),
                self._where(ref),
                self._reasons.of(ref) if self._reasons else "",
                self._needs(ref),
                tuple(self._miss(one) for one in nearest),
            )
            for ref, nearest in misses.items()
        ]

    @property
    def folded_waiting(self) -> FoldedRows:
        return folded(self.waiting)

    def _needs(self, ref: str) -> str:
        group = self._suiting.groups[ref]
        if not group.needs_mm2:
            return ""
        own = [one for one in self.case.designs if one.species is group.species]
        words = _("They need %(area)s, now and in three months.")
        if not any(one.floor_mm2 >= group.needs_mm2 for one in own):
            words = _(
                "They need %(area)s, now and in three months, and none of your designs has so "
                "much. Draw a larger one, or make two groups of them if they can be separated."
            )
        return words % {"area": self.naming.area(group.needs_mm2)}

    @property
    def has_no_home(self) -> bool:
        """So that nobody can be placed, and nothing be built."""
        return all(one.closed_on for one in self.rescue.homes.values())

    def _where(self, ref: str) -> str:
        there = self.rescue.lives_in.get(ref)
        return self.naming.enclosure(there) if there else ""

    def _miss(self, miss: Miss) -> str:
        return f"{self.naming.place(miss.place)}: {self.naming.miss(miss)}"

    # --- Homes before and after ---

    @cached_property
    def homes(self) -> list[HomeChange]:
        if self.placing is None:
            return []
        return BeforeAfter(self.rescue, self.placing, self.naming).homes()

    @property
    def homes_unchanged(self) -> int:
        """How many that are open."""
        changed = {one.home.pk for one in self.homes if one.home}
        homes = self.rescue.homes.values()
        return sum(one.closed_on is None and one.pk not in changed for one in homes)

    @property
    def bar(self) -> ScaleBar:
        return BARS[self.naming.units]

    @property
    def key(self) -> tuple[KeyEntry, ...]:
        return residence_key()

    # --- Wishes ---

    @property
    def address(self) -> str:
        """Of the page with these wishes."""
        return reverse("builds:placing") + query_of(self._by_hand)

    @property
    def kept(self) -> list[tuple[str, str]]:
        """The wishes as fields of a form."""
        return pairs_of(self._by_hand)


def is_done(before: str, rescue: RescueToday) -> bool:
    """Whether everybody lives where this proposal brings them: it was sent twice."""
    # The last word of each group: one that waits in a carrier moves twice.
    ends = dict(proposed_in(before))
    return all(rescue.lives_in.get(group) == to for group, to in ends.items())


def no_longer(before: str, page: PlacingPage, rescue: RescueToday) -> list[str]:
    """What was proposed before and is not now, in sentences."""
    now = proposed_in(page.proposal)
    told = (_was(*one, page.naming, rescue) for one in proposed_in(before) if one not in now)
    return [words for words in told if words]


def _was(group: str, enclosure: str, naming: Naming, rescue: RescueToday) -> str:
    if group not in rescue.companions or enclosure not in rescue.readings:
        return ""
    if rescue.lives_in.get(group) == enclosure:  # it has moved there since
        return ""
    place = rescue.readings[enclosure].enclosure
    return _("%(group)s to %(enclosure)s") % {"group": naming.group(group), "enclosure": place}
