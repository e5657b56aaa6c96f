"""Cable ties: which seams take one, how many, and round which panels each goes.

A seam is a panel's edge, between two joints, where at least one more panel meets. The rule, all of
it common practice without a source:

- each panel corner that its connector cannot hold: one tie;
- an upper floor's panel, along each edge where another panel of that floor or the top of a wall
  meets it: two;
- a wall or divider panel that stands above the ground, to what it stands on: one in the middle;
- a guard, to the wall below it: two;
- a divider, at each upright end where it meets another panel: one;
- a doorway panel, weakened by the cut, at each upright side where it meets another panel: one;
- a lid panel: two as a hinge along one side. The opposite side takes two clips that open by hand,
  and these are counted as clips;
- a ramp: four at each overlap, two at its head and two at its foot.

Spares are one in ten, rounded up, and are always shown apart.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from habitats.structure.kinds import Role
from habitats.structure.lattice import Joint, Place
from habitats.structure.structure import Panel, Structure

TIES_AT_OVERLAP = 4
TIES_AT_HEAD = 2
TIES_AT_FOOT = 2
CLIPS_ON_A_LID_PANEL = 2
SPARE_PERCENT = 10

Seam = tuple[Joint, Joint]


class Where(Enum):
    """A clause of the rule: its words, and the ties it takes in each place."""

    CORNER = ("corners that no connector holds", 1)
    FLOOR = ("seams of the upper floors", 2)
    STANDING = ("upper panels, to what they stand on", 1)
    GUARD = ("guards, to the wall below", 2)
    DIVIDER = ("ends of dividers", 1)
    DOORWAY = ("sides of doorway panels", 1)
    LID_HINGE = ("hinges of the lid", 2)
    RAMP_OVERLAP = ("overlaps of ramps", TIES_AT_OVERLAP)
    RAMP_HEAD = ("heads of ramps", TIES_AT_HEAD)
    RAMP_FOOT = ("feet of ramps", TIES_AT_FOOT)

    def __init__(self, words: str, each: int) -> None:
        self.words = words
        self.each = each


@dataclass(frozen=True, slots=True)
class TieSpot:
    """One place that is tied.

    ``joints`` are the two ends of a seam, or the one corner; ``places`` the panels the ties go
    round. At ramps both are empty and ``ramp`` is the ramp's index, else None.
    """

    where: Where
    joints: tuple[Joint, ...] = ()
    places: tuple[Place, ...] = ()
    ramp: int | None = None

    @property
    def count(self) -> int:
        return self.where.each


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


def seams_of(place: Place) -> tuple[Seam, ...]:
    """The four edges of a panel, each from its lesser joint to its greater."""
    corners = place.corners
    return tuple((min(ends), max(ends)) for ends in pairwise((*corners, corners[0])))


@dataclass(frozen=True, slots=True)
class LidSeams:
    """How a lid panel is hung: the seam of its hinge and the seam of its clips (None: no hold)."""

    panel: Panel
    hinge: Seam | None
    clips: Seam | None


def lid_seams(structure: Structure) -> tuple[LidSeams, ...]:
    """A hinge on the first side that rests on a wall, else on a neighbour; clips opposite it."""
    meeting = _panels_at_seams(structure)
    return tuple(_hang(panel, meeting) for panel in structure.with_role(Role.LID))


def count_clips(structure: Structure) -> int:
    return CLIPS_ON_A_LID_PANEL * sum(one.clips is not None for one in lid_seams(structure))


def _hang(panel: Panel, meeting: dict[Seam, list[Panel]]) -> LidSeams:
    north, east, south, west = seams_of(panel.place)
    opposite = {north: south, south: north, east: west, west: east}

    def rank(seam: Seam) -> int:
        """0 for a side on top of a wall, 1 beside a flat or under an upright, 2 for a free side."""
        others = [one.place for one in meeting[seam] if one is not panel]
        return 0 if any(_is_below(place, seam) for place in others) else 1 if others else 2

    hinge = min(opposite, key=rank)
    if rank(hinge) == 2:
        return LidSeams(panel, None, None)
    rest = [seam for seam in opposite if seam != hinge and rank(seam) < 2]
    clips = opposite[hinge] if opposite[hinge] in rest else next(iter(rest), None)
    return LidSeams(panel, hinge, clips)


def _spots(structure: Structure) -> Iterator[TieSpot]:
    meeting = _panels_at_seams(structure)
    for joint, place in structure.unheld:
        yield TieSpot(Where.CORNER, (joint,), (place,))
    for seam in sorted(meeting):
        yield from _spots_at_seam(seam, meeting[seam])
    for hung in lid_seams(structure):
        if hung.hinge is not None:
            others = [p.place for p in meeting[hung.hinge] if p is not hung.panel]
            yield TieSpot(Where.LID_HINGE, hung.hinge, (hung.panel.place, *others))
    for index, ramp in enumerate(structure.ramps):
        for _overlap in range(ramp.panels - 1):
            yield TieSpot(Where.RAMP_OVERLAP, ramp=index)
        yield TieSpot(Where.RAMP_HEAD, ramp=index)
        yield TieSpot(Where.RAMP_FOOT, ramp=index)


def _spots_at_seam(seam: Seam, panels: list[Panel]) -> Iterator[TieSpot]:
    if seam[0].z != seam[1].z:
        yield from _spots_at_upright_seam(seam, panels)
        return
    floors = [panel.place for panel in panels if panel.role == Role.FLOOR]
    below = [panel.place for panel in panels if _is_below(panel.place, seam)]
    above = [panel for panel in panels if panel.place.is_upright and panel.place not in below]
    if floors and len(floors) + len(below) > 1:
        yield TieSpot(Where.FLOOR, seam, (*floors, *below))
    if above and (floors or below):
        where = Where.GUARD if above[0].role == Role.GUARD else Where.STANDING
        yield TieSpot(where, seam, (*floors, *below, above[0].place))


def _spots_at_upright_seam(seam: Seam, panels: list[Panel]) -> Iterator[TieSpot]:
    if len(panels) < 2:
        return
    places = tuple(panel.place for panel in panels)
    if any(panel.role == Role.DIVIDER for panel in panels):
        yield TieSpot(Where.DIVIDER, seam, places)
    if any(panel.doorway for panel in panels):
        yield TieSpot(Where.DOORWAY, seam, places)


def _is_below(place: Place, seam: Seam) -> bool:
    """Whether the panel stands upright with the level seam as its top edge."""
    return place.is_upright and place.z < seam[0].z


def _panels_at_seams(structure: Structure) -> dict[Seam, list[Panel]]:
    meeting: dict[Seam, list[Panel]] = defaultdict(list)
    for panel in structure.panels:
        for seam in seams_of(panel.place):
            meeting[seam].append(panel)
    return dict(meeting)
