"""Which way each connector sits, what it holds, and which ones an alteration turns.

A connector is a disc. Panels lying in the disc's own plane slot into its rim; panels at right
angles to it slot into ribs on one face only; the other face is smooth. So a disc sits in one of
three planes with its ribs toward one of two directions: six stances.

As built (common practice, no source): a corner stands upright, its disc in one wall's plane; a
joint in a straight run along an open top or bottom lies flat, ribs toward the panels. Of stances
that hold equally many panels the smooth face points away from the ground's footprint as a whole;
if that still ties, the disc lies in the wall that runs east-west.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from functools import lru_cache
from typing import NamedTuple

from habitats.structure.lattice import Cell, Face, Joint, PanelPlace


class Stance(NamedTuple):
    """How a disc sits: its plane, and +1 or -1 for ribs toward greater or lesser coordinates.

    The axis at right angles to the plane is the row for ``EW``, the column for ``NS`` and the
    height for ``FLAT``: ``Stance(Face.FLAT, -1)`` lies flat with its ribs down.
    """

    plane: Face
    ribs: int

    @property
    def is_upright(self) -> bool:
        return self.plane is not Face.FLAT


STANCES = tuple(Stance(plane, ribs) for plane in (Face.EW, Face.NS, Face.FLAT) for ribs in (1, -1))


# By plane, the two stances in it.
_AROUND = tuple(
    (first.plane, first, other) for first, other in zip(STANCES[::2], STANCES[1::2], strict=True)
)


class Turn(NamedTuple):
    """A connector that has to be taken off and put back another way round."""

    joint: Joint
    before: Stance
    after: Stance


def panels_at_joints(places: Iterable[PanelPlace]) -> dict[Joint, list[PanelPlace]]:
    """For each joint the places that have a corner there, in sorted order."""
    meeting: dict[Joint, list[PanelPlace]] = defaultdict(list)
    for place in sorted(places):
        for joint in place.corners:
            meeting[joint].append(place)
    return dict(meeting)


def holds(stance: Stance, joint: Joint, place: PanelPlace) -> bool:
    """Whether a connector at the joint, sitting so, has a slot or rib for the panel."""
    return place.face is stance.plane or _direction(joint, place, stance.plane) == stance.ribs


def as_built(places: Iterable[PanelPlace], footprint: frozenset[Cell]) -> dict[Joint, Stance]:
    """The stance of every connector when the panels are put up in one go."""
    return {
        joint: best_stance(joint, meeting, footprint)
        for joint, meeting in panels_at_joints(places).items()
    }


def best_stance(joint: Joint, meeting: list[PanelPlace], footprint: frozenset[Cell]) -> Stance:
    """The stance a builder chooses at a joint where the given panels meet."""

    held = _held(joint, meeting)
    is_open_run = _is_open_run(joint, meeting)

    def preference(stance: Stance) -> tuple[int, bool, bool, bool, bool]:
        usual = stance.is_upright != is_open_run
        smooth_away = _smooth_face_points_away(stance, joint, footprint)
        return held[stance], usual, smooth_away, stance.plane is Face.EW, stance.ribs > 0

    return max(STANCES, key=preference)


def _held(joint: Joint, meeting: list[PanelPlace]) -> Counter[Stance]:
    """How many of the panels each stance holds; as ``holds`` says it of one."""
    held: Counter[Stance] = Counter()
    for place in meeting:
        for rim, first, other in _AROUND:
            if place.face is rim:
                held[first] += 1
                held[other] += 1
            else:
                held[first if _direction(joint, place, rim) == first.ribs else other] += 1
    return held


def turns(
    standing: Mapping[Joint, Stance], target: Iterable[PanelPlace], footprint: frozenset[Cell]
) -> tuple[Turn, ...]:
    """Connectors of a standing enclosure that must turn before the target's panels go in.

    A connector that already holds all it will have to hold stays as it is, even where a new one
    would be put the other way round; one turns only where that makes it hold more.
    """
    needed = []
    for joint, meeting in panels_at_joints(target).items():
        before = standing.get(joint)
        if before is None:
            continue
        after = best_stance(joint, meeting, footprint)
        if _count(before, joint, meeting) < _count(after, joint, meeting):
            needed.append(Turn(joint, before, after))
    return tuple(sorted(needed))


def unheld(
    stances: Mapping[Joint, Stance], places: Iterable[PanelPlace]
) -> tuple[tuple[Joint, PanelPlace], ...]:
    """Panel corners that the connector at their joint cannot hold: each is tied instead."""
    return tuple(
        (joint, place)
        for joint, meeting in sorted(panels_at_joints(places).items())
        for place in meeting
        if not holds(stances[joint], joint, place)
    )


def _count(stance: Stance, joint: Joint, meeting: list[PanelPlace]) -> int:
    return sum(holds(stance, joint, place) for place in meeting)


def _direction(joint: Joint, place: PanelPlace, plane: Face) -> int:
    """On which side of the plane through the joint a panel across that plane lies: +1 or -1.

    A place is told by its least joint, and reaches on from there.
    """
    if plane is Face.EW:
        return 1 if place.row >= joint.row else -1
    if plane is Face.NS:
        return 1 if place.col >= joint.col else -1
    return 1 if place.z >= joint.z else -1


def _is_open_run(joint: Joint, meeting: list[PanelPlace]) -> bool:
    """A straight run along an open top or bottom: one wall's plane, all on one vertical side."""
    upright = [place for place in meeting if place.is_upright]
    planes = {place.face for place in upright}
    return len(planes) <= 1 and len({place.z < joint.z for place in upright}) == 1


def _smooth_face_points_away(stance: Stance, joint: Joint, footprint: frozenset[Cell]) -> bool:
    """Whether the smooth face looks away from the middle of the ground's footprint."""
    # Twice the footprint's centre times its number of cells keeps the comparison in whole numbers.
    middle_row, middle_col = _doubled_sums(footprint)
    if stance.plane is Face.EW:
        outward = 2 * len(footprint) * joint.row - middle_row
    elif stance.plane is Face.NS:
        outward = 2 * len(footprint) * joint.col - middle_col
    else:
        outward = 2 * joint.z - 1
    return -stance.ribs * outward > 0


@lru_cache(maxsize=64)
def _doubled_sums(footprint: frozenset[Cell]) -> tuple[int, int]:
    """Twice the cells' middles, summed: rows, columns. Asked for at every joint, so kept."""
    return (
        sum(2 * cell.row + 1 for cell in footprint),
        sum(2 * cell.col + 1 for cell in footprint),
    )
