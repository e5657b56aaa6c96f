"""The standing enclosure seen from a raised corner, hidden lines right.

Wire is see-through in life. Here each panel is a thin veil over what stands behind it: a part
behind one panel is fainter, behind two fainter still, so depth is read from the strength of the
lines and nothing behind looks as if it were in front. Trays and ramp are not see-through.
"""

from collections.abc import Iterable, Iterator, Sequence
from copy import copy
from itertools import groupby
from typing import NamedTuple, Self

from builds.drawing.before import Before
from builds.drawing.facets import Facet, FacetKind
from builds.drawing.marks import Mark, MarkKind, anchor_point, paint_mark, point_of, tie_points
from builds.drawing.painting import layers
from builds.drawing.room import STEP_SCENE, PictureRoom
from builds.drawing.space import Corner, Vec, on_paper, plus
from builds.drawing.standing import all_parts, facets_of
from builds.drawing.viewpoint import Sight, best_corner, sight_of
from builds.making.step import Parts
from builds.making.ties import TieSpot
from habitats.drawing.north import RADIUS as NORTH_RADIUS
from habitats.drawing.north import REACH as NORTH_OFF
from habitats.drawing.north import north_mark
from habitats.drawing.pen import Pen, Point, Scaled
from habitats.drawing.styles import Style
from habitats.drawing.svg import finished
from habitats.structure.connectors import Stance
from habitats.structure.furniture import FurniturePlace
from habitats.structure.lattice import Cell, Joint, PanelPlace
from habitats.structure.structure import Structure
from habitats.wording import counted, joined, message

FRAME_ONLY = 1  # squares of mesh, which leaves a panel its frame
COARSE = 3  # squares of mesh drawn on a panel where all would be too many
VIEW = PictureRoom(430.0, 1000.0)
LARGEST_PANEL = 96.0  # units a panel takes at most
MOST_JOINTS = 160  # more would be dots on dots
NOTHING = Parts()


def _seen_from(structure: Structure, corner: Corner) -> str:
    return message(
        "%(design)s, seen from the %(corner)s", design=structure.design.name, corner=corner.words
    )


def corner_picture(
    structure: Structure,
    *,
    new: frozenset[PanelPlace] | Parts = NOTHING,
    standing: frozenset[PanelPlace] | Parts | None = None,
    corner: Corner | None = None,
    title: str | None = None,
) -> str:
    """The view from a corner: all of it, or what is ``standing``, with ``new`` in strong colour.

    Places alone may be given instead of parts. ``standing`` None means everything, with what is
    new; ``corner`` None chooses the one that shows most of what is new.
    """
    fresh = _parts(new)
    stand = all_parts(structure) if standing is None else _parts(standing) | fresh
    scene = Scene(structure, stand, fresh, corner, is_step=bool(fresh))
    return finished(
        scene.draw,
        title or _seen_from(structure, scene.corner),
        scene.describe(),
        kind="corner",
    )


def view_of(structure: Structure) -> "Scene":
    """The whole structure as it is drawn from the corner that shows most of it."""
    return Scene(structure, all_parts(structure), NOTHING, None)


def _parts(given: frozenset[PanelPlace] | Parts) -> Parts:
    return given if isinstance(given, Parts) else Parts(places=given)


def _points_to_see(
    joints: Iterable[Joint], anchors: Iterable[PanelPlace], furniture: Iterable[FurniturePlace]
) -> list[Vec]:
    return [
        *(point_of(joint) for joint in joints),
        *(anchor_point(place) for place in anchors),
        *((*one.middle, 0.0) for one in furniture),
    ]


