"""Pure work in a process of its own: it takes no time from the pages, and knows no database.

What it finds it tells through a pipe. It ends when it is done, when it is asked to, or when the
server that began it is gone.
"""

import multiprocessing
import os
import threading
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any, Generic, NamedTuple, Self, TypeVar

Word = TypeVar("Word")


class EndedWithoutWord(Exception):
    """The process ended without a last word."""


class News(NamedTuple, Generic[Word]):
    """What was found so far, and whether it is the last word."""

    word: Word
    is_last: bool


class Beside(Generic[Word]):
    """One piece of work; leave the ``with`` block, and its process has ended.

    ``work`` gets the question and the pipe, and sends ``News``.
    """

    PATIENCE_SECONDS = 1  # for a process that was asked to end

    def __init__(self, work: Callable[[Any, Connection], None], question: object) -> None:
        # Spawned, not forked: a fork of a server with threads may inherit a lock that is held.
        context = multiprocessing.get_context("spawn")
        self._pipe, far_end = context.Pipe()
        self._process = context.Process(target=work, args=(question, far_end), daemon=True)
        self._process.start()
        far_end.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_fault: object) -> None:
        self._pipe.close()
        self._process.join(self.PATIENCE_SECONDS)
        if self._process.is_alive():
            self._process.kill()
            self._process.join()

    def news(self, seconds: float) -> News[Word] | None:
        """The latest word, after at most so many seconds; None if there is none.

        Raises ``EndedWithoutWord`` if the process ended without its last word.
        """
        latest = None
        while self._pipe.poll(0 if latest else seconds) and not (latest and latest.is_last):
            try:
                latest = self._pipe.recv()
            except EOFError:
                raise EndedWithoutWord("The work ended without a word.") from None
        return latest

    def stop(self) -> None:
        """Ask for the last word; it comes soon."""
        with suppress(OSError):  # it has ended by itself
            self._pipe.send(None)


def when_asked_to_end(pipe: Connection, act: Callable[[], object]) -> None:
    """In the process: act once the one who began the work asks for its end, or is gone."""
    threading.Thread(target=_wait_for_word, args=(pipe, act), daemon=True).start()


def end_when_asked(pipe: Connection) -> None:
    """For work that has nothing to tell before it is done: its process ends at once."""
    when_asked_to_end(pipe, lambda: os._exit(0))


def _wait_for_word(pipe: Connection, act: Callable[[], object]) -> None:
    with suppress(EOFError, OSError):  # who asked is gone
        pipe.recv()
    act()
