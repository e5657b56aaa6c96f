"""Forecasts of linens, their time and how good they are: `python -m tests.benchmarks.rotation`.

A large rescue (3 000 enclosures, 12 000 linens, 90 days) whose laundry is enough, and one whose
laundry is far too small; then small ones that have too few loads, with the work that a page and
that the command may spend. Rounds are drawn from a seed; what is told is processor time, shortages,
and the bound.
"""

import random
import time
from collections.abc import Callable
from datetime import date, timedelta
from typing import TypeVar

from habitats.rotation.forecast import forecast
from habitats.rotation.par import par_levels
from habitats.rotation.planning import WORK, thorough
from habitats.rotation.values import ForecastInputs, Laundry, LinenNeed, LinenToday, WashStage

T = TypeVar("T")

START = date(2027, 1, 4)
AT_MOST_S = 1.0
SMALL = ((2, 6, 10, 28, 2000), (3, 12, 22, 42, 3000), (4, 30, 60, 42, 5000))


def main() -> None:
    for name, loads in (("enough", 400), ("far too few", 70)):
        laundry = Laundry(frozenset((0, 2, 4)), loads, 8000, 1)
        _tell_large(name, drawn(0, 12, 3000, 12_000, 90, laundry))
    for lanes, needs, pieces, days, load_g in SMALL:
        laundry = Laundry(frozenset((0, 3)), 2, load_g, 1)
        for seed in range(3):
            inputs = drawn(seed, lanes, needs, pieces, days, laundry)
            _tell(f"{lanes} sizes, {needs} enclosures, {pieces} linens", inputs)


def _tell_large(name: str, inputs: ForecastInputs) -> None:
    taken, found = _timed(lambda: forecast(inputs))
    par, _ = _timed(lambda: par_levels(inputs))
    print(
        f"3 000 enclosures, 12 000 linens, 90 days, loads {name}: {taken:.2f} s (at most "
        f"{AT_MOST_S:.0f}), par {par:.2f} s, {len(found.shortages)} shortages, bound {found.bound}"
    )


def _tell(name: str, inputs: ForecastInputs) -> None:
    for work in (WORK, thorough(inputs)):
        taken, found = _timed(lambda work=work: forecast(inputs, work))  # type: ignore[misc]
        proved = "proved" if found.proved else f"bound {found.bound}"
        print(f"{name}: {taken:.2f} s, {len(found.shortages)} shortages, {proved}")


def _timed(do: Callable[[], T]) -> tuple[float, T]:
    began = time.process_time()
    made = do()
    return time.process_time() - began, made


def drawn(
    seed: int, lanes: int, needs: int, pieces: int, days: int, laundry: Laundry
) -> ForecastInputs:
    """A round with so many sizes, enclosures and linens, the ones beyond in use in all states."""
    draw = random.Random(seed)
    sizes = {f"Size {n}": draw.randrange(300, 1200, 10) for n in range(lanes)}
    wanted = []
    for number in range(needs):
        interval = draw.choice((2, 3, 3, 4, 5, 7))
        changed = START - timedelta(days=draw.randint(0, interval))
        wanted.append(LinenNeed(f"E{number}", draw.choice(list(sizes)), interval, changed))
    linens = [
        LinenToday(f"L{n}", need.size, WashStage.IN_USE, need.id) for n, need in enumerate(wanted)
    ]
    for number in range(needs, pieces):
        at = draw.choice((WashStage.CLEAN, WashStage.CLEAN, WashStage.SOILED, WashStage.WASHING))
        ready = START + timedelta(days=draw.randint(0, 2)) if at is WashStage.WASHING else None
        linens.append(LinenToday(f"L{number}", draw.choice(wanted).size, at, None, ready))
    return ForecastInputs(START, days, sizes, tuple(wanted), tuple(linens), laundry)


if __name__ == "__main__":
    main()
