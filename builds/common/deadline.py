"""The clock at the edge: how a command or a page tells a pure solver that time is up."""

import time
from collections.abc import Callable


def stop_after(seconds: float) -> Callable[[], bool]:
    """Give a question that is answered True once so many seconds have passed from now."""
    end = time.monotonic() + seconds
    return lambda: time.monotonic() >= end
