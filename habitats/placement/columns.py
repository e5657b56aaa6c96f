"""All that may be decided: who lives where, each with what it costs of every goal.

A column is one decision for one group, or for several that would live as one. A placing takes
columns so that every group is in exactly one. There may be millions, so they are kept as arrays
of numbers: of who asks, of the enclosure, of the home, of the design that is built.
"""

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from habitats.measures import MM2_PER_CM2
from habitats.placement.suiting import Asking, Suiting
from habitats.placement.values import Goal, PlaceToLive, ProposedStay, WaitingUrgency

UNEVEN = 1000  # of a floor without any spare; the share that is used, squared, so it is convex
MOST_SQUARED = 90_000_000  # mm² whose square, by the thousand, is a whole number of 64 bits
NONE = -1  # in place of a number: it waits, stands in no home, is not built

# The goals with waiting told by urgency, as they are weighed against each other.
Aim = tuple[Goal, WaitingUrgency | None]

Numbers = NDArray[np.int64]
Flags = NDArray[np.bool_]
Floats = NDArray[np.float64]


class Decision(NamedTuple):
    """``place`` None: it waits."""

    asking: Asking
    place: PlaceToLive | None
    suits: bool

    @property
    def stay(self) -> ProposedStay:
        return ProposedStay(self.asking.refs, self.place, self.suits)


def aims_in(order: Iterable[Goal]) -> tuple[Aim, ...]:
    """The goals one by one, each urgency of those who wait by itself, the highest first."""
    return tuple(
        (goal, urgency)
        for goal in order
        for urgency in (sorted(WaitingUrgency, reverse=True) if goal is Goal.WAITING else [None])
    )


def padded(lists: Iterable[Iterable[int]], with_: int = NONE) -> Numbers:
    """A row each, all as wide as the longest."""
    rows = [list(one) for one in lists]
    found = np.full((len(rows), max(map(len, rows), default=0)), with_)
    for number, row in enumerate(rows):
        found[number, : len(row)] = row
    return found


class Refs:
    """The numbers that stand for groups, enclosures, homes and designs."""

    def __init__(self, suiting: Suiting) -> None:
        case = suiting.case
        self.groups = {one.ref: number for number, one in enumerate(case.groups)}
        self.enclosures = {one.ref: number for number, one in enumerate(case.enclosures)}
        told = [one.ref for one in case.homes]
        untold = [one.home for one in case.enclosures if one.home is not None]
        self.homes = {ref: number for number, ref in enumerate(dict.fromkeys([*told, *untold]))}


class Decisions:
    """``suits`` False: they stay where they are, or wait, for want of a better place."""

    def __init__(
        self,
        suiting: Suiting,
        asking: Numbers,
        enclosure: Numbers,
        home: Numbers,
        design: Numbers,
        suits: Flags,
    ) -> None:
        self.suiting = suiting
        self.asking, self.enclosure, self.home, self.design = asking, enclosure, home, design
        self.suits = suits
        self._facts = _CostFacts(suiting)
        self.lives_in = self._facts.lives_in

    def __len__(self) -> int:
        return len(self.asking)

    def only(self, kept: Flags) -> "Decisions":
        asking, enclosure, home, design = (
            one[kept] for one in (self.asking, self.enclosure, self.home, self.design)
        )
        return Decisions(self.suiting, asking, enclosure, home, design, self.suits[kept])

    def decision(self, number: int) -> Decision:
        """Who a column is about, and where it puts them; without a place they wait."""
        case = self.suiting.case
        asking = self.suiting.asking[self.asking[number]]
        place = None
        if self.enclosure[number] != NONE:
            place = self.suiting.standing(case.enclosures[self.enclosure[number]].ref)
        elif self.design[number] != NONE:
            design, home = case.designs[self.design[number]], case.homes[self.home[number]]
            place = PlaceToLive(design=design.ref, home=home.ref)
        return Decision(asking, place, bool(self.suits[number]))

    def costs(self, aim: Aim) -> Numbers:
        """Of each column, what it costs of an aim."""
        goal, urgency = aim
        facts = self._facts
        if urgency is not None:
            return np.where(self.suits, 0, facts.waiting[urgency][self.asking])
        if goal is Goal.MOVES:
            stays = facts.settled_in[self.asking] == self.enclosure[:, None]
            return facts.settled[self.asking] - stays.sum(axis=1)
        if goal is Goal.BUILDS:
            return (self.design != NONE).astype(np.int64)
        if goal is Goal.COST:
            return facts.cents[self.design]
        floor = np.where(
            self.design == NONE, facts.standing[self.enclosure], facts.built[self.design]
        )
        if goal is Goal.WISHES:
            costs = wishes_lacking(facts.wishes[self.asking], floor)
        else:
            costs = unevenness(facts.needs[self.asking], floor)
        return np.where((self.enclosure == NONE) & (self.design == NONE), 0, costs)


class _CostFacts:
    """What costs are worked out from, by number; the last of enclosures and designs is none."""

    def __init__(self, suiting: Suiting) -> None:
        case, every = suiting.case, suiting.asking
        self.needs = np.array([one.needs_mm2 for one in every], dtype=np.int64)
        self.wishes = np.array([one.wishes_mm2 for one in every], dtype=np.int64)
        self.waiting = {
            urgency: np.array(
                [sum(group.urgency is urgency for group in one.groups) for one in every],
                dtype=np.int64,
            )
            for urgency in WaitingUrgency
        }
        refs = Refs(suiting).enclosures
        # Of one group by itself.
        self.lives_in = np.array(
            [refs.get(one.groups[0].lives_in or "", NONE) for one in every], dtype=np.int64
        )
        homes_of = [
            [refs[group.lives_in or ""] for group in one.groups if suiting.is_settled(group)]
            for one in every
        ]
        self.settled = np.array([len(one) for one in homes_of], dtype=np.int64)
        self.settled_in = padded(homes_of, with_=NONE - 1)
        self.cents = np.array([*(one.cents for one in case.designs), 0], dtype=np.int64)
        self.built = np.array([*(one.floor_mm2 for one in case.designs), 1], dtype=np.int64)
        self.standing = np.array([*(one.floor_mm2 for one in case.enclosures), 1], dtype=np.int64)


def wishes_lacking(wishes_mm2: Numbers, floor_mm2: Numbers) -> Numbers:
    """In cm²."""
    return np.maximum(0, wishes_mm2 - floor_mm2) // MM2_PER_CM2


def unevenness(needs_mm2: Numbers, floor_mm2: Numbers) -> Numbers:
    """The square of the share of the floor that is used, in thousandths.

    Squared, two floors with some spare each cost less than one tight and one half empty.
    """
    used = np.minimum(needs_mm2, floor_mm2)
    if used.max(initial=0) > MOST_SQUARED:
        used = used.astype(object)  # whole numbers of any length, and slow
    return (UNEVEN * used * used // np.maximum(1, floor_mm2 * floor_mm2)).astype(np.int64)
