"""The search for a plan in a process of its own: it takes no time from the pages.

The process knows no database. It tells each better plan through a pipe, and ends when it is done,
when it is asked to, or when whoever asked is gone.
"""

import multiprocessing
import threading
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import NamedTuple

from builds.common.deadline import stop_after
from builds.sheets import CuttingPlan, SheetOrder, work_out

PATIENCE_SECONDS = 5  # for a process that was asked to end


class SearchFailed(Exception):
    """The process ended without a last word."""


class News(NamedTuple):
    """The best plan so far, and whether it is the last word."""

    plan: CuttingPlan
    is_last: bool


class Search:
    """One search; leave the ``with`` block, and its process has ended."""

    def __init__(self, order: SheetOrder) -> None:
        # Spawned, not forked: a fork of a server with threads may inherit a lock that is held.
        context = multiprocessing.get_context("spawn")
        self._pipe, far_end = context.Pipe()
        self._process = context.Process(target=_search, args=(order, far_end), daemon=True)
        self._process.start()
        far_end.close()

    def __enter__(self) -> "Search":
        return self

    def __exit__(self, *_fault: object) -> None:
        self._pipe.close()
        self._process.join(PATIENCE_SECONDS)
        if self._process.is_alive():
            self._process.kill()
            self._process.join()

    def news(self, seconds: float) -> News | None:
        """The latest word, after at most so many seconds; None if there is none.

        Raises ``SearchFailed`` if the process ended without its last word.
        """
        latest = None
        while self._pipe.poll(0 if latest else seconds) and not (latest and latest.is_last):
            try:
                latest = self._pipe.recv()
            except EOFError:
                raise SearchFailed("The search ended without a plan.") from None
        return latest

    def stop(self) -> None:
        """Ask for the last word; it comes soon."""
        try:
            self._pipe.send(None)
        except OSError:
            return  # it has ended by itself


def _search(order: SheetOrder, pipe: Connection) -> None:
    """What the process does."""
    asked = threading.Event()
    threading.Thread(target=_wait_for_word, args=(pipe, asked), daemon=True).start()
    time_is_up = stop_after(order.offer.seconds)
    with suppress(BrokenPipeError):  # whoever asked is gone
        plan = work_out(
            order,
            stop=lambda: asked.is_set() or time_is_up(),
            report=lambda better: pipe.send(News(better, False)),
        )
        pipe.send(News(plan, True))


def _wait_for_word(pipe: Connection, asked: threading.Event) -> None:
    with suppress(EOFError, OSError):  # whoever asked is gone
        pipe.recv()
    asked.set()
