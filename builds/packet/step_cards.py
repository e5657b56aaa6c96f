"""The steps of the packet, each with its picture and the steps it needs by their numbers."""

from collections.abc import Callable, Sequence

from builds.drawing.steps import step_picture
from builds.making.reckoning import Reckoning
from builds.making.step import Step, Work
from builds.packet.ink import inked
from builds.packet.options import Options, Section
from builds.packet.values import StepCard


def step_cards(reckoning: Reckoning, options: Options) -> tuple[StepCard, ...]:
    return cards_of(reckoning.steps, lambda index: _picture(reckoning, index, options), options)


def cards_of(
    steps: Sequence[Step], picture: Callable[[int], str], options: Options
) -> tuple[StepCard, ...]:
    """A card a step; ``picture`` gives the finished picture of the step with an index."""
    numbers = {step.id: number for number, step in enumerate(steps, start=1)}
    return tuple(
        StepCard(
            number=index + 1,
            step=step,
            needs=tuple(sorted(numbers[need] for need in step.needs)),
            picture=picture(index),
            blank=_blank_of(step) if Section.BLANKS in options.sections else None,
        )
        for index, step in enumerate(steps)
    )


def _blank_of(step: Step) -> int | None:
    """The number of the blank that a step cuts."""
    subject = step.subject
    return subject.index + 1 if subject and subject.work is Work.CUT_BLANK else None


def _picture(reckoning: Reckoning, index: int, options: Options) -> str:
    picture = step_picture(
        reckoning.structure,
        reckoning.blanks,
        reckoning.steps,
        index,
        lengths=options.lengths,
    )
    return inked(picture, options)
