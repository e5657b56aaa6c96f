"""Machine code and plain Python: the same answers, and what becomes of a changed function."""

from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
import pytest

from builds.cutting import Job, StockSheet, WantedPiece, compiled, cut
from builds.cutting.compiled import Compiled, Floats, Ints, draw, draw_below, seeded
from builds.cutting.mending import seek


class Pair(NamedTuple):
    whole: Ints
    parts: Floats


def add_up(pair: Pair, chance: Ints, count: int) -> float:
    total = 0.0
    for place in range(count):
        pair.whole[place] = place // 2
        pair.parts[place] = draw(chance)
        total += pair.parts[place] + pair.whole[draw_below(chance, place + 1)]
    return total


@pytest.fixture
def entry(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Compiled[..., float]:
    """A function whose machine code is kept in a folder of its own."""
    monkeypatch.setattr(compiled, "folders", lambda: (tmp_path / "no" / "way", tmp_path))
    monkeypatch.setattr(compiled, "_entries", [Compiled(add_up, None)])
    return compiled._entries[0]


def pair() -> Pair:
    return Pair(np.zeros(100, dtype=np.int64), np.zeros(100))


def test_machine_code_answers_as_plain_python_does(entry: Compiled[..., float]) -> None:
    by_machine, by_python, chance = pair(), pair(), seeded(3)
    compiled.warm()
    assert entry.machine_code

    answers = entry(by_machine, chance, 100), entry.plain(by_python, seeded(3), 100)

    assert answers[0] == answers[1]
    assert all(map(np.array_equal, by_machine, by_python))


def test_machine_code_is_loaded_once_it_was_made(entry: Compiled[..., float]) -> None:
    compiled.warm()
    entry.machine_code = None

    compiled._load()

    assert compiled.all_kept()
    assert entry.machine_code


def test_a_search_never_makes_machine_code(entry: Compiled[..., float]) -> None:
    compiled._load()

    assert entry.machine_code is None
    assert not compiled.all_kept()


def test_a_changed_function_is_not_mistaken_for_the_old_one() -> None:
    def total(count: int) -> int:
        return count + 1

    before = Compiled(total, None).mark

    def total(count: int) -> int:  # type: ignore[no-redef]
        return count + 2

    assert Compiled(total, None).mark != before


def test_what_was_kept_of_a_function_as_it_was_is_removed(
    entry: Compiled[..., float], tmp_path: Path
) -> None:
    old = tmp_path / f"{entry.file_name}-0123456789abcdef.{compiled.PYTHON}.nbi"
    old.touch()

    compiled.warm()

    assert not old.exists()
    assert compiled.all_kept()


def test_where_numba_is_missing_a_search_goes_on_without(
    entry: Compiled[..., float], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compiled, "import_machine", lambda: None)

    assert not compiled.warm()
    assert entry(pair(), seeded(1), 3) > 0


def test_a_plan_is_the_same_in_plain_python(monkeypatch: pytest.MonkeyPatch) -> None:
    pieces = tuple(
        WantedPiece(f"p{n}", 7 + 5 * n % 31, 9 + 11 * n % 29, 1 + n % 3) for n in range(20)
    )
    job = Job(pieces, (StockSheet("sheet", 100, 60, None, 10),), kerf=1)
    compiled.warm()
    by_machine = cut(job, work=60)
    for each in compiled._entries:
        monkeypatch.setattr(each, "machine_code", None)
    assert seek.machine_code is None

    assert cut(job, work=60) == by_machine


def test_chance_is_even() -> None:
    chance: Any = seeded(7)
    counts = np.bincount([draw_below(chance, 10) for _ in range(10_000)], minlength=10)

    # Pearson's chi-squared with 9 degrees of freedom: above 27.9 in one of a thousand fair runs
    # (from memory; any table of the distribution has it).
    assert ((counts - 1000) ** 2 / 1000).sum() < 27.9
