"""What one placing costs more than another, in the terms of the goals."""

from collections.abc import Callable, Iterator

from habitats.placement.values import Goal, Placing, Reached
from habitats.wording import counted, message

Money = Callable[[int], str]  # of cents


def differences(before: Placing, after: Placing, money: Money) -> list[str]:
    """A few words for each goal in which they differ; nothing where they are equally good.

    How spare floor is spread is told only where nothing else differs.
    """
    pairs = list(zip(before.reached, after.reached, strict=True))
    told = [words for one, other in pairs for words in _difference(one, other, money)]
    if not told and any(one.value < other.value for one, other in pairs):
        return [message("spare floor is spread less evenly")]
    return told


def _difference(before: Reached, after: Reached, money: Money) -> Iterator[str]:
    more = after.value - before.value
    if not more:
        return
    if before.goal is Goal.COST:
        word = _DEARER if more > 0 else _CHEAPER
        yield word.filled(money=money(abs(more)))
    elif before.goal in _MORE:
        yield (_MORE if more > 0 else _FEWER)[before.goal](abs(more))


_DEARER = message("%(money)s more for material")
_CHEAPER = message("%(money)s less for material")
_MORE: dict[Goal, Callable[[int], str]] = {
    Goal.WAITING: lambda n: counted("%(count)d group more waits", "%(count)d groups more wait", n),
    Goal.MOVES: lambda n: counted(
        "%(count)d settled group more moves", "%(count)d settled groups more move", n
    ),
    Goal.BUILDS: lambda n: counted("%(count)d build more", "%(count)d builds more", n),
}
_FEWER: dict[Goal, Callable[[int], str]] = {
    Goal.WAITING: lambda n: counted(
        "%(count)d group fewer waits", "%(count)d groups fewer wait", n
    ),
    Goal.MOVES: lambda n: counted(
        "%(count)d settled group fewer moves", "%(count)d settled groups fewer move", n
    ),
    Goal.BUILDS: lambda n: counted("%(count)d build fewer", "%(count)d builds fewer", n),
}
