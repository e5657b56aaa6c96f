"""A placing worked out in a process of its own; it has nothing to tell before it is done."""

from contextlib import suppress
from multiprocessing.connection import Connection

from builds.common.beside import Beside, News, end_when_asked
from habitats.placement.questions import Answer, Question, answer


class PlacingSearch(Beside[Answer]):
    def __init__(self, question: Question) -> None:
        super().__init__(_search, question)


def _search(question: Question, pipe: Connection) -> None:
    """What the process does."""
    end_when_asked(pipe)
    with suppress(BrokenPipeError):  # who asked is gone
        pipe.send(News(answer(question), True))
