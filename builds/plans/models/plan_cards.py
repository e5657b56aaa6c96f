"""A design's steps, parts and inspection points as they are kept with a build."""

import json
from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict
from functools import lru_cache, partial
from typing import Any, NamedTuple

from builds.common.reckonings import WhatStands, alteration_of
from builds.drawing.altering import alteration_step_picture, alteration_views
from builds.drawing.dimension import Lengths
from builds.drawing.second_pictures import second_picture
from builds.drawing.steps import Views, step_picture, step_views
from builds.making.altering.alteration import Alteration
from builds.making.altering.lists import parts_to_fetch
from builds.making.altering.order import Order, order_of_alteration
from builds.making.blank import SheetSize
from builds.making.inspection import inspection_list
from builds.making.pace import WorkPace
from builds.making.parts import Part
from builds.making.reckoning import Reckoning, plan_of, told_in
from builds.making.step import Step
from builds.making.step_keys import coded
from builds.sheets import as_cut
from habitats import measures
from habitats.designs.models.structures import limits
from habitats.people.models.people import Person
from habitats.stored_pictures import NO_PICTURE, StoredPicture, stored_picture
from habitats.stored_wording import AsJson, all_from_json, all_to_json, from_json, to_json
from habitats.structure.design import Design as Shape
from habitats.structure.design import Limits

UNITS = tuple(Person.Units.values)
KEPT = 8  # a plan with its pictures takes a few megabytes


class StoredStepCard(NamedTuple):
    """``card`` is all that a step says; ``pictures`` has one for each way to read lengths.

    Where a step needs a second one, it is kept beside the first, under ``second_of``.
    """

    card: dict[str, Any]
    pictures: dict[str, StoredPicture]


class Cards(NamedTuple):
    """What a build is told by: its steps in order, its part list, the points of its inspection."""

    steps: tuple[StoredStepCard, ...]
    parts: list[dict[str, Any]]
    points: list[dict[str, str]]


def cards_of(shape: Shape, sheet: SheetSize, stands: WhatStands | None = None) -> Cards:
    """The design told, cut from this sheet; with ``stands``, the alteration of that into it.

    Kept at hand, as builds of one design come together: what is returned is not to be changed.
    Raises ``BadDesign`` for one that cannot stand, and for two that do not go together.
    """
    return _cached_cards(shape, sheet, stands, limits())


@lru_cache(maxsize=KEPT)
def _cached_cards(
    shape: Shape, sheet: SheetSize, stands: WhatStands | None, _limits: Limits
) -> Cards:
    if stands is not None:
        return _altering(shape, sheet, stands)
    read = _plans(shape, sheet)
    any_units = read[UNITS[0]]
    numbers = range(len(any_units.steps))
    views = step_views(any_units.structure, any_units.steps)
    return Cards(
        steps=tuple(_step(read, number, views) for number in numbers),
        parts=kept_parts(any_units.parts.parts),
        points=[point._asdict() for point in inspection_list(any_units.structure)],
    )


def kept_parts(parts: Iterable[Part]) -> list[dict[str, Any]]:
    """As a plan keeps them: codes and numbers. Notes are told with today's part list alone."""
    return [
        {name: value for name, value in asdict(part).items() if name != "note"} for part in parts
    ]


def step_cards_of(
    shape: Shape, sheet: SheetSize, stands: WhatStands | None = None
) -> list[dict[str, Any]]:
    """The cards of the steps alone, without the time that their pictures take."""
    if stands is not None:
        alteration = alteration_of(stands, shape, sheet)
        orders = {units: _ordered(alteration, units) for units in UNITS}
        return cards_of_steps({units: one.steps for units, one in orders.items()})
    return cards_of_steps({units: one.steps for units, one in _plans(shape, sheet).items()})


def _altering(shape: Shape, sheet: SheetSize, stands: WhatStands) -> Cards:
    alteration = alteration_of(stands, shape, sheet)
    orders = {units: _ordered(alteration, units) for units in UNITS}
    cards = cards_of_steps({units: one.steps for units, one in orders.items()})
    views = alteration_views(alteration, orders[UNITS[0]])
    return Cards(
        steps=tuple(
            StoredStepCard(card, _pictures_of_alteration(alteration, orders, number, views))
            for number, card in enumerate(cards)
        ),
        parts=kept_parts(parts_to_fetch(alteration)),
        points=[point._asdict() for point in inspection_list(alteration.target)],
    )


def _ordered(alteration: Alteration, units: str) -> Order:
    return order_of_alteration(alteration, lengths=partial(measures.length, units=units))


