"""Who has how much floor: an enclosure's floor to scale, with what its animals need laid on it.

What the rule set asks for is hatched, one slab and one hatch an animal, each with its number;
what is free stays white; what is lacking hangs over the edge, to the same scale. Upper levels lie
beside the ground: white in full line as far as they count, without filling in broken line beyond.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from itertools import accumulate, pairwise
from typing import NamedTuple

from habitats import measures
from habitats.drawing.north import north_mark
from habitats.drawing.pen import Anchor, BoundsPen, Pen, Ring, Scaled
from habitats.drawing.slabs import Floor, Slabs, slabs_of
from habitats.drawing.styles import Letter, Style
from habitats.drawing.svg import Drawn, drawn, named
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure
from habitats.structure.tray import Tray
from habitats.wording import joined, message

MM_PER_UNIT = 10.0
APART_MM = 150  # from the ground, and what hangs over it, to the upper levels
BADGE = 7.5  # radius of the disc under an animal's number, in units of the picture
LETTER_HEIGHT = 16.0
NORTH_RADIUS = 8.0
KEPT = 2048
SHARES = (Style.SHARE_1, Style.SHARE_2, Style.SHARE_3, Style.SHARE_4)
KEY = (
    (message("needed, one hatch for each animal"), (Style.SHARE_1, Style.SHARE_2), Style.INK),
    (message("free"), (Style.PAPER,), Style.INK),
    (message("missing floor"), (Style.LACKING,), None),
    (message("upper level, not counted"), (), Style.HIDDEN),
)
KEY_WIDTH, KEY_HEIGHT = 34.0, 15.0


@dataclass(frozen=True, slots=True)
class Residence:
    """An enclosure's floors, the ground first, and the floor that each of its animals needs.

    ``credit_mm2``: how much of the upper levels counts towards that.
    """

    floors: tuple[Floor, ...]
    shares_mm2: tuple[int, ...] = ()
    credit_mm2: int = 0

    @property
    def ground_mm2(self) -> int:
        return round(_slabs_of(self.floors[0]).area)

    @property
    def asked_mm2(self) -> int:
        return sum(self.shares_mm2)

    @property
    def counted_mm2(self) -> int:
        return self.ground_mm2 + self.credit_mm2

    @property
    def free_mm2(self) -> int:
        return max(0, self.counted_mm2 - self.asked_mm2)

    @property
    def lacking_mm2(self) -> int:
        return max(0, self.asked_mm2 - self.counted_mm2)


def floors_of(structure: Structure) -> tuple[Floor, ...]:
    """The inside of each level's tray, as ``Residence`` has it."""
    return tuple(_floor(tray) for tray in structure.trays)


def residence_picture(
    residence: Residence,
    *,
    title: str,
    description: str,
    lacking: str = "",
    mm_per_unit: float = MM_PER_UNIT,
    has_north: bool = False,
) -> str:
    """SVG to a scale that makes pictures compare. ``lacking`` stands at what hangs over.

    ``has_north``: for a picture that somebody takes to the enclosure.
    """
    # As its reader is told, since it is kept by it.
    picture = _drawn(residence, str(lacking), mm_per_unit, has_north)
    return named(picture, title, description, kind="residence")


@lru_cache(maxsize=KEPT)
def _drawn(residence: Residence, lacking: str, mm_per_unit: float, has_north: bool) -> Drawn:
    """Kept: many enclosures of a rescue are alike, and so are those who live in them."""

    def draw(pen: Pen) -> None:
        mm = Scaled(pen, 1 / mm_per_unit)
        draw_residence(mm, residence, lacking)
        if has_north:
            _draw_north(pen, mm, residence.floors[0])

    return drawn(draw)


def describe(residence: Residence, names: Sequence[str], units: str = measures.METRIC) -> str:
    """The same in words: the floor, who needs how much of it, what is free or lacking."""
    floor = measures.area(residence.ground_mm2, units)
    words = [message("Floor of %(area)s, seen from above.", area=floor)]
    needs = [
        joined(" ", [str(number), name, measures.area_needed(share, units)])
        for number, (name, share) in enumerate(zip(names, residence.shares_mm2, strict=True), 1)
    ]
    if needs:
        words.append(message("Needed: %(needs)s.", needs=joined(", ", needs)))
    if residence.credit_mm2:
        credit = measures.area(residence.credit_mm2, units)
        words.append(message("Of the upper levels %(area)s counts.", area=credit))
    if residence.lacking_mm2:
        lack = measures.area_needed(residence.lacking_mm2, units)
        words.append(message("%(area)s too small.", area=lack))
    else:
        free = measures.area(residence.free_mm2, units)
        words.append(message("Free: %(area)s.", area=free))
    return joined(" ", words)


