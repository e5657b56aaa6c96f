"""How planning a build grows with its size: `python -m tests.benchmarks.planning`.

Of grounds two cells deep and 2 to 16 long, with up to two levels above: steps, panels, and the
processor's time of working out all cards with their pictures (`cards_of`).

Measured on a busy machine (30 November 2026): it grows as what is drawn, 0.35 to 0.56 ms for each
kB of pictures, and not as steps times panels.

| ground | levels | steps | panels | kB | ms |
|---|---|---|---|---|---|
| 2 × 2 | 1 | 8 | 8 | 108 | 61 |
| 2 × 4 | 1 | 9 | 12 | 156 | 70 |
| 2 × 8 | 1 | 12 | 20 | 263 | 101 |
| 2 × 16 | 1 | 15 | 36 | 449 | 176 |
| 2 × 4 | 3 | 19 | 36 | 453 | 184 |
| 2 × 16 | 3 | 25 | 60 | 920 | 376 |
"""

import os
import time
from typing import Any

import django

LENGTHS, LEVELS, ROUNDS = (2, 4, 8, 16), (1, 2, 3), 3


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.settings")
    django.setup()
    from builds.making.blank import STOCK_SHEET
    from builds.plans.models.plan_cards import cards_of
    from habitats.structure.structure import raise_structure

    print("long  levels  steps  panels   kB of pictures     ms   ms a kB   ms a step")
    for length in LENGTHS:
        for levels in LEVELS:
            shape = _shape(length, levels)
            ms = min(_once(shape) for _round in range(ROUNDS))
            steps, panels = cards_of(shape, STOCK_SHEET).steps, raise_structure(shape).panels
            kb = sum(len(repr(one.pictures)) for one in steps) / 1000
            print(
                f"{length:4} {levels:7} {len(steps):6} {len(panels):7} {kb:16.0f} {ms:6.0f}"
                f" {ms / kb:9.2f} {ms / len(steps):11.1f}"
            )


def _shape(length: int, levels: int) -> Any:
    from habitats.structure.design import Level
    from habitats.structure.read import plan_cells
    from tests.support.designs import make_design, replace

    ground, upper = ["#" * length] * 2, plan_cells(["##" + "." * (length - 2)] * 2)
    shape = make_design(ground)
    above = tuple(Level(z, 1, upper) for z in range(1, levels))
    return replace(shape, levels=(*shape.levels, *above))


def _once(shape: Any) -> float:
    from builds.making.blank import STOCK_SHEET
    from builds.plans.models.plan_cards import _cached_cards, cards_of

    _cached_cards.cache_clear()
    began = time.process_time()
    cards_of(shape, STOCK_SHEET)
    return (time.process_time() - began) * 1000


if __name__ == "__main__":
    main()
