"""Every figure with its source, gathered from the packages that compute with them."""

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from builds.making.sources import (
    care_figures,
    caution_figures,
    sheet_figures,
    tie_figures,
    time_figures,
)
from builds.packing.sources import kit_figures
from habitats.drawing.sources import print_figures
from habitats.measures import METRIC
from habitats.rotation.sources import cloth_figures, laundry_figures, wash_figures
from habitats.source import KNOWN_WORDS, CitedFigure, Known, Source
from habitats.structure.sources import ramp_figures, wall_figures
from habitats.upkeep.sources import upkeep_figures
from habitats.welfare.rule_set_lines import standard_figures
from habitats.welfare.sources import (
    adoption_figures,
    company_figures,
    quarantine_figures,
    weight_figures,
)
from habitats.welfare.values import Species
from habitats.wording import message

COMMON_PRACTICE = "common-practice"


class Grade(NamedTuple):
    """How well a figure may be known; ``code`` is its anchor."""

    code: str
    words: str


GRADES = tuple(
    Grade(COMMON_PRACTICE if known is Known.PRACTICE else f"known-{known.value}", words)
    for known, words in KNOWN_WORDS.items()
)


class Chapter(NamedTuple):
    code: str
    heading: str
    figures: tuple[CitedFigure, ...]


@cache
def chapters(units: str = METRIC) -> tuple[Chapter, ...]:
    """All there is, from the floor up to the kit."""
    return (
        Chapter(
            "guinea-pigs",
            message("Space standards, guinea pigs"),
            standard_figures(Species.GUINEA_PIG, units),
        ),
        Chapter(
            "rabbits", message("Space standards, rabbits"), standard_figures(Species.RABBIT, units)
        ),
        Chapter("company", message("Company of animals"), company_figures()),
        Chapter("quarantine", message("Quarantine"), quarantine_figures()),
        Chapter("adoption", message("Adoption"), adoption_figures()),
        Chapter("weights", message("Weights and growth"), weight_figures()),
        Chapter("ramps", message("Ramps and doorways"), ramp_figures(units)),
        Chapter("walls", message("Panels, walls and floors"), wall_figures(units)),
        Chapter("sheet", message("Sheet, trays and ties"), (*sheet_figures(units), *tie_figures())),
        Chapter("times", message("Working times"), time_figures()),
        Chapter("cloth", message("Cloth"), cloth_figures(units)),
        Chapter(
            "laundry", message("Changes and laundry"), (*laundry_figures(units), *wash_figures())
        ),
        Chapter("labels", message("Printed labels"), print_figures(units)),
        Chapter("upkeep", message("Faults and safety checks"), upkeep_figures()),
        Chapter("cautions", message("Cautions in the packet"), caution_figures()),
        Chapter("care", message("First use and care"), care_figures()),
        Chapter("kits", message("Adoption kits"), kit_figures()),
    )


def every_figure() -> Iterator[CitedFigure]:
    return (one for chapter in chapters() for one in chapter.figures)


@cache
def _by_code() -> dict[str, CitedFigure]:
    return {one.code: one for one in every_figure()}


@cache
def _by_source() -> dict[Source, CitedFigure]:
    """The first figure of each source that names a publication."""
    found: dict[Source, CitedFigure] = {}
    for one in every_figure():
        if one.source.text:
            found.setdefault(one.source, one)
    return found


class SourceLink(NamedTuple):
    """Where a link leads to; ``is_practice``: the words "common practice" follow."""

    code: str
    is_practice: bool


def link_for(said: object) -> SourceLink | None:
    """The place of a figure on the page of sources.

    ``said`` is a code, a source, or anything with a ``code``, an ``id``, a ``base`` or a
    ``source``. What is common practice without a figure leads to what that means; what else has
    none has no link.
    """
    source = said if isinstance(said, Source) else getattr(said, "source", None)
    if isinstance(source, Source) and source in _by_source():
        return _to(_by_source()[source])
    names = [said, *(getattr(said, name, None) for name in ("code", "id", "base"))]
    codes = [one for one in names if isinstance(one, str)]
    found = next((_by_code()[one] for one in codes if one in _by_code()), None)
    if not isinstance(source, Source):
        return _to(found) if found else None
    if found and found.source.known is source.known:
        return _to(found)
    return SourceLink(COMMON_PRACTICE, True) if source.known is Known.PRACTICE else None


def _to(found: CitedFigure) -> SourceLink:
    return SourceLink(found.code, is_practice=found.source.known is Known.PRACTICE)
