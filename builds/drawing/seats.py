"""How connectors sit: a letter at each in the picture, and below it each kind of seat as a detail.

Letters are those of ``builds.making.seats``, so that text and picture say the same.
"""

from collections.abc import Iterable, Iterator, Sequence
from math import cos, dist, pi, sin

from builds.drawing.corner import Scene
from builds.drawing.marks import AXES, MarkKind, disc, pin_of, point_of, tie_points
from builds.drawing.space import Corner, Vec, dot, on_paper, plus
from builds.making.seats import SEATS, seats_of
from habitats.drawing.pen import Pen, Point
from habitats.drawing.styles import Letter, Style
from habitats.structure.connectors import Stance

# A letter's box, and so far from the middle of its connector: the nearest that is free.
WIDTH, HEIGHT = 9.0, 11.0
REACHES = (14.0, 17.0, 21.0, 26.0, 32.0)
LETTERS_WEIGH = 4
FARTHEST = max(REACHES)
WAYS = 16
# A place so near is taken: by a connector, by the tip of its pin, by a tie or by a letter.
REACH_X, REACH_Y = (WIDTH / 2 + 7.0, HEIGHT / 2 + 7.0)
PIN_STOPS = (0.4, 0.7, 1.0)
CLEAR = 3.0

DETAIL_WIDTH = 50.0
DETAIL_RADIUS = 11.0
RIB_HEIGHT = 0.5  # in radii
PLATES = 4
MIDDLE: Vec = (0.0, 0.0, 0.0)


# --- Letters beside connectors ---


def draw_letters(pen: Pen, scene: Scene) -> None:
    """Each letter by its connector, on bare paper, clear of the other connectors and of ties.

    Where another connector is as near, a leader goes from the letter to its own.
    """
    for (x, y), stance, leads_to in _places(scene):
        if leads_to is not None:
            pen.line([leads_to, (x, y)], Style.THIN)
        box = [
            (x + dx * WIDTH / 2, y + dy * HEIGHT / 2)
            for dx, dy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
        ]
        pen.area([box], Style.PAPER)
        pen.text((x, y + 0.36 * Letter.SEAT.size), SEATS[stance].letter, Letter.SEAT)


def _places(scene: Scene) -> Iterator[tuple[Point, Stance, Point | None]]:
    """The middle of each letter, what it names, and whereto it needs a leader."""
    seats = scene.seats
    middles = {joint: scene.on_paper(point_of(joint)) for joint in sorted(seats)}
    taken = [*middles.values(), *_pins(scene)]
    taken += [scene.on_paper(at) for spot in scene.ties for at in tie_points(spot)]
    away = _middle([*middles.values()])
    letters: list[Point] = []
    for joint, own in middles.items():
        others = [one for one in middles.values() if one != own and dist(one, own) < 3 * FARTHEST]
        near = [one for one in taken if dist(one, own) < 2 * FARTHEST]
        # A letter on a letter is worst: neither can be read.
        at = _place(own, others, [*near, *(letters * LETTERS_WEIGH)], away)
        letters.append(at)
        needs_leader = any(dist(at, one) < dist(at, own) + CLEAR for one in others)
        yield at, seats[joint], own if needs_leader else None


def _place(own: Point, others: Sequence[Point], taken: Sequence[Point], away: Point) -> Point:
    """The nearest place that is free, as far outward as can be; else the least bad."""
    found = []
    for reach in REACHES:
        spots = (
            (own[0] + reach * cos(turn), own[1] + reach * sin(turn))
            for turn in (2 * pi * number / WAYS for number in range(WAYS))
        )
        against, spot = min((_against(spot, reach, others, taken, away), spot) for spot in spots)
        if against[:2] == (0, 0):
            return spot
        found.append((against, spot))
    return min(found)[1]


def _against(
    spot: Point, reach: float, others: Sequence[Point], taken: Sequence[Point], away: Point
) -> tuple[int, int, float, float]:
    """What speaks against a place: what it covers, nearer connectors; then far, then inward."""
    left, top = spot
    covers = len([1 for x, y in taken if abs(left - x) < REACH_X and abs(top - y) < REACH_Y])
    nearer = len([1 for one in others if dist(spot, one) < reach + CLEAR])
    return covers, nearer, reach, round(-dist(spot, away), 3)


def _pins(scene: Scene) -> Iterator[Point]:
    unit = MarkKind.NEW_JOINT.radius / scene.scale
    for joint, stance in scene.seats.items():
        start, end = (scene.on_paper(at) for at in pin_of(point_of(joint), stance, unit))
        for part in PIN_STOPS:
            yield start[0] + (end[0] - start[0]) * part, start[1] + (end[1] - start[1]) * part


def _middle(points: Sequence[Point]) -> Point:
    count = max(1, len(points))
    return sum(x for x, _y in points) / count, sum(y for _x, y in points) / count


# --- Details ---


def draw_details(pen: Pen, at: Point, stances: Iterable[Stance], corner: Corner) -> float:
    """Each seat once, large, seen from the same corner, in a row; returns the width used."""
    x, y = at
    for stance, seat in seats_of(stances):
        pen.text((x, y + 0.36 * Letter.SEAT.size), seat.letter, Letter.SEAT)
        _draw_seat(pen, (x + WIDTH + 1.5 * DETAIL_RADIUS, y), stance, corner)
        x += DETAIL_WIDTH
    return x - at[0]


def _draw_seat(pen: Pen, at: Point, stance: Stance, corner: Corner) -> None:
    """A disc with ribs and pin: before it where they look toward the viewer, else behind."""

    def on_page(points: Iterable[Vec]) -> list[Point]:
        flat = (on_paper(point, corner) for point in points)
        return [(at[0] + x, at[1] + y) for x, y in flat]

    def ribs() -> None:
        for plate in sorted(_plates(stance), key=lambda plate: dot(plate[1], corner.toward)):
            pen.area([on_page(plate)], Style.RIB)
        for style in (Style.GAP, Style.HEAVY):
            pen.line(on_page(pin_of(MIDDLE, stance, DETAIL_RADIUS)), style)

    is_toward = dot(AXES[stance.plane][2], corner.toward) * stance.ribs > 0
    if not is_toward:
        ribs()
    pen.area([on_page(disc(MIDDLE, stance, DETAIL_RADIUS))], Style.NEW_SOLID)
    if is_toward:
        ribs()


def _plates(stance: Stance) -> Iterator[list[Vec]]:
    """Ribs as plates that stand on the disc, from its middle to its rim."""
    across, up, out = AXES[stance.plane]
    top = stance.ribs * RIB_HEIGHT * DETAIL_RADIUS
    for number in range(PLATES):
        turn = 2 * pi * number / PLATES
        along = plus(plus(MIDDLE, across, cos(turn)), up, sin(turn))
        end = plus(MIDDLE, along, DETAIL_RADIUS)
        yield [MIDDLE, end, plus(end, out, top), plus(MIDDLE, out, top)]
