"""A design's steps, parts and inspection points as they are kept with a build."""

from dataclasses import asdict
from functools import partial
from typing import Any, NamedTuple

from builds.drawing.steps import step_picture
from builds.making.inspection import inspection_list
from builds.making.reckoning import Reckoning, reckon
from builds.making.step import Step
from habitats import measures
from habitats.models import Person
from habitats.models.structures import limits
from habitats.structure.design import Design as Shape

UNITS = tuple(Person.Units.values)


class StepCard(NamedTuple):
    """``card`` is all that a step says; ``pictures`` are SVG, one for each way to read lengths."""

    card: dict[str, Any]
    pictures: dict[str, str]


class Cards(NamedTuple):
    """What a build is told by: its steps in order, its part list, the points of its inspection."""

    steps: tuple[StepCard, ...]
    parts: list[dict[str, Any]]
    points: list[dict[str, str]]


def cards_of(shape: Shape) -> Cards:
    """The design told. Raises ``BadDesign`` for one that cannot stand."""
    read = {units: _reckoned(shape, units) for units in UNITS}
    any_units = read[UNITS[0]]
    numbers = range(len(any_units.steps))
    return Cards(
        steps=tuple(_step(read, number) for number in numbers),
        parts=[asdict(part) for part in any_units.parts.parts],
        points=[point._asdict() for point in inspection_list(any_units.structure)],
    )


def said_by(shape: Shape) -> list[dict[str, Any]]:
    """The cards of the steps alone, without the time that their pictures take."""
    read = {units: _reckoned(shape, units) for units in UNITS}
    numbers = range(len(read[UNITS[0]].steps))
    return [_card({units: one.steps[at] for units, one in read.items()}) for at in numbers]


def _reckoned(shape: Shape, units: str) -> Reckoning:
    return reckon(shape, limits(), lengths=partial(measures.length, units=units))


def _step(read: dict[str, Reckoning], number: int) -> StepCard:
    steps = {units: one.steps[number] for units, one in read.items()}
    pictures = {units: _picture(one, number, units) for units, one in read.items()}
    return StepCard(_card(steps), pictures)


def _card(steps: dict[str, Step]) -> dict[str, Any]:
    """What the step says; what hangs on how lengths are read, once for each way."""
    step = next(iter(steps.values()))
    return {
        "id": step.id,
        "title": {units: one.title for units, one in steps.items()},
        "instructions": {units: list(one.instructions) for units, one in steps.items()},
        "cautions": {units: list(one.cautions) for units, one in steps.items()},
        "needs": list(step.needs),
        "adds": [{"what": one.what, "count": one.count} for one in step.adds],
        "tools": list(step.tools),
        "minutes": step.minutes,
        "people": step.people,
        "bench": step.bench,
    }


def _picture(reckoning: Reckoning, number: int, units: str) -> str:
    return step_picture(
        reckoning.structure, reckoning.blanks, reckoning.steps, number,
        lengths=partial(measures.length, units=units),
    )  # fmt: skip