class Scene:
    """What is drawn of a structure, from which corner and how large.

    In the picture of a step what stands is drawn without mesh: it is there to be found again, and
    what is new stands out; a wall keeps the mesh of its pup panel. ``furniture`` is what is set up
    in the step.
    """

    def __init__(
        self,
        structure: Structure,
        stand: Parts,
        new: Parts,
        corner: Corner | None,
        ties: Sequence[TieSpot] = (),
        *,
        is_step: bool = False,
        before: Before | None = None,
        furniture: Sequence[FurniturePlace] = (),
    ) -> None:
        self._structure = structure
        self._furniture = furniture
        self._before = before
        self._stand = stand
        self._new = new
        self._room = STEP_SCENE if is_step else VIEW
        self.ties = ties
        squares = _squares_drawn(structure.design.panel.squares, len(stand.places))
        self._facets = facets_of(
            structure,
            stand,
            new,
            squares=squares,
            standing_squares=FRAME_ONLY if is_step else squares,
            doubled_squares=squares,
        )
        focus = new.joints
        if before is not None:
            self._facets += before.facets
            focus = focus or before.taken.joints or frozenset(before.turned)
        grips = new.anchors or (before.taken.anchors if before else frozenset())
        self._points = _points_to_see(focus, grips, furniture)
        self.corner = corner or best_corner(self._facets, self._points)
        self.scale = _scale(structure, before, self.corner, self._room)

    def seen_from(self, corner: Corner) -> Self:
        """The same from another corner: of the same pieces, which are many to work out."""
        turned = copy(self)
        turned.corner = corner
        turned.scale = _scale(self._structure, self._before, corner, self._room)
        return turned

    @property
    def sight(self) -> Sight | None:
        """How well each corner shows what is new or taken off; None if nothing of it is seen."""
        return sight_of(self._facets, self._points)

    @property
    def seats(self) -> dict[Joint, Stance]:
        """How each connector sits that is put on, or put back another way round."""
        new = {joint: self._structure.stances[joint] for joint in self._new.joints}
        return new | (dict(self._before.turned) if self._before else {})

    def on_paper(self, at: Vec) -> Point:
        """Where a point of space falls in the picture."""
        x, y = on_paper(at, self.corner)
        return x * self.scale, y * self.scale

    def describe(self) -> str:
        before = self._before
        panels = len(self._stand.places) + (len(before.stand.places) if before else 0)
        trays, ramps = len(self._stand.trays), len(self._stand.ramps)
        shown = [counted("%(count)d panel", "%(count)d panels", panels)]
        if trays:
            shown.append(counted("%(count)d tray", "%(count)d trays", trays))
        if ramps:
            shown.append(counted("%(count)d ramp", "%(count)d ramps", ramps))
        if pups := len(self._stand.pups):
            shown.append(counted("%(count)d pup panel", "%(count)d pup panels", pups))
        sentences: list[str] = [
            message(
                "Drawn to scale from a raised corner in the %(corner)s: %(parts)s.",
                corner=self.corner.words,
                parts=joined(", ", shown),
            )
        ]
        if self._new:
            sentences.append(message("What is new is in strong colour."))
        return joined(" ", sentences + (before.sentences if before else []))

    def draw(self, pen: Pen) -> None:
        mm = Scaled(pen, self.scale)
        marks = iter(sorted(self._marks()))
        waiting = next(marks, None)
        for nearness, layer in layers(self._facets, self.corner):
            while waiting and waiting.nearness < nearness:
                paint_mark(mm, waiting, self.corner)
                waiting = next(marks, None)
            layer.sort(key=lambda facet: (facet.kind.value, facet.new, facet.taken))
            for _surface, alike in groupby(layer, key=surface_of):
                paint(mm, list(alike), self.corner)
        for mark in [waiting, *marks] if waiting else []:
            paint_mark(mm, mark, self.corner)
        self._north(mm, pen)

    def _marks(self) -> Iterator[Mark]:
        """Connectors and ties, each after the panels that meet there and before all beyond."""
        shown = self._stand.joints if len(self._stand.joints) <= MOST_JOINTS else self._new.joints
        for joint in shown - self._under_trays():
            at = point_of(joint)
            if joint in self._new.joints:
                stance = self._structure.stances[joint]
                yield Mark(self.corner.passed(at), at, MarkKind.NEW_JOINT, stance)
            else:
                yield Mark(self.corner.passed(at), at, MarkKind.JOINT)
        for spot in self.ties:
            for at in tie_points(spot):
                yield Mark(self.corner.passed(at), at, MarkKind.TIE)
        for one in self._furniture:
            at = (*one.middle, 0.0)
            yield Mark(self.corner.passed(at), at, MarkKind[one.piece.name])
        for place in self._stand.anchors:
            kind = MarkKind.NEW_ANCHOR if place in self._new.anchors else MarkKind.ANCHOR
            yield self._anchor(place, kind)
        if self._before is not None:
            yield from self._marks_before(self._before)

    def _anchor(self, place: PanelPlace, kind: MarkKind) -> Mark:
        at = anchor_point(place)
        return Mark(self.corner.passed(at), at, kind)

    def _marks_before(self, before: Before) -> Iterator[Mark]:
        for joint in before.taken.joints:
            at = point_of(joint)
            yield Mark(self.corner.passed(at), at, MarkKind.TAKEN_JOINT)
        for joint, stance in before.turned.items():
            at = point_of(joint)
            yield Mark(self.corner.passed(at), at, MarkKind.TURNED_JOINT, stance)
        for place in before.stand.anchors:
            yield self._anchor(place, MarkKind.ANCHOR)
        for place in before.taken.anchors:
            yield self._anchor(place, MarkKind.TAKEN_ANCHOR)

    def _under_trays(self) -> frozenset[Joint]:
        """Connectors that stood before and now lie under a tray, with floor on all four sides."""
        levels = [self._structure.design.levels[index] for index in self._stand.trays]
        return frozenset(
            joint
            for joint in self._stand.joints - self._new.joints
            for level in levels
            if level.z == joint.z
            and all(
                Cell(joint.row + rows, joint.col + cols) in level.cells
                for rows in (-1, 0)
                for cols in (-1, 0)
            )
        )

    def _north(self, mm: Scaled, pen: Pen) -> None:
        """On the floor off the nearest corner, where nothing stands before or behind it."""
        corner, unit = self.corner, 1 / mm.scale
        xs, ys = _reach(self._structure, self._before)
        east, south = corner.value
        near = (float(xs[east > 0]), float(ys[south > 0]), 0.0)
        way = corner.on_floor(NORTH_OFF * unit, -NORTH_RADIUS * unit)
        north_mark(
            pen,
            mm.at(on_paper(plus(near, way), corner)),
            lambda floor: on_paper((*floor, 0.0), corner),
        )


