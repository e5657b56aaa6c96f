"""The pictures of the leaflets: as the program draws everywhere, of invented examples."""

from functools import cache

from builds.drawing.plan import plan_picture
from builds.drawing.sheets import sheet_picture
from builds.drawing.steps import step_picture
from builds.leaflets.paper.values import LeafletPicture, Sketching
from builds.making.reckoning import Reckoning, plan_of
from builds.making.starters import USUAL_PANEL, Starter, starters
from builds.sheets import WORK, as_cut, sheet_plan
from habitats.decimals import fixed
from habitats.drawing.fault_places import Marked, floor_drawing
from habitats.drawing.linen_line import LinenLine, linen_line_picture
from habitats.drawing.linen_stock import StockDay, StockPlot, stock_picture
from habitats.drawing.panels_in_a_row import panels_in_a_row
from habitats.drawing.weights import AxisTick, Weighed, Weights, weights_picture
from habitats.measures import lengths_in
from habitats.rescue.pages.floor_pictures import picture_of, residence_by
from habitats.structure.structure import Structure
from habitats.welfare.rooms import room_of
from habitats.welfare.space import judged
from habitats.welfare.values import Resident, Verdict
from habitats.wording import message

FLOOR_MM = 4.5  # to a unit of the picture
SPARE = 1.1  # of the floor that is needed: white that is seen
# An animal's grams by day; the last weighing is so low that the picture rings it.
WEIGHED = ((0, 905), (7, 920), (14, 930), (21, 925), (28, 820))
# Clean linens at the end of each day, and enclosures that find none.
AHEAD = ((14, 0), (11, 0), (8, 0), (16, 0), (12, 0), (8, 0), (13, 0), (9, 0), (4, 0), (0, 2))
WASH_DAYS = (3, 6)
LINE_WIDTH = 400.0
MOST_TRIED = 12
FEW = 2  # connectors: a guard's, not a wall's


# --- Coordinators ---


def comparing_space(sketching: Sketching) -> LeafletPicture:
    """Too little: what is lacking hangs over the edge."""
    structure = _starter("rectangle-2-3").structure
    return LeafletPicture(
        _floor(structure, _one_too_many(structure, sketching), sketching),
        message(
            "A floor to scale: one hatch for each animal’s need. What hangs over the edge is "
            "missing."
        ),
    )


def reading_plans(sketching: Sketching) -> tuple[LeafletPicture, ...]:
    plan = plan_picture(_starter("ell").structure, 0, lengths=lengths_in(sketching.units))
    return (
        LeafletPicture(
            plan,
            message("A plan from above: walls, the tray inside them, and its measures."),
        ),
        _measuring(sketching),
    )


# --- Builders ---


def growing(sketching: Sketching) -> LeafletPicture:
    """A step that puts up walls: thin what stands, strong what is new."""
    reckoning = _reckoned(sketching.units)
    steps = reckoning.steps
    # The walls of the upper level: much stands already, and there are ties to pull.
    shown = max(number for number, step in enumerate(steps) if len(step.puts.joints) > FEW)
    picture = step_picture(
        reckoning.structure, reckoning.blanks, steps, shown, lengths=lengths_in(sketching.units)
    )
    return LeafletPicture(
        picture,
        message(
            "A step: thin is what stands, strong is what is new. The pin on a connector shows "
            "which way its ribs point."
        ),
    )


def cutting_sheets(sketching: Sketching) -> tuple[LeafletPicture, ...]:
    laid = sheet_plan(_reckoned(sketching.units).blanks.blanks, work=WORK)
    picture = sheet_picture(
        laid.plan.sheets[0], laid.names.__getitem__, str, lengths=lengths_in(sketching.units)
    )
    return (
        LeafletPicture(
            picture,
            message("A sheet plan: lay the straightedge and cut 1, 2, 3. Hatched is an offcut."),
        ),
        _measuring(sketching),
    )


def _measuring(sketching: Sketching) -> LeafletPicture:
    return LeafletPicture(
        panels_in_a_row(sketching.units),
        message("Measuring a panel: five in a row, from first to last wire, divided by five."),
    )


# --- Fosters ---


def living_here(sketching: Sketching) -> LeafletPicture:
    return LeafletPicture(
        _floor(_roomy(2, sketching), 2, sketching),
        message(
            "Your enclosure from above: the hatches are what each animal needs. White floor is "
            "free."
        ),
    )


