"""Parts counted by kind: what stays, what serves again elsewhere, what is new, what is left.

The kinds are ``panel`` (plain), ``doorway``, ``ramp`` (ramp panels), ``connector``, ``tie``,
``clip`` (of lids, doors and the pup set), ``blank``, ``towel``, ``liner``, ``anchor``, ``pup``
(panels of the pup set), ``hide``, ``water`` and ``hay``. What *stays* is the same part in the same
place, lifted or not. Reuse comes before new: a part that comes off serves wherever the same part is
wanted. A plain panel can be cut into a doorway panel or bent for a ramp, never back; a panel of the
pup set is a plain one.
Ties are cut when they are taken off; of a ramp that moves whole, those at its overlaps stay.
"""

from collections import Counter
from collections.abc import Collection, Hashable, Iterable, Mapping, Set
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import NamedTuple

from builds.making.altering.linens import Linens
from builds.making.altering.staying import Staying, make_of, openings_of
from builds.making.altering.trays import Fate, TrayFate
from builds.making.anchoring import anchors_of
from builds.making.blank import BlankSet
from builds.making.furnishing import PIECES, Furnished, furniture_of
from builds.making.kinds import KINDS, TIES_AT_OVERLAP, Where
from builds.making.pup_set import clips_of, pups_of
from builds.making.step_keys import Facts
from builds.making.ties import (
    HungPanel,
    TieGroup,
    TieSpot,
    hung_panels,
    ties_needed,
)
from habitats.structure.lattice import Joint, PanelPlace
from habitats.structure.motion import Motion
from habitats.structure.pups import PupPlace
from habitats.structure.structure import Structure


class TiedPlace(NamedTuple):
    """A place that is tied, told so that it is the same from wherever it is seen."""

    where: Where
    joints: frozenset[Joint]
    places: frozenset[PanelPlace]
    ramp: int | None


Ties = Counter[TiedPlace]


class PartKind(StrEnum):
    """Kinds of parts, in the order in which they are told."""

    PANEL = "panel"
    DOORWAY = "doorway"
    RAMP = "ramp"
    CONNECTOR = "connector"
    TIE = "tie"
    CLIP = "clip"
    BLANK = "blank"
    TOWEL = "towel"
    LINER = "liner"
    ANCHOR = "anchor"
    PUP = "pup"
    HIDE = "hide"
    WATER = "water"
    HAY = "hay"


# Kinds that came later: steps without any keep the keys that they had before.
_LATER = frozenset({PartKind.ANCHOR, PartKind.PUP, PartKind.HIDE, PartKind.WATER, PartKind.HAY})


def kind_facts(counts: Mapping[str, int]) -> Facts:
    """How many there are of each kind, as the facts of a step tell it."""
    return tuple((kind, counts[kind]) for kind in PartKind if counts[kind] or kind not in _LATER)


@dataclass(frozen=True, slots=True)
class Balance:
    """One kind of part: ``had = stays + comes_off``, ``wanted = stays + goes_on``.

    Of what goes on, ``again`` are the same part taken off elsewhere, ``remade`` are cut or bent
    from a panel (``blank``: cut down from a tray) taken off, the rest is ``new``. Of what
    comes off, ``spent`` serve as something else; ``left`` go back to the store, ties into the bin.
    """

    stays: int
    goes_on: int
    comes_off: int
    again: int
    remade: int = 0
    spent: int = 0

    @property
    def new(self) -> int:
        return self.goes_on - self.again - self.remade

    @property
    def left(self) -> int:
        return self.comes_off - self.again - self.spent


def ramps_moved(stands: Structure, target: Structure, same: Mapping[int, int]) -> dict[int, int]:
    """Ramps made alike that hang somewhere else now, each used once, first come first served."""
    free = [index for index in range(len(stands.ramps)) if index not in same.values()]
    found: dict[int, int] = {}
    for index, ramp in enumerate(target.ramps):
        like = (old for old in free if make_of(stands.ramps[old]) == make_of(ramp))
        if index not in same and (old := next(like, None)) is not None:
            free.remove(old)
            found[index] = old
    return found


