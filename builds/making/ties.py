"""Cable ties: which seams take one, how many, and round which panels each goes.

A seam is a panel's edge, between two joints, where at least one more panel meets. Which seams of
a kind are tied, and how often, stands in ``kinds``; besides, all of it common practice without a
source:

- each panel corner that its connector cannot hold: one tie;
- a doorway panel, weakened by the cut, at each upright side where it meets another panel: one;
- a hung panel, a lid's or a front door: ties as a hinge along one side. The opposite side takes
  clips that open by hand, and these are counted as clips;
- a ramp: ties at each overlap, at its head and at its foot, there joined where one is too short.

Spares are one in ten, rounded up, and are always shown apart.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from builds.making.feet import ties_joined
from builds.making.kinds import KINDS, Where
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.structure import Panel, Structure

SPARE_PERCENT = 10

Seam = tuple[Joint, Joint]


@dataclass(frozen=True, slots=True)
class TieSpot:
    """One place that is tied.

    ``joints`` are the two ends of a seam, or the one corner; ``places`` the panels the ties go
    round. At ramps both are empty and ``ramp`` is the ramp's index, else None. ``joined``: so many
    ties end to end for each, where one does not reach.
    """

    where: Where
    joints: tuple[Joint, ...] = ()
    places: tuple[PanelPlace, ...] = ()
    ramp: int | None = None
    joined: int = 1

    @property
    def count(self) -> int:
        return self.where.each * self.joined


@dataclass(frozen=True, slots=True)
class TieGroup:
    """All places that one clause of the rule ties."""

    where: Where
    spots: tuple[TieSpot, ...]

    @property
    def what(self) -> str:
        return self.where.words

    @property
    def count(self) -> int:
        return sum(spot.count for spot in self.spots)


def ties_needed(structure: Structure) -> tuple[TieGroup, ...]:
    """Every place to tie by the rule above, clause by clause; clauses without a place are out."""
    spots = tuple(_spots(structure))
    groups = (TieGroup(w, tuple(spot for spot in spots if spot.where is w)) for w in Where)
    return tuple(group for group in groups if group.spots)


def count_ties(groups: Iterable[TieGroup]) -> int:
    """Ties in all, without spares."""
    return sum(group.count for group in groups)


def spare(count: int) -> int:
    """The stated allowance: one in ten, rounded up."""
    return -(-count * SPARE_PERCENT // 100)


def seams_of(place: PanelPlace) -> tuple[Seam, ...]:
    """The four edges of a panel, each from its lesser joint to its greater."""
    corners = place.corners
    return tuple((min(ends), max(ends)) for ends in pairwise((*corners, corners[0])))


@dataclass(frozen=True, slots=True)
class HungPanel:
    """How a panel is hung: the seam of its hinge and the seam of its clips (None: no hold)."""

    panel: Panel
    hinge: Seam | None
    clips: Seam | None


def hung_panels(structure: Structure) -> tuple[HungPanel, ...]:
    """A hinge on the first side that rests on a wall, else on a neighbour; clips opposite it.

    One that stands upright hangs on an upright side.
    """
    meeting = _panels_at_seams(structure)
    return tuple(
        _hang(panel, meeting) for panel in structure.panels if KINDS[panel.role].ties.hinge
    )


def count_clips(structure: Structure) -> int:
    return sum(KINDS[one.panel.role].clips for one in hung_panels(structure) if one.clips)


def _hang(panel: Panel, meeting: dict[Seam, list[Panel]]) -> HungPanel:
    north, east, south, west = seams_of(panel.place)
    opposite = {north: south, south: north, east: west, west: east}

    def rank(seam: Seam) -> int:
        """0 for a side on top of a wall, 1 beside a flat or under an upright, 2 for a free side."""
        others = [one.place for one in meeting[seam] if one is not panel]
        return 0 if any(_is_below(place, seam) for place in others) else 1 if others else 2

    sides = [one for one in opposite if one[0].z != one[1].z] or [*opposite]
    hinge = min(sides, key=rank)
    if rank(hinge) == 2:
        return HungPanel(panel, None, None)
    rest = [seam for seam in sides if seam != hinge and rank(seam) < 2]
    clips = opposite[hinge] if opposite[hinge] in rest else next(iter(rest), None)
    return HungPanel(panel, hinge, clips)


def _spots(structure: Structure) -> Iterator[TieSpot]:
    meeting = _panels_at_seams(structure)
    swinging = {panel.place for panel in structure.panels if KINDS[panel.role].swings}
    for joint, place in structure.unheld:
        if place not in swinging:
            yield TieSpot(Where.CORNER, (joint,), (place,))
    for seam in sorted(meeting):
        firm = [panel for panel in meeting[seam] if panel.place not in swinging]
        yield from _spots_at_seam(seam, firm)
    for hung in hung_panels(structure):
        hinge = KINDS[hung.panel.role].ties.hinge
        if hinge and hung.hinge is not None:
            others = [p.place for p in meeting[hung.hinge] if p is not hung.panel]
            yield TieSpot(hinge, hung.hinge, (hung.panel.place, *others))
    for index, ramp in enumerate(structure.ramps):
        for _overlap in range(ramp.panels - 1):
            yield TieSpot(Where.RAMP_OVERLAP, ramp=index)
        yield TieSpot(Where.RAMP_HEAD, ramp=index)
        yield TieSpot(Where.RAMP_FOOT, ramp=index, joined=ties_joined(structure, ramp))


def _spots_at_seam(seam: Seam, panels: list[Panel]) -> Iterator[TieSpot]:
    if seam[0].z != seam[1].z:
        yield from _spots_at_upright_seam(seam, panels)
        return
    lying = [panel for panel in panels if KINDS[panel.role].ties.seams]
    floors = [panel.place for panel in lying]
    below = [panel.place for panel in panels if _is_below(panel.place, seam)]
    above = [panel for panel in panels if panel.place.is_upright and panel.place not in below]
    if lying and len(lying) + len(below) > 1:
        yield TieSpot(KINDS[lying[0].role].ties.seams or Where.FLOOR, seam, (*floors, *below))
    if above and (floors or below):
        yield TieSpot(KINDS[above[0].role].ties.below, seam, (*floors, *below, above[0].place))


def _spots_at_upright_seam(seam: Seam, panels: list[Panel]) -> Iterator[TieSpot]:
    if len(panels) < 2:
        return
    places = tuple(panel.place for panel in panels)
    for ends in dict.fromkeys(KINDS[panel.role].ties.ends for panel in panels):
        if ends:
            yield TieSpot(ends, seam, places)
    if any(panel.doorway for panel in panels):
        yield TieSpot(Where.DOORWAY, seam, places)


def _is_below(place: PanelPlace, seam: Seam) -> bool:
    """Whether the panel stands upright with the level seam as its top edge."""
    return place.is_upright and place.z < seam[0].z


def _panels_at_seams(structure: Structure) -> dict[Seam, list[Panel]]:
    meeting: dict[Seam, list[Panel]] = defaultdict(list)
    for panel in structure.panels:
        for seam in seams_of(panel.place):
            meeting[seam].append(panel)
    return dict(meeting)