def _pictures_of_alteration(
    alteration: Alteration, orders: dict[str, Order], number: int, views: Views
) -> dict[str, StoredPicture]:
    def picture(units: str, lengths: Lengths) -> str:
        return alteration_step_picture(
            alteration, orders[units], number, lengths=lengths, views=views
        )

    def second(units: str, lengths: Lengths) -> str:
        step = orders[units].steps[number]
        return second_picture(alteration.target, alteration.wanted.blanks, step, lengths=lengths)

    return _pictures({units: one.steps[number] for units, one in orders.items()}, picture, second)


def _plans(shape: Shape, sheet: SheetSize) -> dict[str, Reckoning]:
    """The design worked out once, and told once for each way to read lengths."""
    first, *others = UNITS
    lengths = {units: partial(measures.length, units=units) for units in UNITS}
    plan = plan_of(shape, limits(), sheet=sheet, lengths=lengths[first], lay=as_cut)
    return {first: plan} | {units: told_in(plan, lengths[units]) for units in others}


def second_of(units: str) -> str:
    """The key of a step's second picture, beside that of its first, which is the units' own."""
    return f"{units} second"


def _pictures(
    steps: dict[str, Step],
    draw: Callable[[str, Lengths], str],
    draw_second: Callable[[str, Lengths], str],
) -> dict[str, StoredPicture]:
    """The first and the second picture, each for each way to read lengths."""
    seconds = _each_way(steps, draw_second)
    return _each_way(steps, draw) | {second_of(units): one for units, one in seconds.items()}


def _each_way(
    steps: dict[str, Step], draw: Callable[[str, Lengths], str]
) -> dict[str, StoredPicture]:
    """One for each way to read lengths, or none; drawn once where it tells none."""
    pictures: dict[str, StoredPicture] = {}
    alike: dict[str, StoredPicture] = {}  # by the title, where no length was asked for
    for units, step in steps.items():
        title = json.dumps(to_json(step.title))
        if title not in alike:
            lengths = _LengthsAsked(units)
            pictures[units] = stored_picture(partial(draw, units, lengths))
            if not lengths.any:
                alike[title] = pictures[units]
        else:
            pictures[units] = alike[title]
    return {units: one for units, one in pictures.items() if one != NO_PICTURE}


class _LengthsAsked:
    """Writes lengths in these units, and knows whether it wrote any."""

    def __init__(self, units: str) -> None:
        self._units, self.any = units, False

    def __call__(self, mm: int) -> str:
        self.any = True
        return measures.length(mm, self._units)


def cards_of_steps(read: dict[str, Sequence[Step]]) -> list[dict[str, Any]]:
    """What the steps say, from the same steps told once for each way to read lengths."""
    numbers = range(len(read[UNITS[0]]))
    return [_card({units: steps[at] for units, steps in read.items()}) for at in numbers]


def _step(read: dict[str, Reckoning], number: int, views: Views) -> StoredStepCard:
    steps = {units: one.steps[number] for units, one in read.items()}

    def picture(units: str, lengths: Lengths) -> str:
        one = read[units]
        return step_picture(
            one.structure, one.blanks, one.steps, number, lengths=lengths, views=views
        )

    def second(units: str, lengths: Lengths) -> str:
        one = read[units]
        return second_picture(one.structure, one.blanks, one.steps[number], lengths=lengths)

    return StoredStepCard(_card(steps), _pictures(steps, picture, second))


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
        **_taken_off(step),
        "tools": [tool.what for tool in step.tools],
        "minutes": step.minutes,
        "people": step.people,
        "bench": step.bench,
        "facts": coded(step.facts),
    }


def paced_card(card: dict[str, Any], pace: WorkPace) -> dict[str, Any]:
    """The card with the rescue's own time; ``table_minutes`` is what it is learnt from."""
    table, facts = card["minutes"], card["facts"]
    minutes = pace.minutes(facts[0] if facts else "", table)
    return card if minutes == table else {**card, "minutes": minutes, "table_minutes": table}


def kept_card(card: dict[str, Any]) -> dict[str, Any]:
    """The card as JSON, its sentences with their patterns; nothing else of it is changed."""
    return {
        **card,
        "title": {units: to_json(title) for units, title in card["title"].items()},
        **{name: _kept_lists(card[name]) for name in ("instructions", "cautions")},
        "tools": all_to_json(card["tools"]),
    }


def _kept_lists(read: dict[str, list[str]]) -> dict[str, list[AsJson]]:
    return {units: all_to_json(sentences) for units, sentences in read.items()}


def read_card(card: dict[str, Any], units: str) -> dict[str, Any]:
    """A card that was kept, for one who reads lengths in these units."""
    return {
        **card,
        "title": from_json(card["title"][units]),
        **{name: all_from_json(card[name][units]) for name in ("instructions", "cautions")},
        "tools": all_from_json(card["tools"]),
    }


def _taken_off(step: Step) -> dict[str, Any]:
    """What comes off, for the steps in which anything does."""
    if not step.removes:
        return {}
    return {"removes": [{"what": one.what, "count": one.count} for one in step.removes]}