def balance(
    stands: Structure,
    target: Structure,
    *,
    staying: Staying,
    trays: tuple[TrayFate, ...],
    moved: Mapping[int, int],
    linens: Linens,
    blanks: tuple[BlankSet, BlankSet],
    ties: tuple[Ties, Ties],
    clips: tuple[Counter[Hashable], Counter[Hashable]],
    anchors_left: Set[PanelPlace],
    pups_left: Set[PupPlace],
) -> dict[PartKind, Balance]:
    """Every kind of part, weighed. Pairs are of what stands and of the target.

    ``ties`` and ``clips`` are where they are pulled and hung, by ``ties_by_spot`` and
    ``clips_by_spot``; ``moved`` are ramps that serve again whole.
    """
    return {
        **_panels(stands, target, staying, moved, len(pups_left)),
        PartKind.CONNECTOR: _plain(set(stands.joints), set(target.joints)),
        PartKind.TIE: _ties(ties, stands, staying, moved),
        PartKind.CLIP: _clips(clips, (pups_of(stands), pups_of(target)), clips_of(pups_left)),
        PartKind.BLANK: _blanks(blanks, trays, staying, moved),
        PartKind.TOWEL: _linens(linens, PartKind.TOWEL),
        PartKind.LINER: _linens(linens, PartKind.LINER),
        PartKind.ANCHOR: _weighed(
            len(anchors_of(stands)), len(anchors_of(target)), len(anchors_left)
        ),
        **_furniture(furniture_of(stands), furniture_of(target)),
    }


def _furniture(had: Furnished, wanted: Furnished) -> dict[PartKind, Balance]:
    """It stays in the enclosure, wherever it stands; only more or less of it is work."""
    return {
        PartKind(piece): _weighed(before, after, min(before, after))
        for what, piece in PIECES.items()
        for before, after in [(had.get(what, 0), wanted.get(what, 0))]
    }


def _plain(had: set[Hashable], wanted: set[Hashable]) -> Balance:
    return _weighed(len(had), len(wanted), len(had & wanted))


def _weighed(had: int, wanted: int, stays: int) -> Balance:
    return Balance(stays, wanted - stays, had - stays, min(wanted, had) - stays)


# --- Panels ---


def _panels(
    stands: Structure,
    target: Structure,
    staying: Staying,
    moved: Mapping[int, int],
    pups_left: int,
) -> dict[PartKind, Balance]:
    had, wanted = openings_of(stands), openings_of(target)
    doorways = _doorways(had, wanted, staying.same_places)
    ramp = _ramp_panels(stands, target, staying, moved)
    plain = _weighed(
        len(stands.panels) - len(had),
        len(target.panels) - len(wanted),
        len(staying.same_places) - doorways.stays,
    )
    spare = plain.comes_off - plain.again
    cut = min(spare, doorways.new)
    bent = min(spare - cut, ramp.new)
    # A panel of the pup set is a plain one, and serves as such, as those do in its place.
    pups = _weighed(len(pups_of(stands)), len(pups_of(target)), pups_left)
    over = min(spare - cut - bent, pups.new)
    under = min(pups.left, plain.new)
    return {
        PartKind.PANEL: replace(plain, spent=cut + bent + over, remade=under),
        PartKind.PUP: replace(pups, remade=over, spent=under),
        PartKind.DOORWAY: replace(doorways, remade=cut),
        PartKind.RAMP: replace(ramp, remade=bent),
    }


def _doorways(
    had: Mapping[PanelPlace, tuple[int, int]],
    wanted: Mapping[PanelPlace, tuple[int, int]],
    same_places: frozenset[PanelPlace],
) -> Balance:
    off = Counter(had[one] for one in had.keys() - same_places)
    on = Counter(wanted[one] for one in wanted.keys() - same_places)
    again = off & on
    return Balance(len(same_places & wanted.keys()), on.total(), off.total(), again.total())


def _ramp_panels(
    stands: Structure, target: Structure, staying: Staying, moved: Mapping[int, int]
) -> Balance:
    """Panels of ramps that serve again whole, and then any that are bent the same."""
    stays = sum(target.ramps[index].panels for index in staying.same_ramps)
    whole = sum(target.ramps[index].panels for index in moved)
    had, wanted = Counter[int](), Counter[int]()
    for index, ramp in enumerate(stands.ramps):
        if index not in {*staying.same_ramps.values(), *moved.values()}:
            had[ramp.bend_squares] += ramp.panels
    for index, ramp in enumerate(target.ramps):
        if index not in {*staying.same_ramps, *moved}:
            wanted[ramp.bend_squares] += ramp.panels
    again = whole + (had & wanted).total()
    return Balance(stays, whole + wanted.total(), whole + had.total(), again)


# --- Ties and clips ---


def ties_by_spot(structure: Structure, motion: Motion, ramps: Mapping[int, int]) -> Ties:
    """Ties by where they are pulled, in the coordinates that ``motion`` leads to.

    ``ramps`` gives ramps the index that they have in the target; others keep their own apart.
    """
    ties: Ties = Counter()
    for group in ties_needed(structure):
        for spot in group.spots:
            ties[_spot(spot, motion, ramps)] += spot.count
    return ties


