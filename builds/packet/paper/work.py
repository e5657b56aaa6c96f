"""The work as the packet tells it: pieces of work in order, each with its steps and what they need.

A piece of work is what is done in one place with one material. Sheet plans stand before the steps
that cut sheet, plans of the levels before those that put the enclosure up: nobody has to leaf.
"""

from collections.abc import Iterator, Sequence
from enum import Enum
from itertools import groupby

from builds.making.step import Step, Task, Work
from builds.packet.paper.values import Block, PieceOfWork, PlanCard, SheetCard, StepCard
from habitats.wording import message

OF_SHEET = frozenset((Work.CUT_BLANK, Work.FOLD_TRAY, Work.FOLD_STRIP))


class WorkPlace(Enum):
    """Where a piece of work is done, and with what."""

    WIRE = message("At the bench: parts and wire")
    SHEET = message("At the bench: sheet")
    BUILDING = message("Putting it together")
    ALTERING = message("At the enclosure")


def place_of(step: Step, *, altering: bool) -> WorkPlace:
    if not step.bench:
        return WorkPlace.ALTERING if altering else WorkPlace.BUILDING
    is_sheet = step.subject is not None and step.subject.work in OF_SHEET
    return WorkPlace.SHEET if is_sheet else WorkPlace.WIRE


def chapters_of(cards: Sequence[StepCard], *, altering: bool) -> tuple[PieceOfWork, ...]:
    """Steps in a row that are done in one place, counted from 1."""
    runs = groupby(cards, key=lambda card: place_of(card.step, altering=altering))
    return tuple(
        PieceOfWork(number, str(place.value), tuple(some))
        for number, (place, some) in enumerate(runs, start=1)
    )


def blocks_of(
    chapters: Sequence[PieceOfWork], sheets: Sequence[SheetCard], plans: Sequence[PlanCard]
) -> Iterator[Block]:
    """All that is printed of the work, in order; a chapter's first block has its heading."""
    with_sheets, with_plans = _cutting(chapters), _building(chapters)
    for chapter in chapters:
        blocks: list[Block] = []
        if chapter is with_sheets:
            blocks += [Block(sheet=card) for card in sheets]
        if chapter is with_plans:
            blocks += [Block(plan=card) for card in plans]
        blocks += [Block(step=card) for card in chapter.cards]
        yield from (
            Block(chapter if not at else None, one.sheet, one.plan, one.step)
            for at, one in enumerate(blocks)
        )


def _cutting(chapters: Sequence[PieceOfWork]) -> PieceOfWork | None:
    """Where sheet is cut first; the first chapter if no step does."""
    cut = (one for one in chapters if any(card.step.task == Task.CUT_BLANK for card in one.cards))
    return next(cut, next(iter(chapters), None))


def _building(chapters: Sequence[PieceOfWork]) -> PieceOfWork | None:
    """Where the work at the enclosure begins; the last chapter if none does."""
    at_it = (one for one in chapters if not one.cards[0].step.bench)
    return next(at_it, chapters[-1] if chapters else None)
