"""Runs that work out a placing beside its page, done here while the test waits."""

from contextlib import AbstractContextManager

from builds.common.beside import News
from builds.placing import tasks
from builds.placing.models.runs import PlacingRun
from habitats.placement.questions import answer

PAGE = "/placing/"


class SearchHere(AbstractContextManager):
    """A search without a process of its own, which takes a second to start."""

    def __init__(self, question):
        self._question = question

    def __exit__(self, *_fault):
        pass

    def news(self, _seconds):
        return News(answer(self._question), True)


def run_of() -> PlacingRun:
    """The run that was begun last."""
    return PlacingRun.objects.latest("pk")


def work(run: PlacingRun | None = None) -> None:
    """What a server does beside its pages."""
    tasks.work_out_placing.func((run or run_of()).pk)
