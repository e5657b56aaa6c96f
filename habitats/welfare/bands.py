"""Values by class: "up to 350 g this, above that".

Each class says for itself whether its bound belongs to it. Exactly 350 g is in the lower class of
one standard and in the upper class of another, and a table that left it to the code would be wrong
for one of them.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypedDict


class BandClass(NamedTuple):
    """One class. `bound` None: no upper bound; otherwise `included` says whether it belongs."""

    value: int
    bound: int | None = None
    included: bool = False

    def holds(self, measure: int) -> bool:
        if self.bound is None:
            return True
        return measure <= self.bound if self.included else measure < self.bound


@dataclass(frozen=True, slots=True)
class Bands:
    """Classes from the lightest (or youngest) up: bounds rise, and the last class has none.

    Values go one way, since "not known" is taken for the last class, which asks for most: floors
    rise towards it, and limits fall. Raises ValueError for others.
    """

    classes: tuple[BandClass, ...]

    def __post_init__(self) -> None:
        bounds = [one.bound for one in self.classes]
        values = [one.value for one in self.classes]
        inner = [bound for bound in bounds if bound is not None]
        if bounds != [*sorted(set(inner)), None]:
            raise ValueError(f"Bounds of classes rise, and only the last has none: not {bounds}.")
        if values not in (sorted(values), sorted(values, reverse=True)):
            raise ValueError(f"Values of classes go one way, not {values}.")

    def of(self, measure: int | None) -> int:
        """The value for a weight or an age; the last class's if that is not known."""
        if measure is None:
            return self.classes[-1].value
        return next(one.value for one in self.classes if one.holds(measure))


class BandRow(TypedDict, total=False):
    """A class as a data file has it: `to` includes its bound, `under` does not."""

    to: str
    under: str
    value: str | int


def read_bands(
    written: str | int | list[BandRow], value: Callable[[str], int], bound: Callable[[str], int]
) -> Bands:
    """Classes from a data file: a list of rows, or one value for every animal."""
    rows = written if isinstance(written, list) else [BandRow(value=written)]
    return Bands(tuple(_read_band(row, value, bound) for row in rows))


def _read_band(row: BandRow, value: Callable[[str], int], bound: Callable[[str], int]) -> BandClass:
    if set(row) - {"to", "under", "value"} or {"to", "under"} <= set(row):
        raise ValueError(f"A class has a value and at most one of to and under, not {row}.")
    edge = row.get("to") or row.get("under")
    given = row["value"]
    return BandClass(
        value=given if isinstance(given, int) else value(given),
        bound=bound(edge) if edge else None,
        included="to" in row,
    )
