"""The figures of making, each with its source: sheet, tape, ties, times, advice.

Every value is taken from where it is computed with.
"""

from collections.abc import Iterable, Mapping
from functools import partial

from builds.making import cautions, pace, times
from builds.making.advice import PRACTICE as NO_SOURCE
from builds.making.advice import Advice
from builds.making.blank import STOCK_SHEET
from builds.making.blanks import OVERLAP_MM, TAPE_ALLOWANCE_PERCENT
from builds.making.care import (
    FOOD_IN_SIGHT,
    RATED_LOAD,
    RINGWORM_CANIS,
    RINGWORM_TRICHOPHYTON,
    THERMAL,
    care_sheet,
    every_first_use_note,
)
from builds.making.feet import TIE_MM
from builds.making.joins import SHORTEST_TAB_MM
from builds.making.kinds import TIES_AT_FOOT, TIES_AT_HEAD, TIES_AT_OVERLAP
from builds.making.mendings import TRAY_PATCH
from builds.making.parts import TIE_NOTE
from builds.making.pattern import NOTCH_MM
from builds.making.strips import HOLE_FROM_SCORE_MM, HOLE_FROM_TOP_MM, HOLE_MM
from builds.making.ties import SPARE_PERCENT
from builds.making.walls import SHORTEST_FLAP_MM
from habitats.decimals import NO_BREAK
from habitats.measures import METRIC, length, size
from habitats.source import PRACTICE, CitedFigure, Known, Source, cited
from habitats.wording import message

TRADE_SIZE = Source(
    message("trade size of a 4 × 8 ft sheet, flutes along the long side"), Known.MEMORY
)
READ = (FOOD_IN_SIGHT, THERMAL, RATED_LOAD, RINGWORM_CANIS, RINGWORM_TRICHOPHYTON)
SOURCES: Mapping[str, Source] = {
    NO_SOURCE: PRACTICE,
    **{text: Source(text, Known.PRIMARY) for text in READ},
}


def sheet_figures(units: str = METRIC) -> tuple[CitedFigure, ...]:
    mm = partial(length, units=units)
    return (
        cited(
            "stock_sheet",
            message("Sheet, where none is in the store"),
            TRADE_SIZE,
            size((STOCK_SHEET.width_mm, STOCK_SHEET.height_mm), mm),
        ),
        cited("join_overlap", message("Overlap of joined pieces"), PRACTICE, mm(OVERLAP_MM)),
        cited(
            "tabs_and_flaps",
            message("Tabs and corner flaps"),
            PRACTICE,
            message(
                "tabs %(tab)s or more, flaps %(flap)s or more; both end %(notch)s before a fold",
                tab=mm(SHORTEST_TAB_MM),
                flap=mm(SHORTEST_FLAP_MM),
                notch=mm(NOTCH_MM),
            ),
        ),
        cited(
            "strip_holes",
            message("Holes in the head of a ramp's strip"),
            PRACTICE,
            message(
                "%(hole)s wide, %(top)s from the top, %(score)s from the score",
                hole=mm(HOLE_MM),
                top=mm(HOLE_FROM_TOP_MM),
                score=mm(HOLE_FROM_SCORE_MM),
            ),
        ),
        cited("tray_patch", message("Patch on a damaged tray"), PRACTICE, TRAY_PATCH),
        cited(
            "spare_tape", message("Spare tape"), PRACTICE, f"{TAPE_ALLOWANCE_PERCENT}{NO_BREAK}%"
        ),
    )


def tie_figures() -> tuple[CitedFigure, ...]:
    return (
        cited(
            "cable_ties",
            message("Cable ties"),
            Source(message("IEC 62275 for how strength is declared"), Known.PRACTICE),
            TIE_NOTE,
        ),
        cited(
            "ramp_ties",
            message("Ties at a ramp"),
            PRACTICE,
            message(
                "%(overlap)d at each overlap, %(head)d at the head, %(foot)d at the foot; joined "
                "end to end where the wall is farther than one of %(tie)d mm reaches",
                overlap=TIES_AT_OVERLAP,
                head=TIES_AT_HEAD,
                foot=TIES_AT_FOOT,
                tie=TIE_MM,
            ),
        ),
        cited("spare_ties", message("Spare ties"), PRACTICE, f"{SPARE_PERCENT}{NO_BREAK}%"),
    )


def time_figures() -> tuple[CitedFigure, ...]:
    """The chief of them: all are of one kind."""
    return (
        cited(
            "working_times",
            message("Working times, for a first build"),
            PRACTICE,
            message(
                "a panel %(panel)d s, a connector %(connector)d s, a tie %(tie)d s, a wire cut and "
                "filed %(wire)d s",
                panel=times.PANEL,
                connector=times.CONNECTOR,
                tie=times.TIE,
                wire=times.CUT_WIRE + times.FILED_WIRE,
            ),
            message(
                "a metre of sheet cut %(cut)d s, scored %(scored)d s, a corner taped %(taped)d s",
                cut=times.CUT_METRE_OF_SHEET,
                scored=times.SCORED_METRE,
                taped=times.TAPED_CORNER,
            ),
            message(
                "a panel bent %(bent)d s, a ramp hung %(hung)d s, a tray laid %(laid)d s, a point "
                "inspected %(point)d s",
                bent=times.BENT_PANEL,
                hung=times.HUNG_RAMP,
                laid=times.LAID_TRAY,
                point=times.INSPECTED_POINT,
            ),
        ),
        cited(
            "own_times",
            message("Estimates that follow the rescue's own times"),
            PRACTICE,
            message(
                "the median of time used against usual time, once %(least)d steps of a kind are "
                "timed, between %(low)d and %(high)d percent",
                least=pace.LEAST_STEPS,
                low=pace.LEAST_PERCENT,
                high=pace.MOST_PERCENT,
            ),
        ),
    )


def caution_figures() -> tuple[CitedFigure, ...]:
    """Every caution that stands where the hand is, and in front of the packet."""
    every = (one for one in vars(cautions).values() if isinstance(one, Advice))
    return advice_figures("caution", every, SOURCES)


def care_figures() -> tuple[CitedFigure, ...]:
    """First-use notes, then the care sheet."""
    return (
        *advice_figures("first-use", every_first_use_note(), SOURCES),
        *advice_figures("care", care_sheet(), SOURCES),
    )


def advice_figures(
    prefix: str, advice: Iterable[Advice], sources: Mapping[str, Source]
) -> tuple[CitedFigure, ...]:
    """Advice is its own sentence; one code may stand on several sheets, hence the prefix."""
    return tuple(cited(f"{prefix}-{one.code}", one.sentence, sources[one.source]) for one in advice)
