"""Linens in an alteration: which still fit where they lie, which fit elsewhere, which do not.

Cloth has no right and wrong way round: a liner may be turned and turned over. A towel is as wide
and as long as its ramp's.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from builds.making.part_names import part_name, towel_code
from builds.making.parts import coded_liners
from habitats.structure.kinds import KINDS
from habitats.structure.lattice import PanelPlace
from habitats.structure.motion import Motion
from habitats.structure.structure import Structure

LINER = "liner"
TOWEL = "towel"

Size = tuple[int, int]


@dataclass(frozen=True, slots=True)
class LinenFate:
    """What becomes of a linen in use: ``now`` is the code of the target's that it
    serves as, if any.

    ``level`` is that of what stands, None for a towel. ``stays`` where it serves in the same
    place. One that fits nowhere is large enough to be cut
    for those that ``covers`` has the codes of, all of which else take new cloth.
    """

    kind: str
    code: str
    size: Size
    level: int | None
    now: str | None
    stays: bool = False
    covers: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        return part_name(self.code)

    @property
    def becomes(self) -> str:
        """The name of what it serves as; empty where it serves as nothing."""
        return part_name(self.now) if self.now else ""

    @property
    def cut_for(self) -> list[str]:
        """The names of what it is large enough to be cut for."""
        return [part_name(code) for code in self.covers]


@dataclass(frozen=True, slots=True)
class NewLinen:
    """A linen of the target that nothing in use serves as."""

    kind: str
    code: str
    size: Size

    @property
    def name(self) -> str:
        return part_name(self.code)


@dataclass(frozen=True, slots=True)
class Linens:
    """All linens in use, and those to add."""

    fates: tuple[LinenFate, ...]
    new: tuple[NewLinen, ...]


class _Linen(NamedTuple):
    """``where`` is alike for two that are one and the same place; ``level`` is None for towels."""

    kind: str
    code: str
    size: Size
    where: object
    level: int | None


def linen_fates(
    standing: Structure,
    motion: Motion,
    target: Structure,
    same_trays: Mapping[int, int],
    same_ramps: Mapping[int, int],
) -> Linens:
    """Each linen of what stands (in its own coordinates, ``motion`` takes them to the target's)
    to one of the target's: those that stay first, then the same size anywhere.
    """
    hung = {old: new for new, old in same_ramps.items()}
    had = [*_liners(standing, motion), *_towels(standing, hung, "before")]
    wanted = [*_liners(target, Motion()), *_towels(target, {k: k for k in same_ramps}, "after")]
    whole = _wholly_kept(standing, motion, target, same_trays)
    serves, staying, open_ones = _served(had, wanted, whole)
    return Linens(
        tuple(
            LinenFate(
                one.kind,
                one.code,
                one.size,
                one.level,
                serves.get(i),
                stays=i in staying,
                covers=() if i in serves else _covered(one, open_ones),
            )
            for i, one in enumerate(had)
        ),
        tuple(NewLinen(one.kind, one.code, one.size) for one in open_ones),
    )


def _served(
    had: Sequence[_Linen], wanted: Iterable[_Linen], whole: Mapping[int, int]
) -> tuple[dict[int, str], set[int], list[_Linen]]:
    """What serves as what: codes of the target's by the number in ``had``; the numbers of those
    that stay where they are; what is wanted and served by none.

    Liners of the levels in ``whole`` stay as they are.
    """
    serves = {
        i: one.code for i, one in enumerate(had) if one.level is not None and one.level in whole
    }
    staying = set(serves)
    open_ones = [one for one in wanted if one.level is None or one.level not in whole.values()]
    for same in (_same_place, _same_size):
        for i, one in enumerate(had):
            found = next((new for new in open_ones if i not in serves and same(one, new)), None)
            if found is not None:
                open_ones.remove(found)
                serves[i] = found.code
                staying |= {i} if same is _same_place else set()
    return serves, staying, open_ones


def _liners(structure: Structure, motion: Motion) -> Iterator[_Linen]:
    size_mm = structure.design.panel.size_mm
    for code, liner in coded_liners(structure):
        z = structure.design.levels[liner.level].z
        xs, ys = zip(
            motion.spot_mm(liner.west, liner.north, size_mm),
            motion.spot_mm(liner.east, liner.south, size_mm),
            strict=True,
        )
        where = z, min(xs), min(ys), max(xs), max(ys)
        yield _Linen(LINER, code, liner.size, where, liner.level)


def _towels(structure: Structure, same: Mapping[int, int], when: str) -> Iterator[_Linen]:
    """``same`` numbers the ramps that hang alike before and after; others are told apart."""
    for index, ramp in enumerate(structure.ramps):
        where = same.get(index, (when, index))
        yield _Linen(TOWEL, towel_code(structure, index), ramp.towel, where, None)


def _wholly_kept(
    standing: Structure, motion: Motion, target: Structure, same_trays: Mapping[int, int]
) -> dict[int, int]:
    """Levels of what stands whose tray, parted alike, is the target's: every liner still fits."""
    return {
        old: new
        for new, old in same_trays.items()
        if {motion.place(place) for place in _parting(standing, old)} == {*_parting(target, new)}
    }


def _parting(structure: Structure, level: int) -> Iterator[PanelPlace]:
    for panel in structure.panels:
        if panel.level == level and KINDS[panel.role].parts_floor:
            yield panel.place


def _same_place(one: _Linen, new: _Linen) -> bool:
    return one.kind == new.kind and one.where == new.where and _same_size(one, new)


def _same_size(one: _Linen, new: _Linen) -> bool:
    if one.kind != new.kind:
        return False
    return one.size == new.size or (one.kind == LINER and one.size == new.size[::-1])


def _covered(one: _Linen, open_ones: Sequence[_Linen]) -> tuple[str, ...]:
    """Codes of linens still to make that could be cut from this one."""
    large = sorted(one.size)
    return tuple(
        new.code
        for new in open_ones
        if new.kind == one.kind
        and all(a >= b for a, b in zip(large, sorted(new.size), strict=True))
    )
