"""The steps of the packet, each with its picture and the steps it needs by their numbers."""

from builds.making.step import Step, Work
from builds.packet.paper.ink import inked
from builds.packet.paper.options import Options, Section
from builds.packet.paper.source import Source
from builds.packet.paper.values import StepCard


def step_cards(source: Source, options: Options) -> tuple[StepCard, ...]:
    numbers = {step.id: number for number, step in enumerate(source.steps, start=1)}
    return tuple(
        StepCard(
            number=index + 1,
            step=step,
            needs=tuple(sorted(numbers[need] for need in step.needs)),
            picture=inked(source.draw_step(index, options.lengths), options),
            blank=_blank_of(step) if Section.BLANKS in options.sections else None,
        )
        for index, step in enumerate(source.steps)
    )


def _blank_of(step: Step) -> int | None:
    """The number of the blank that a step cuts."""
    subject = step.subject
    return subject.index + 1 if subject and subject.work is Work.CUT_BLANK else None
