"""The packing list of a kit: the parts of its plan, and its linens in so many sets.

Sizes are whole millimetres, (width, length); masses whole grams.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from builds.making.part_names import RAMP_PANEL, is_towel, part_name
from builds.making.parts import StoredAs
from habitats.rotation.cloth import Shrinkage, Size, cut_size, mass_g
from habitats.wording import message

# The cloth parts of a plan; liners may be of other goods than towels.
LINER, TOWEL = "liner", "towel"

_HEADINGS = {
    StoredAs.PANEL: message("Panels"),
    StoredAs.FASTENING: message("Fastenings"),
    StoredAs.SHEET: message("From sheet"),
    StoredAs.CLOTH: message("Linens"),
    StoredAs.FURNITURE: message("Hides, water, hay"),
}
# Parts that the rescue has worked on before they are packed.
_WORKED_ON = {RAMP_PANEL: message("ramp panel, bent and tied")}


class Cloth(NamedTuple):
    """Goods that linens are made of; ``grams_per_m2`` is of one layer."""

    name: str
    is_cotton: bool
    layers: int
    grams_per_m2: int
    shrinkage: Shrinkage


@dataclass(frozen=True, slots=True)
class PackingLine:
    """One line of the list, of the part ``what``.

    ``unit`` is empty for pieces, else what is counted, such as ``m``.
    ``size`` is the finished size and ``cut`` what is cut for it from new cloth, None where there is
    none; ``each_g`` is what one weighs, None where nobody knows.
    """

    what: str
    kind: StoredAs
    count: int
    spare: int
    unit: str
    size: Size | None
    cut: Size | None
    each_g: int | None

    @property
    def name(self) -> str:
        return _WORKED_ON.get(self.what) or part_name(self.what)

    @property
    def to_pack(self) -> int:
        """Spares go along: what breaks on the way is at hand."""
        return self.count + self.spare

    @property
    def heading(self) -> str:
        return _HEADINGS[self.kind]

    @property
    def is_linen(self) -> bool:
        return self.kind is StoredAs.CLOTH

    @property
    def is_towel(self) -> bool:
        return is_towel(self.what)

    @property
    def counted(self) -> str:
        """How many, as people write it: ``12``, ``3 m``."""
        return f"{self.to_pack} {self.unit}".strip()


class ShortLine(NamedTuple):
    """A line of which less is in the box than belongs there."""

    line: PackingLine
    packed: int

    @property
    def short(self) -> int:
        return self.line.to_pack - self.packed

    @property
    def words(self) -> str:
        """How much of what is missing: ``2 × connector``, ``1 m of sheet tape``."""
        part, unit = self.line.name, self.line.unit
        if unit:
            return message("%(count)d %(unit)s of %(part)s", count=self.short, unit=unit, part=part)
        return message("%(count)d × %(part)s", count=self.short, part=part)

    def __str__(self) -> str:
        return str(self.words)


def packing_list(
    parts: Sequence[Mapping[str, Any]], *, sets: int, cloths: Mapping[str, Cloth]
) -> tuple[PackingLine, ...]:
    """The lines in the order of the plan's part list, ``parts`` as a plan keeps them.

    Of linens so many ``sets``: one lies in the enclosure while the others are in the wash.
    ``cloths``: the goods of ``LINER`` and ``TOWEL``, as far as somebody said.
    """
    return tuple(_line(part, sets, cloths) for part in parts)


def missing(lines: Sequence[PackingLine], packed: Mapping[str, int]) -> tuple[ShortLine, ...]:
    """What is not in the box yet; ``packed`` says how many of each line are."""
    shorts = (ShortLine(line, packed.get(line.what, 0)) for line in lines)
    return tuple(one for one in shorts if one.short > 0)


def _line(part: Mapping[str, Any], sets: int, cloths: Mapping[str, Cloth]) -> PackingLine:
    kind = StoredAs(part["kind"])
    cloth = cloths.get(TOWEL if is_towel(part["what"]) else LINER)
    if kind is not StoredAs.CLOTH:
        sets, cloth = 1, None
    size, cut = _size(part["size"]), _size(part["cut"])
    return PackingLine(
        what=part["what"],
        kind=kind,
        count=part["count"] * sets,
        spare=part["spare"],
        unit=part["unit"],
        size=size,
        cut=_cut(part["what"], size, cut, cloth),
        each_g=_mass(part["what"], size, cut, cloth),
    )


def _size(pair: Sequence[int] | None) -> Size | None:
    return (pair[0], pair[1]) if pair else None


def _cut(what: str, size: Size | None, cut: Size | None, cloth: Cloth | None) -> Size | None:
    """For a liner of known goods by their own shrinkage; a folded towel as the plan has it."""
    if cloth is None or size is None or is_towel(what):
        return cut
    return cut_size(size, cloth.shrinkage)


def _mass(what: str, size: Size | None, cut: Size | None, cloth: Cloth | None) -> int | None:
    """Of a liner its finished size counts; of a folded towel all the cloth that is folded."""
    lies = cut if is_towel(what) else size
    if cloth is None or lies is None:
        return None
    return mass_g(*lies, cloth.layers, cloth.grams_per_m2)
