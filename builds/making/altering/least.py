"""The laying with the least work, out of all there are.

There are eight ways to turn a drawing (four quarters, mirrored or not) and, for each, every shift
at which it meets what stands. How many panels are wanted where they stand is counted for all
shifts at once: each pair of panels of one kind speaks for one shift. That bounds the handling from
below, and only layings whose bound reaches the best one found are worked out; so nothing that
could be better is passed over.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from builds.making.altering.alteration import Alteration, Made, Work, laid
from builds.making.altering.laying import AS_DRAWN, Laying
from builds.making.altering.staying import openings_of
from builds.making.altering.trays import tray_fates
from builds.making.blank import STOCK_SHEET, SheetSize
from builds.making.blanks import make_blanks
from habitats.structure.design import Design, Limits, Species
from habitats.structure.faults import BadDesign, Fault
from habitats.structure.lattice import Place
from habitats.structure.motion import QUARTERS, mirrored
from habitats.structure.structure import Structure, raise_structure

ANY_SLOPE = Limits(slope_deg=90.0)  # the drawing itself was judged before it was mirrored
_ANIMALS = {Species.GUINEA_PIG: "guinea pigs", Species.RABBIT: "rabbits"}


def alter(
    standing: Structure,
    target: Structure,
    *,
    laying: Laying | None = None,
    sheet: SheetSize = STOCK_SHEET,
) -> Alteration:
    """The alteration of a standing structure into a target, with the least work.

    ``laying`` says how the drawing lies; None tries all ways. Equal work: as drawn if it is among
    them, else not mirrored, not turned, shifted least. Raises ``BadDesign`` where the two are made
    of different panels or for different animals.
    """
    _refuse_unlike(standing, target)
    stands = Made(standing, make_blanks(standing, sheet))
    if laying is not None:
        wanted = _as_laid(target, sheet, mirror=laying.mirrored)
        if wanted is None:
            raise BadDesign([Fault("target", _NOT_MIRRORED)])
        return laid(stands, wanted, laying)
    drawings = [_as_laid(target, sheet, mirror=mirror) for mirror in (False, True)]
    return _least(stands, [one for one in drawings if one is not None])


_NOT_MIRRORED = (
    "The target cannot be built mirrored: a tray's measures would be rounded the other way. Lay "
    "its drawing without mirroring."
)


def _as_laid(target: Structure, sheet: SheetSize, *, mirror: bool) -> Made | None:
    """The target as it is built; None if its mirror image cannot stand."""
    if not mirror:
        return Made(target, make_blanks(target, sheet))
    try:
        structure = raise_structure(mirrored(_settled(target)), ANY_SLOPE)
    except BadDesign:
        return None
    return Made(structure, make_blanks(structure, sheet))


def _settled(target: Structure) -> Design:
    """The design with every choice made: a ramp's panels are not counted anew."""
    design = target.design
    ramps = tuple(
        replace(wish, panels=ramp.panels)
        for wish, ramp in zip(design.ramps, target.ramps, strict=True)
    )
    return replace(design, ramps=ramps)


# --- All layings ---


class _Candidate(NamedTuple):
    """A laying with the least sheet and handling that it can take."""

    sheet_mm2: int
    handled: int
    laying: Laying


def _least(standing: Made, drawings: Sequence[Made]) -> Alteration:
    candidates = [
        one for mirror, wanted in enumerate(drawings)
        for one in _candidates(standing, wanted, mirror=bool(mirror))
    ]  # fmt: skip
    candidates.sort(key=lambda one: (one[:2], one.laying.plainness))
    best: tuple[int, int] | None = None
    equals: list[Alteration] = []
    for sheet_mm2, handled, laying in candidates:
        if best is not None and (sheet_mm2, handled) > best:
            break
        one = laid(standing, drawings[laying.mirrored], laying)
        takes = one.sheet_mm2, one.handled
        if best is None or takes < best:
            best, equals = takes, []
        if takes == best:
            equals.append(one)
    return _plainest(equals)


def _plainest(equals: Sequence[Alteration]) -> Alteration:
    """Of those with equal sheet and handling the one with the least of the rest.

    Ties take longest to count, so they are counted for those only that still are equal.
    """
    fewest = min((len(one.turns), one.trays_cut) for one in equals)
    left = [one for one in equals if (len(one.turns), one.trays_cut) == fewest]
    if len(left) == 1:
        return left[0]
    return min(left, key=lambda one: (one.work, one.laying.plainness))


def _candidates(standing: Made, wanted: Made, *, mirror: bool) -> Iterator[_Candidate]:
    sheet = sum(
        one.sheet_mm2
        for one in tray_fates(
            standing.structure, wanted.structure, standing.blanks, wanted.blanks, {}
        )
    )
    panels = len(standing.structure.panels) + len(wanted.structure.panels)
    for laying, kept in _kept_panels(standing.structure, wanted.structure, mirror=mirror):
        yield _Candidate(sheet, panels - 2 * kept, laying)


def _kept_panels(
    standing: Structure, wanted: Structure, *, mirror: bool
) -> Iterator[tuple[Laying, int]]:
    """Every laying at which at least one panel is wanted where it stands, and how many are."""
    had = _by_kind(standing)
    design = wanted.design
    for turns in range(QUARTERS):
        onto = Laying(mirror, turns).from_standing(design.rows, design.cols).inverse
        shifts: Counter[tuple[int, int]] = Counter()
        for (face, *rest), places in _by_kind(wanted).items():
            alike = had.get((onto.face(face), *rest), ())  # type: ignore[arg-type]
            for place in map(onto.place, places):
                shifts.update((one.row - place.row, one.col - place.col) for one in alike)
        for (rows, cols), kept in shifts.items():
            yield Laying(mirror, turns, rows, cols), kept


def _by_kind(structure: Structure) -> dict[tuple[object, ...], list[Place]]:
    """Places of like panels at one height in one plane: only these can come to lie on another."""
    openings = openings_of(structure)
    kinds: dict[tuple[object, ...], list[Place]] = defaultdict(list)
    for panel in structure.panels:
        place = panel.place
        kinds[place.face, place.z, openings.get(place)].append(place)
    return kinds


# --- What cannot be made into each other ---


def _refuse_unlike(standing: Structure, target: Structure) -> None:
    faults = []
    if standing.design.panel != target.design.panel:
        faults.append(Fault("panel", _different_panels(standing, target)))
    if standing.design.species is not target.design.species:
        faults.append(Fault("species", _different_species(standing, target)))
    if faults:
        raise BadDesign(faults)


def _different_panels(standing: Structure, target: Structure) -> str:
    old, new = standing.design.panel, target.design.panel
    return (
        f"What stands is made of panels of {old.size_mm} mm with {old.squares} squares, the target "
        f"of {new.size_mm} mm with {new.squares}. Draw the target with the panels that stand, or "
        f"build it anew and take back {_taken_back(standing)}."
    )


def _different_species(standing: Structure, target: Structure) -> str:
    old, new = _ANIMALS[standing.design.species], _ANIMALS[target.design.species]
    return (
        f"What stands was made for {old}, the target is for {new}, whose doorways and walls are "
        f"other ones. Draw the target for {old}, or build it anew and take back "
        f"{_taken_back(standing)}."
    )


def _taken_back(standing: Structure) -> str:
    plain = sum(not panel.doorway for panel in standing.panels)
    return f"{plain} plain panels and {len(standing.joints)} connectors"


__all__ = ["AS_DRAWN", "Alteration", "Laying", "Work", "alter"]