@lru_cache(maxsize=KEPT)
def widest_mm(residence: Residence) -> float:
    """How wide or high it is drawn, whichever is more, lettering left out."""
    bounds = BoundsPen(ink=False)
    draw_residence(Scaled(bounds, 1), residence)
    left, top, right, bottom = bounds.box or (0.0, 0.0, 0.0, 0.0)
    return max(right - left, bottom - top)


class KeyEntry(NamedTuple):
    """A sample of one sort of floor as SVG, and what it means."""

    picture: str
    words: str


def residence_key() -> tuple[KeyEntry, ...]:
    """What the sorts of floor look like, in the words that stand beside them."""
    return tuple(
        KeyEntry(named(_sample(fills, edge), words, "", kind="key"), words)
        for words, fills, edge in KEY
    )


@cache
def _sample(fills: tuple[Style, ...], edge: Style | None) -> Drawn:
    return drawn(partial(_draw_sample, fills, edge))


def _draw_sample(fills: Sequence[Style], edge: Style | None, pen: Pen) -> None:
    """The fillings side by side in one frame."""
    width = KEY_WIDTH / max(1, len(fills))
    for number, style in enumerate(fills):
        pen.area([_frame(number * width, width)], style)
    if edge:
        ring = _frame(0, KEY_WIDTH)
        pen.line([*ring, ring[0]], edge)


def _frame(left: float, width: float) -> Ring:
    right = left + width
    return [(left, 0.0), (right, 0.0), (right, KEY_HEIGHT), (left, KEY_HEIGHT)]


def draw_residence(mm: Scaled, residence: Residence, lacking: str = "") -> None:
    laid = list(_laid(residence))
    for floor, slabs, first, counts in laid:
        _draw_floor(mm, floor, slabs, counts)
        _draw_shares(mm, slabs, residence.shares_mm2, first, counts)
        _draw_outline(mm, floor, slabs, counts)
    if residence.lacking_mm2:
        _draw_lacking(mm, laid[0][1], residence, lacking)


def _draw_north(pen: Pen, mm: Scaled, ground: Floor) -> None:
    """Left of the ground's north-west corner, where nothing else is drawn."""
    west = min(x for ring in ground for x, _y in ring)
    north = min(y for ring in ground for _x, y in ring)
    x, y = mm.at((west, north))
    north_mark(pen, (x - 1.75 * NORTH_RADIUS, y + 2.5 * NORTH_RADIUS), radius=NORTH_RADIUS)


def _draw_floor(mm: Scaled, floor: Floor, slabs: Slabs, counts: float) -> None:
    """What counts of it, white; nothing where nothing does."""
    if counts:
        mm.area(floor if counts == slabs.area else slabs.between(0, counts), Style.PAPER)


def _draw_outline(mm: Scaled, floor: Floor, slabs: Slabs, counts: float) -> None:
    for ring in floor:
        if counts in (0, slabs.area):
            mm.line([*ring, ring[0]], Style.INK if counts else Style.HIDDEN)
            continue
        counted, others = slabs.parted(ring, counts)
        for lines, style in ((others, Style.HIDDEN), (counted, Style.INK)):
            for line in lines:
                mm.line(line, style)
    if 0 < counts < slabs.area:
        for line in slabs.across(counts):
            mm.line(line, Style.INK)


def _laid(residence: Residence) -> Iterator[tuple[Floor, Slabs, float, float]]:
    """Each floor where it is drawn, its slabs, at which area it begins and how much counts."""
    ground = residence.floors[0]
    slabs = _slabs_of(ground)
    yield ground, slabs, 0, slabs.area
    first, credit = slabs.area, float(residence.credit_mm2)
    left = _right_end(residence) + APART_MM
    top = min(y for ring in ground for _x, y in ring)
    for upper in residence.floors[1:]:
        moved = _moved(upper, left, top)
        slabs = _slabs_of(moved)
        counts = min(credit, slabs.area)
        yield moved, slabs, first, counts
        first, credit = first + counts, credit - counts
        left = max(x for ring in moved for x, _y in ring) + APART_MM