def _reach(structure: Structure, before: Before | None) -> tuple[tuple[int, int], tuple[int, int]]:
    """From where to where all of it stands in the end, westward to eastward and north to south."""
    joints = [*structure.joints, *(before.structure.joints if before else ())]
    cols, rows = [joint.col for joint in joints], [joint.row for joint in joints]
    return (min(cols), max(cols)), (min(rows), max(rows))


def _squares_drawn(squares: int, panels: int) -> int:
    """All of the mesh for a few panels, a coarser one or none where it would turn grey."""
    if panels <= 60:
        return squares
    return COARSE if panels <= 250 else FRAME_ONLY


def _scale(structure: Structure, before: Before | None, corner: Corner, room: PictureRoom) -> float:
    """Units a panel takes, the same in every picture of one structure from one side."""
    ends = [*structure.joints, *(before.structure.joints if before else ())]
    axes = [
        (min(along), max(along))
        for along in zip(*((joint.col, joint.row, joint.z) for joint in ends), strict=True)
    ]
    points = [on_paper((x, y, z), corner) for x in axes[0] for y in axes[1] for z in axes[2]]
    xs, ys = [x for x, _y in points], [y for _x, y in points]
    width, height = max(xs) - min(xs), max(ys) - min(ys)
    return min(LARGEST_PANEL, room.width / width, room.height / height)


class Surface(NamedTuple):
    """How a kind of piece is filled, edged and meshed."""

    fill: Style
    edge: Style
    mesh: Style = Style.MESH


_STANDING = {
    FacetKind.WIRE: Surface(Style.WIRE, Style.FRAME),
    FacetKind.FLOOR: Surface(Style.FLOOR, Style.THIN),
    FacetKind.TRAY_WALL: Surface(Style.TRAY_WALL, Style.THIN),
    FacetKind.CHANNEL: Surface(Style.CHANNEL, Style.FRAME),
}
_NEW = {
    FacetKind.WIRE: Surface(Style.NEW_WIRE, Style.NEW, Style.NEW_MESH),
    FacetKind.FLOOR: Surface(Style.NEW_FLOOR, Style.NEW),
    FacetKind.TRAY_WALL: Surface(Style.NEW_TRAY_WALL, Style.NEW),
    FacetKind.CHANNEL: Surface(Style.NEW_CHANNEL, Style.NEW),
}
_TAKEN = Surface(Style.TAKEN_FACE, Style.TAKEN_EDGE)


def surface_of(facet: Facet) -> Surface:
    if facet.taken:
        return _TAKEN
    return (_NEW if facet.new else _STANDING)[facet.kind]


def paint(mm: Pen, facets: Sequence[Facet], corner: Corner) -> None:
    """Pieces of one surface that do not hide one another: fillings, mesh, then edges."""
    surface = surface_of(facets[0])
    for facet in facets:
        mm.area([[on_paper(point, corner) for point in facet.ring]], surface.fill)
    for facet in facets:
        for start, end in facet.mesh:
            mm.line([on_paper(start, corner), on_paper(end, corner)], surface.mesh)
    for facet in facets:
        for run in _drawn_edges(facet):
            mm.line([on_paper(point, corner) for point in run], surface.edge)


def _drawn_edges(facet: Facet) -> Iterator[list[Vec]]:
    """The outline without seams, as lines."""
    run: list[Vec] = []
    for i, drawn in enumerate(facet.edges):
        if drawn:
            run = run or [facet.ring[i]]
            run.append(facet.ring[(i + 1) % len(facet.ring)])
        elif run:
            yield run
            run = []
    if run:
        yield run