def watching(sketching: Sketching) -> tuple[LeafletPicture, ...]:
    (_day, before), (last, after) = WEIGHED[-2:]
    fell = f"{fixed(round(1000 * (before - after) / before), 1)} %"
    days = [Weighed(day, grams, fell if day == last else "") for day, grams in WEIGHED]
    weeks = [
        AxisTick(day, message("week %(number)d", number=number))
        for number, (day, _grams) in enumerate(WEIGHED, 1)
    ]
    weights = weights_picture(
        Weights(days, ticks=weeks),
        title=message("An animal’s weights"),
        description=message("Five weighings; the last one is much lower, and is ringed."),
    )
    structure = _starter("upper-level").structure
    size = structure.design.panel.size_mm
    places = floor_drawing(
        structure,
        0,
        [Marked(size * 2, 60, message("sharp wire"))],
        title=message("The place of a fault"),
        description=message("The floor from above, with a ring where the fault is."),
    )
    return (
        LeafletPicture(
            weights,
            message("Weights: a ring marks a loss that calls for a vet. Call the same day."),
        ),
        LeafletPicture(
            places.svg, message("A fault: tap its place on the floor, seen from above.")
        ),
    )


# --- The laundry ---


def on_the_line(sketching: Sketching) -> LeafletPicture:
    line = LinenLine(clean=9, in_use=12, soiled=7, washing=5, drying=4, apart_soiled=2, new=3)
    return LeafletPicture(
        linen_line_picture(line, title=message("The linens of a pool"), width=LINE_WIDTH),
        message(
            "The linen line: all linens of a pool, by where they are. Cross-hatched ones are set "
            "aside and washed apart."
        ),
    )


def days_ahead(sketching: Sketching) -> tuple[LeafletPicture, ...]:
    days = [
        StockDay(clean, short, number in WASH_DAYS) for number, (clean, short) in enumerate(AHEAD)
    ]
    picture = stock_picture(
        StockPlot(days, [AxisTick(0, message("today")), AxisTick(7, message("in a week"))]),
        title=message("The days ahead of one size"),
        description=message(
            "Clean linens fall from day to day and rise on wash days, until two enclosures find "
            "none."
        ),
    )
    return (
        LeafletPicture(
            picture,
            message("The days ahead: dots are wash days. Below the line enclosures go without."),
        ),
        LeafletPicture(
            linen_line_picture(
                LinenLine(
                    clean=2,
                    in_use=12,
                    soiled=16,
                    washing=4,
                    dry=message("Runs out in three days."),
                    is_dry=True,
                ),
                title=message("The linens of a pool that runs out"),
                width=LINE_WIDTH,
            ),
            message("Many are soiled and few are clean: the line below says when they run out."),
        ),
    )


# --- What they are made of ---


@cache
def _starter(code: str) -> Starter:
    return next(one for one in starters(USUAL_PANEL) if one.code == code)


@cache
def _reckoned(units: str) -> Reckoning:
    """The build that its pictures are taken from, told in these units."""
    shape = _starter("upper-level").shape
    return plan_of(shape, lengths=lengths_in(units), lay=as_cut)


def _floor(structure: Structure, animals: int, sketching: Sketching) -> str:
    """With so many grown guinea pigs, by the rescue's standard."""
    verdict = _judged(structure, animals, sketching)
    names = [message("animal")] * animals
    residence = residence_by(structure, verdict)
    return picture_of(residence, structure.design.name, names, sketching.units, FLOOR_MM)


def _roomy(animals: int, sketching: Sketching) -> Structure:
    """The smallest rectangle with floor to spare for so many; else the largest."""
    found = [one.structure for one in starters(USUAL_PANEL) if one.code.startswith("rectangle")]
    return next(
        (
            one
            for one in found
            if (verdict := _judged(one, animals, sketching)).required_mm2 * SPARE
            < verdict.counted_mm2
        ),
        found[-1],
    )


def _one_too_many(structure: Structure, sketching: Sketching) -> int:
    """As many as do not fit any more."""
    return next(
        number
        for number in range(2, MOST_TRIED)
        if (verdict := _judged(structure, number, sketching)).required_mm2 > verdict.counted_mm2
    )


def _judged(structure: Structure, animals: int, sketching: Sketching) -> Verdict:
    rules = sketching.rules
    return judged(rules, rules.species, room_of(structure), [Resident()] * animals)
