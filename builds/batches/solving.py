"""The search for a plan in a process of its own: it tells each better plan."""

import threading
from contextlib import suppress
from multiprocessing.connection import Connection

from builds.common.beside import Beside, News, when_asked_to_end
from builds.common.deadline import stop_after
from builds.sheets import CuttingPlan, SheetOrder, work_out


class Search(Beside[CuttingPlan]):
    PATIENCE_SECONDS = 5  # its last word is the best plan so far

    def __init__(self, order: SheetOrder) -> None:
        super().__init__(_search, order)


def _search(order: SheetOrder, pipe: Connection) -> None:
    """What the process does."""
    asked = threading.Event()
    when_asked_to_end(pipe, asked.set)
    time_is_up = stop_after(order.offer.seconds)
    with suppress(BrokenPipeError):  # who asked is gone
        plan = work_out(
            order,
            stop=lambda: asked.is_set() or time_is_up(),
            report=lambda better: pipe.send(News(better, False)),
        )
        pipe.send(News(plan, True))
