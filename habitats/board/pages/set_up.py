"""What the page of set-up and its strip on Today show."""

from collections.abc import Iterator
from typing import NamedTuple

from django.urls import reverse

from habitats.board.models.set_up import STEPS, SetUpProgress, SetUpWay
from habitats.wording import Message


class ShownWay(NamedTuple):
    label: Message
    address: str


class ShownSetUpStep(NamedTuple):
    """``is_next``: the first one that is not done."""

    title: Message
    why: Message
    ways: tuple[ShownWay, ...]
    is_done: bool
    is_next: bool


def shown_steps(progress: SetUpProgress) -> tuple[ShownSetUpStep, ...]:
    return tuple(_steps(progress))


def next_step(progress: SetUpProgress) -> ShownSetUpStep | None:
    return next((step for step in _steps(progress) if step.is_next), None)


def _steps(progress: SetUpProgress) -> Iterator[ShownSetUpStep]:
    for step in STEPS:
        ways = tuple(ShownWay(way.label, _address(way)) for way in progress.ways(step))
        is_next = step is progress.next
        yield ShownSetUpStep(step.title, step.why, ways, step.code in progress.done, is_next)


def _address(way: SetUpWay) -> str:
    asked, at = (f"?{way.asked}" if way.asked else ""), (f"#{way.at}" if way.at else "")
    return f"{reverse(way.name)}{asked}{at}"
