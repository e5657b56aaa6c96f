"""What a coordinator asks of a placing, as it is stored; and the pure question that comes of it.

The question hangs on what is asked and on the rescue as it is: its mark is of both.
"""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum
from typing import Any

from builds.placing.models.by_hand import ByHand
from builds.placing.models.case_today import RescueToday
from builds.placing.models.pairs_asked import case_with_pairs
from builds.placing.models.unions_today import unions_of
from builds.placing.models.what_if import WhatIf
from habitats.placement.questions import MorePairs, NextBestOf, Question, ToPlace, pairs_of_case
from habitats.placement.values import Goal, Pin, PlacingCase
from habitats.structure.design import Species

# Up to so many pairs of who asks and a place, a placing is looked for again and again where a
# group would wait for a build. Within a request some seconds at most; beside it, some minutes.
MOST_TRIED_AT_ONCE, MOST_TRIED_BESIDE = 20_000, 1_000_000
# What is worked out while the page is waited for: two seconds of the processor at most.
MOST_AT_ONCE = 60_000


class What(StrEnum):
    """Where everybody could live, where else a group could, how many pairs could be taken."""

    PROPOSAL = "proposal"
    NEXT_BEST = "next_best"
    PAIRS = "pairs"


@dataclass(frozen=True, slots=True)
class PlacingAsked:
    """``next_for``: the group of which the second-best place is asked."""

    what: What
    by_hand: ByHand
    what_if: WhatIf
    next_for: str = ""

    @property
    def mark(self) -> str:
        """The same for all who ask the same."""
        told = json.dumps(self.document(), sort_keys=True)
        return hashlib.sha256(told.encode()).hexdigest()

    def document(self) -> Mapping[str, Any]:
        by_hand, what_if = self.by_hand, self.what_if
        return {
            "what": self.what.value,
            "pins": [list(one) for one in by_hand.pins],
            "forbidden": [list(one) for one in by_hand.forbidden],
            "away": sorted(by_hand.away),
            "order": [one.value for one in by_hand.order],
            "is_together": by_hand.is_together,
            "more": [what_if.design, what_if.number, what_if.home],
            "gone": sorted(what_if.gone),
            "pairs": what_if.pairs.value if what_if.pairs else "",
            "next_for": self.next_for,
        }


def asked_from(told: Mapping[str, Any]) -> PlacingAsked:
    by_hand = ByHand(
        tuple(Pin(*one) for one in told["pins"]),
        tuple(Pin(*one) for one in told["forbidden"]),
        frozenset(told["away"]),
        tuple(Goal(one) for one in told["order"]),
        told["is_together"],
    )
    pairs = Species(told["pairs"]) if told["pairs"] else None
    design, number, home = told["more"]
    what_if = WhatIf(design, number, home, frozenset(told["gone"]), pairs)
    return PlacingAsked(What(told["what"]), by_hand, what_if, told["next_for"])


def asking_for_proposal(rescue: RescueToday, by_hand: ByHand) -> PlacingAsked:
    """How many pairs more could be taken is another question."""
    return PlacingAsked(What.PROPOSAL, by_hand, replace(rescue.what_if, pairs=None))


def asking_for_next_best(rescue: RescueToday, by_hand: ByHand, group: str) -> PlacingAsked:
    return PlacingAsked(What.NEXT_BEST, by_hand, replace(rescue.what_if, pairs=None), group)


def asking_for_pairs(rescue: RescueToday, by_hand: ByHand) -> PlacingAsked:
    return PlacingAsked(What.PAIRS, by_hand, rescue.what_if)


def case_of_all(rescue: RescueToday, by_hand: ByHand) -> PlacingCase:
    """With who could live together, where that is asked."""
    case = rescue.case(by_hand)
    return replace(case, unions=unions_of(rescue)) if rescue.is_together else case


def proposal_asked(rescue: RescueToday, case: PlacingCase) -> ToPlace:
    # What is being built does not stand yet; what is imagined is told as if it stood.
    not_yet = frozenset(ref for ref, one in rescue.to_come.items() if one.build)
    pairs = pairs_of_case(case)
    most = MOST_TRIED_BESIDE if pairs > MOST_AT_ONCE else MOST_TRIED_AT_ONCE
    return ToPlace(case, not_yet, tries_again=pairs <= most)


def pairs_asked(rescue: RescueToday, by_hand: ByHand, species: Species) -> MorePairs | None:
    """None: no standard says what floor they need."""
    found = case_with_pairs(rescue, by_hand, species)
    return MorePairs(*found) if found else None


def question_today(asked: PlacingAsked, today: date) -> Question | None:
    """As the page would ask it now; None: there is nothing to ask any more."""
    rescue = RescueToday(today, asked.what_if, is_together=asked.by_hand.is_together)
    if asked.what is What.PAIRS:
        species = asked.what_if.pairs
        return pairs_asked(rescue, asked.by_hand, species) if species else None
    case = case_of_all(rescue, asked.by_hand)
    if not case.groups:
        return None
    proposal = proposal_asked(rescue, case)
    return proposal if asked.what is What.PROPOSAL else NextBestOf(proposal, asked.next_for)