def ties_where_they_are(structure: Structure, motion: Motion) -> tuple[TieGroup, ...]:
    """Ties as they were pulled, in the coordinates that ``motion`` leads to.

    Those of the structure moved there may differ: of two sides as good, a door that was turned
    would be hung on the other.
    """
    return tuple(
        replace(group, spots=tuple(_moved_spot(spot, motion) for spot in group.spots))
        for group in ties_needed(structure)
    )


def _moved_spot(spot: TieSpot, motion: Motion) -> TieSpot:
    joints, places = map(motion.joint, spot.joints), map(motion.place, spot.places)
    return replace(spot, joints=tuple(sorted(joints)), places=tuple(sorted(places)))


def _spot(spot: TieSpot, motion: Motion, ramps: Mapping[int, int]) -> TiedPlace:
    return TiedPlace(
        spot.where,
        frozenset(map(motion.joint, spot.joints)),
        frozenset(map(motion.place, spot.places)),
        None if spot.ramp is None else ramps.get(spot.ramp, -1 - spot.ramp),
    )


def clips_by_spot(structure: Structure, motion: Motion) -> Counter[Hashable]:
    hung = [one for one in hung_panels(structure) if one.clips is not None]
    return Counter({_clip_key(one, motion): KINDS[one.panel.role].clips for one in hung})


def _clip_key(hung: HungPanel, motion: Motion) -> Hashable:
    return motion.place(hung.panel.place), frozenset(map(motion.joint, hung.clips or ()))


def ties_left(ties: tuple[Ties, Ties], staying: Staying) -> Ties:
    """Ties that nobody touches: wanted where they are, round parts that stay."""
    had, wanted = ties
    common = had & wanted
    return Counter({spot: count for spot, count in common.items() if _is_left(spot, staying)})


def _is_left(spot: TiedPlace, staying: Staying) -> bool:
    if spot.ramp is None:
        return spot.places <= staying.places
    whole = spot.where is Where.RAMP_OVERLAP and spot.ramp in staying.same_ramps
    return whole or spot.ramp in staying.ramps


def _ties(
    ties: tuple[Ties, Ties], stands: Structure, staying: Staying, moved: Mapping[int, int]
) -> Balance:
    stays = ties_left(ties, staying).total()
    overlaps = sum(TIES_AT_OVERLAP * (stands.ramps[old].panels - 1) for old in moved.values())
    return Balance(stays, ties[1].total() - stays, ties[0].total() - stays, overlaps)


def _clips(
    hung: tuple[Counter[Hashable], Counter[Hashable]],
    pups: tuple[Collection[PupPlace], Collection[PupPlace]],
    pup_clips_left: int,
) -> Balance:
    """Of lids and doors, and of the pup set."""
    had, wanted = hung
    return _weighed(
        had.total() + clips_of(pups[0]),
        wanted.total() + clips_of(pups[1]),
        (had & wanted).total() + pup_clips_left,
    )


# --- Sheet and cloth ---


def _blanks(
    blanks: tuple[BlankSet, BlankSet],
    trays: tuple[TrayFate, ...],
    staying: Staying,
    moved: Mapping[int, int],
) -> Balance:
    """A tray that stays keeps its blanks, a ramp its strip; a doorway more makes another one."""
    had, wanted = blanks
    of_fate = {
        fate: {one.level for one in trays if one.fate is fate and not one.doorways} for fate in Fate
    }
    cut = {one.level for one in trays if one.is_cut}
    stays = _pieces(wanted, of_fate[Fate.KEPT], staying.same_ramps)
    again = _pieces(wanted, of_fate[Fate.MOVED], moved)
    remade = _pieces(wanted, cut, ())
    olds = {one.old for one in trays if one.old is not None and one.fate is not Fate.KEPT}
    kept = {one.old for one in trays if one.old is not None and one.fate is Fate.KEPT}
    total = sum(blank.quantity for blank in wanted.blanks)
    stood = _pieces(had, kept, staying.same_ramps.values())
    comes_off = sum(one.quantity for one in had.blanks) - stood
    used = _pieces(had, olds, moved.values())
    return Balance(stays, total - stays, comes_off, again, remade, spent=used - again)


def _pieces(blanks: BlankSet, levels: Iterable[int], ramps: Iterable[int]) -> int:
    chosen, hung = set(levels), set(ramps)
    return sum(one.quantity for one in blanks.blanks if one.level in chosen or one.ramp in hung)


def _linens(linens: Linens, kind: PartKind) -> Balance:
    fates = [one for one in linens.fates if one.kind == kind]
    new = sum(one.kind == kind for one in linens.new)
    stays = sum(one.stays for one in fates)
    again = sum(one.now is not None and not one.stays for one in fates)
    return Balance(stays, again + new, len(fates) - stays, again)
