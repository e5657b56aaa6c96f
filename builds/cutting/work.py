"""How much a search may do, counted rather than timed."""

from collections.abc import Callable

Stop = Callable[[], bool]


class WorkBudget:
    """Units of work to spend, each about 11 microseconds on a middling machine.

    `stop` is asked often, and ends all work at once.
    """

    def __init__(self, most: int, stop: Stop, whole: "WorkBudget | None" = None) -> None:
        self.most = most
        self.stop = stop
        self._left = most
        self._whole = whole

    @property
    def left(self) -> int:
        return self._left

    @property
    def done(self) -> bool:
        return self._left <= 0 or self.stop()

    def spend(self, units: int) -> None:
        self._left -= units
        if self._whole:
            self._whole.spend(units)

    def share(self, part: float) -> "WorkBudget":
        """Work of its own, no more than this part of the whole, and spent from the whole too."""
        return WorkBudget(min(self._left, round(part * self.most)), self.stop, self)