def _right_end(residence: Residence) -> float:
    """Of the ground and of what hangs over it."""
    rings: list[Ring] = list(residence.floors[0])
    if residence.lacking_mm2:
        rings.append(_slabs_of(residence.floors[0]).beyond(residence.lacking_mm2))
    return max(x for ring in rings for x, _y in ring)


def _moved(floor: Floor, left: float, top: float) -> Floor:
    by_x = left - min(x for ring in floor for x, _y in ring)
    by_y = top - min(y for ring in floor for _x, y in ring)
    return tuple(tuple((x + by_x, y + by_y) for x, y in ring) for ring in floor)


def _draw_shares(
    mm: Scaled, slabs: Slabs, shares_mm2: Sequence[int], first: float, counts: float
) -> None:
    """Slabs of those animals whose share comes to lie on this floor."""
    ends = [min(max(end - first, 0.0), counts) for end in accumulate(shares_mm2, initial=0)]
    badges = []
    for number, (least, most) in enumerate(pairwise(ends)):
        if least == most:
            continue
        rings = slabs.between(least, most)
        mm.area(rings, SHARES[number % len(SHARES)])
        for line in slabs.across(most):
            mm.line(line, Style.THIN)
        badges.append((str(number + 1), max(rings, key=_room)))
    for words, ring in badges:
        _draw_badge(mm, ring, words)


def _draw_badge(mm: Scaled, ring: Ring, words: str) -> None:
    """An animal's number on its slab, where there is room for it."""
    if _room(ring) * mm.scale < 2 * BADGE:
        return
    (x1, y1), _, (x2, y2), _ = ring
    centre = ((x1 + x2) / 2, (y1 + y2) / 2)
    mm.circle(centre, BADGE / mm.scale, Style.PAPER)
    mm.text((centre[0], centre[1] + 4 / mm.scale), words, Letter.FIGURE)


def _room(ring: Ring) -> float:
    """The shorter side of a rectangle."""
    (x1, y1), _, (x2, y2), _ = ring
    return min(abs(x2 - x1), abs(y2 - y1))


def _draw_lacking(mm: Scaled, slabs: Slabs, residence: Residence, words: str) -> None:
    """One hatch for all of it, parted by animal: who has no floor is numbered here."""
    ring = slabs.beyond(residence.lacking_mm2)
    mm.area([ring], Style.LACKING)
    ends = [max(end - residence.counted_mm2, 0) for end in accumulate(residence.shares_mm2)]
    for number, (least, most) in enumerate(pairwise([0, *ends]), 1):
        if least < most:
            part = slabs.beyond(most, least)
            mm.line(part[1:3], Style.THIN)
            _draw_badge(mm, part, str(number))
    if words:
        _draw_words_beside(mm, ring, slabs, words)


def _draw_words_beside(mm: Scaled, ring: Ring, slabs: Slabs, words: str) -> None:
    """Above what hangs over the north edge, else under all of the ground."""
    xs, ys = ([point[axis] for point in ring] for axis in (0, 1))
    if slabs.towards is Side.N:
        mm.text((min(xs), min(ys) - 5 / mm.scale), words, Letter.ALARM, Anchor.START)
        return
    lowest = max(y for one in slabs.between(0, slabs.area) for _x, y in one)
    under = max(lowest, *ys) + LETTER_HEIGHT / mm.scale
    if slabs.towards is Side.E:
        mm.text((max(xs), under), words, Letter.ALARM, Anchor.END)
    else:
        mm.text((min(xs), under), words, Letter.ALARM, Anchor.START)


@lru_cache(maxsize=KEPT)
def _slabs_of(floor: Floor) -> Slabs:
    return slabs_of(floor)


def _floor(tray: Tray) -> Floor:
    return tuple(tuple((float(wall.x1), float(wall.y1)) for wall in ring) for ring in tray.rings)
