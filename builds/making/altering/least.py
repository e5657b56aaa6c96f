"""The laying with the least work, out of all there are.

There are eight ways to turn a drawing (four quarters, mirrored or not) and, for each, every shift
at which it meets what stands. How many panels are wanted where they stand is counted for all
shifts at once: each pair of panels of one kind speaks for one shift. With the least sheet that the
trays can take, known for each way round, that bounds the work from below; only layings whose bound
reaches the best one found are worked out, so nothing that could be less is passed over.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from builds.making.altering.alteration import Alteration, Made, laid
from builds.making.altering.laying import Laying
from builds.making.altering.staying import openings_of
from builds.making.altering.trays import Fate, tray_fates
from builds.making.blank import STOCK_SHEET, SheetSize
from builds.making.blanks import blanks_with_old, make_blanks
from habitats.structure.design import Design, Limits, Species
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.lattice import Face, PanelPlace
from habitats.structure.motion import QUARTERS, mirrored
from habitats.structure.structure import Structure, raise_structure
from habitats.wording import message

_AS_IT_IS = (Fate.KEPT, Fate.DOORWAY, Fate.MOVED)  # no piece of it is new
ANY_SLOPE = Limits(slope_deg=90.0)  # the drawing itself was judged before it was mirrored
_ANIMALS = {
    Species.GUINEA_PIG: message("guinea pigs"),
    Species.RABBIT: message("rabbits"),
}


def alter(
    standing: Structure,
    target: Structure,
    *,
    laying: Laying | None = None,
    sheet: SheetSize = STOCK_SHEET,
    old_sheet: SheetSize = STOCK_SHEET,
) -> Alteration:
    """The alteration of a standing structure into a target, with the least work.

    ``sheet``: what new trays are cut from; ``old_sheet``: what those that stand were.
    ``laying`` says how the drawing lies; None tries all ways. Equal work: as drawn if it is among
    them, else not mirrored, not turned, shifted least. Raises ``BadDesign`` where the two are made
    of different panels or for different animals.
    """
    _refuse_unlike(standing, target)
    stands = Made(standing, make_blanks(standing, old_sheet), old_sheet)
    if laying is not None:
        wanted = _as_laid(target, sheet, mirror=laying.mirrored)
        if wanted is None:
            raise BadDesign([FileFault("target", _NOT_MIRRORED)])
        return _with_old_pieces(laid(stands, wanted, laying))
    drawings = [_as_laid(target, sheet, mirror=mirror) for mirror in (False, True)]
    return _with_old_pieces(_least(stands, [one for one in drawings if one is not None]))


def _with_old_pieces(one: Alteration) -> Alteration:
    """Trays and strips that serve again have the pieces they were made of."""
    old, wanted = one.standing.sheet, one.wanted
    if old == wanted.sheet:
        return one
    levels = {fate.level for fate in one.trays if fate.fate in _AS_IT_IS}
    ramps = {*one.staying.same_ramps, *one.ramps_moved}
    blanks = blanks_with_old(wanted.structure, wanted.sheet, old, levels, ramps)
    return replace(one, wanted=replace(wanted, blanks=blanks))


_NOT_MIRRORED = message(
    "The target cannot be built mirrored: a tray's measures would be rounded the other way. Lay "
    "its drawing without mirroring."
)


def _as_laid(target: Structure, sheet: SheetSize, *, mirror: bool) -> Made | None:
    """The target as it is built; None if its mirror image cannot stand."""
    if not mirror:
        return Made(target, make_blanks(target, sheet), sheet)
    try:
        structure = raise_structure(mirrored(_settled(target)), ANY_SLOPE)
    except BadDesign:
        return None
    return Made(structure, make_blanks(structure, sheet), sheet)


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
    """A laying with the least sheet that it can take, and the panels that do not stay in place."""

    sheet_mm2: int
    panels: int
    laying: Laying


class _Sheet:
    """New sheet for trays, by which of them lie where they will lie; the rest is one for all."""

    def __init__(self, standing: Made, drawings: Sequence[Made]) -> None:
        self._standing = standing
        self._drawings = drawings
        self._known: dict[tuple[bool, frozenset[tuple[int, int]]], int] = {}

    def least(self, *, mirror: bool) -> int:
        return self._of(mirror, {})

    def of(self, one: Alteration) -> int:
        return self._of(one.laying.mirrored, one.staying.same_trays)

    def _of(self, mirror: bool, same: Mapping[int, int]) -> int:
        key = mirror, frozenset(same.items())
        if key not in self._known:
            had, wanted = self._standing, self._drawings[mirror]
            fates = tray_fates(had.structure, wanted.structure, had.blanks, wanted.blanks, same)
            self._known[key] = sum(fate.sheet_mm2 for fate in fates)
        return self._known[key]


def _least(standing: Made, drawings: Sequence[Made]) -> Alteration:
    sheet = _Sheet(standing, drawings)
    candidates = [
        _Candidate(sheet.least(mirror=bool(mirror)), panels, laying)
        for mirror, wanted in enumerate(drawings)
        for laying, panels in _panels(standing.structure, wanted.structure, mirror=bool(mirror))
    ]
    candidates.sort(key=lambda one: (one[:2], one.laying.plainness))
    best: tuple[int, int] | None = None
    equals: list[Alteration] = []
    for sheet_mm2, panels, laying in candidates:
        if best is not None and (sheet_mm2, panels) > best:
            break
        one = laid(standing, drawings[laying.mirrored], laying)
        takes = sheet.of(one), panels
        if best is None or takes < best:
            best, equals = takes, []
        if takes == best:
            equals.append(one)
    return _plainest(equals)


def _plainest(equals: Sequence[Alteration]) -> Alteration:
    """Of those with equal sheet and panels the one with the least of the rest.

    Each kind of work is counted for those only that still are equal: ties take longest to count.
    """
    left = list(equals)
    for measure in (_connectors, _handled, _turned, _cut, _work):
        if len(left) > 1:
            least = min(map(measure, left))
            left = [one for one in left if measure(one) == least]
    return min(left, key=lambda one: one.laying.plainness)


def _connectors(one: Alteration) -> tuple[int, ...]:
    return (one.connectors_changed,)


def _handled(one: Alteration) -> tuple[int, ...]:
    return (one.handled,)


def _turned(one: Alteration) -> tuple[int, ...]:
    return (len(one.turns),)


def _cut(one: Alteration) -> tuple[int, ...]:
    return (one.trays_cut,)


def _work(one: Alteration) -> tuple[int, ...]:
    return one.work


def _panels(
    standing: Structure, wanted: Structure, *, mirror: bool
) -> Iterator[tuple[Laying, int]]:
    """Every laying at which a panel is wanted where one of its kind stands, and how many panels
    go on or come off there.
    """
    had, needs = _by_kind(standing), _by_kind(wanted)
    everything = len(standing.panels) + len(wanted.panels)
    design = wanted.design
    for turns in range(QUARTERS):
        onto = Laying(mirror, turns).from_standing(design.rows, design.cols).inverse
        shifts: Counter[tuple[int, int]] = Counter()
        for (face, z, opening), places in needs.items():
            alike = had.get((onto.face(face), z, opening), [])
            for place in map(onto.place, places):
                shifts.update((one.row - place.row, one.col - place.col) for one in alike)
        for (rows, cols), kept in shifts.items():
            yield Laying(mirror, turns, rows, cols), everything - 2 * kept


_Kind = tuple[Face, int, tuple[int, int] | None]


def _by_kind(structure: Structure) -> dict[_Kind, list[PanelPlace]]:
    """Places by plane, height and opening: only panels of one kind can lie on each other."""
    openings = openings_of(structure)
    kinds: dict[_Kind, list[PanelPlace]] = defaultdict(list)
    for place in structure.places:
        kinds[place.face, place.z, openings.get(place)].append(place)
    return kinds


# --- What cannot be made into each other ---


def _refuse_unlike(standing: Structure, target: Structure) -> None:
    faults = []
    if standing.design.panel != target.design.panel:
        faults.append(FileFault("panel", _different_panels(standing, target)))
    if standing.design.species is not target.design.species:
        faults.append(FileFault("species", _different_species(standing, target)))
    if faults:
        raise BadDesign(faults)


def _different_panels(standing: Structure, target: Structure) -> str:
    old, new = standing.design.panel, target.design.panel
    return message(
        "What stands is made of panels of %(old)d mm with %(old_squares)d squares, the target of "
        "%(new)d mm with %(new_squares)d. Draw the target with the panels that stand, or build it "
        "from new parts and take back %(panels)d plain panels and %(connectors)d connectors.",
        old=old.size_mm,
        old_squares=old.squares,
        new=new.size_mm,
        new_squares=new.squares,
        **_taken_back(standing),
    )


def _different_species(standing: Structure, target: Structure) -> str:
    old, new = _ANIMALS[standing.design.species], _ANIMALS[target.design.species]
    return message(
        "What stands was made for %(old)s, the target is for %(new)s, whose doorways and walls "
        "differ. Draw the target for %(old)s, or build it from new parts and take back %(panels)d "
        "plain panels and %(connectors)d connectors.",
        old=old,
        new=new,
        **_taken_back(standing),
    )


def _taken_back(standing: Structure) -> dict[str, int]:
    plain = sum(not panel.doorway for panel in standing.panels)
    return {"panels": plain, "connectors": len(standing.joints)}
