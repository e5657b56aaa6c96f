"""The building site: the parts that stand so far, and the step that put up each.

Steps are added in the order people work; the site finds out what each of them needs first. So
any order that keeps to the needs keeps panels standing, not only the one given.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from builds.making.step import Parts, Step
from builds.making.ties import Seam, TieGroup, TieSpot, seams_of
from habitats.structure.lattice import Joint, PanelPlace

NOTHING = Parts()
GIVEN = ""  # stands for a step before the first


@dataclass(frozen=True, slots=True)
class Placement:
    """Panels to place now, the joints that get their connector with them, and what is tied."""

    places: tuple[PanelPlace, ...]
    joints: tuple[Joint, ...]
    spots: tuple[TieSpot, ...]

    @property
    def ties(self) -> int:
        return sum(spot.count for spot in self.spots)


class Site:
    """Steps so far, in order.

    A site may not start empty: ``given`` stands already and ``done`` are ids of steps that are
    not needed any more, so nothing waits for either. What is on ``first`` comes before any step
    that places something.
    """

    def __init__(
        self, ties: Iterable[TieGroup], given: Parts = NOTHING, done: Iterable[str] = ()
    ) -> None:
        self.steps: list[Step] = []
        self.first: tuple[str, ...] = ()
        self._by_place: dict[PanelPlace, str] = {}
        self._by_joint: dict[Joint, str] = {}
        self._by_seam: dict[Seam, list[str]] = defaultdict(list)
        self._by_tray: dict[int, str] = {}
        self._by_ramp: dict[int, str] = {}
        self._before: dict[str, frozenset[str]] = {}
        # By numbers: two lid panels may be hinged along one seam, which are two spots alike.
        self._spots_at: dict[PanelPlace, list[tuple[int, TieSpot]]] = defaultdict(list)
        for number, spot in enumerate(spot for group in ties for spot in group.spots):
            for place in spot.places:
                self._spots_at[place].append((number, spot))
        self.is_done((GIVEN, *done))
        self._put(GIVEN, given)

    @property
    def standing(self) -> frozenset[PanelPlace]:
        return frozenset(self._by_place)

    def place(self, places: Iterable[PanelPlace]) -> Placement:
        """What placing these panels now takes: new joints, and ties round panels then complete."""
        now = tuple(places)
        new = dict.fromkeys(joint for place in now for joint in place.corners)
        complete = {*self._by_place, *now}
        spots = dict.fromkeys(spot for place in now for spot in self._spots_at[place])
        return Placement(
            places=now,
            joints=tuple(sorted(joint for joint in new if joint not in self._by_joint)),
            spots=tuple(spot for _number, spot in spots if complete.issuperset(spot.places)),
        )

    def is_done(self, step_ids: Iterable[str]) -> None:
        """Steps that nothing waits for, since what they make is there."""
        self._before.update((one, frozenset()) for one in step_ids)

    def has_tray(self, level: int) -> bool:
        return level in self._by_tray

    def has_ramp(self, ramp: int) -> bool:
        return ramp in self._by_ramp

    def tray_step(self, level: int) -> str:
        return self._by_tray[level]

    def ramp_step(self, ramp: int) -> str:
        return self._by_ramp[ramp]

    def steps_of(self, places: Iterable[PanelPlace]) -> set[str]:
        """Ids of the steps that placed these panels."""
        return {self._by_place[place] for place in places}

    def last_steps(self) -> tuple[str, ...]:
        """Ids of steps that no other needs yet."""
        needed = {need for step in self.steps for need in step.needs}
        return tuple(step.id for step in self.steps if step.id not in needed)

    def add(self, step: Step) -> None:
        """The step, with all it needs: what it names itself, and what its panels stand on."""
        needs = {*step.needs, *self._standing_under(step)}
        if not step.bench:
            needs.update(self.first)
        before = frozenset[str]().union(*(self._before[need] for need in needs))
        self._before[step.id] = before | needs
        # A need that another need has before it goes without saying.
        least = [one.id for one in self.steps if one.id in needs - before]
        self._record(replace(step, needs=tuple(least)))

    def _standing_under(self, step: Step) -> Iterator[str]:
        own = set(step.joints)
        for place in step.places:
            yield from (self._by_joint[joint] for joint in place.corners if joint not in own)
            for seam in seams_of(place):
                yield from self._by_seam[seam]

    def _record(self, step: Step) -> None:
        self.steps.append(step)
        self._put(step.id, step.puts)

    def _put(self, step_id: str, parts: Parts) -> None:
        self._by_joint.update((joint, step_id) for joint in parts.joints)
        self._by_tray.update((tray, step_id) for tray in parts.trays)
        self._by_ramp.update((ramp, step_id) for ramp in parts.ramps)
        for place in parts.places:
            self._by_place[place] = step_id
            for seam in seams_of(place):
                self._by_seam[seam].append(step_id)
