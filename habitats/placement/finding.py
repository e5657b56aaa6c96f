"""Every column of a case, found group by group over all places at once."""

from collections.abc import Iterator

import numpy as np

from habitats.placement.columns import (
    NONE,
    Decisions,
    Flags,
    Numbers,
    Refs,
    unevenness,
    wishes_lacking,
)
from habitats.placement.suiting import Asking, AskingKind, PlaceKind, Suiting, kind_misses
from habitats.placement.values import PlaceToLive


def columns_of(suiting: Suiting) -> Decisions:
    """Builds that another beats in everything are left out."""
    return _Finding(suiting).all()


class _Finding:
    def __init__(self, suiting: Suiting) -> None:
        self._suiting = suiting
        self._case = suiting.case
        self._refs = Refs(suiting)
        self._by_hand = _ByHand(suiting, self._refs)
        self._enclosures = _Standing(suiting, self._refs)
        self._builds = _Builds(suiting)

    def all(self) -> Decisions:
        parts = [
            part
            for number, asking in enumerate(self._suiting.asking)
            for part in self._of(number, asking)
        ]
        joined = np.concatenate([np.empty((5, 0), dtype=np.int64), *parts], axis=1)
        asking, enclosure, home, design, suits = joined
        return Decisions(self._suiting, asking, enclosure, home, design, suits.astype(np.bool_))

    def _of(self, number: int, asking: Asking) -> Iterator[Numbers]:
        """Rows of a part: who asks, enclosure, home, design, whether it suits."""
        if len(asking.groups) == 1:
            yield from self._as_it_is(number, asking)
        found = np.nonzero(self._enclosures_for(asking))[0]
        yield _part(number, found, self._enclosures.home[found], NONE)
        if self._may_have_one_built(asking):
            home, design = np.nonzero(self._builds_for(asking))
            yield _part(number, NONE, home, design)

    def _as_it_is(self, number: int, asking: Asking) -> Iterator[Numbers]:
        """It stays, or waits; not where it is pinned elsewhere."""
        (group,) = asking.groups
        place = self._suiting.standing(group.lives_in) if group.lives_in else None
        if self._suiting.is_as_pinned(group.ref, place or PlaceToLive()):
            there = self._refs.enclosures[group.lives_in] if group.lives_in else NONE
            home = self._enclosures.home[there] if group.lives_in else NONE
            yield _part(number, np.array([there]), home, NONE, self._suiting.is_settled(group))

    def _enclosures_for(self, asking: Asking) -> Flags:
        does = self._enclosures.do_for(asking) & self._by_hand.enclosures(asking)
        for group in asking.groups:
            there = self._refs.enclosures.get(group.lives_in or "")
            if there is None:
                continue
            if not group.may_move:
                does &= np.arange(len(does)) == there
            if len(asking.groups) == 1:  # that it stays is a column already
                does[there] = False
        return does

    def _may_have_one_built(self, asking: Asking) -> bool:
        return bool(self._case.designs) and all(
            (group.may_move or group.lives_in is None)
            and not any(pin.enclosure for pin in self._suiting.pins.get(group.ref, ()))
            for group in asking.groups
        )

    def _builds_for(self, asking: Asking) -> Flags:
        allowed = self._by_hand.homes(asking)[: len(self._case.homes)]
        return self._builds.do_for(asking) & allowed[:, None]


def _part(
    asking: int,
    enclosure: Numbers | int,
    home: Numbers | int,
    design: Numbers | int,
    suits: bool = True,
) -> Numbers:
    return np.stack(np.broadcast_arrays(asking, enclosure, home, design, int(suits)))


class _ByHand:
    """Bars, pairs that are forbidden, and pins."""

    def __init__(self, suiting: Suiting, refs: Refs) -> None:
        self._suiting, self._refs = suiting, refs
        self._home = _Standing(suiting, refs).home
        self._barred: dict[str, list[int]] = {}
        for bar in suiting.case.bars:
            self._note(self._barred, bar.group, refs.enclosures.get(bar.enclosure))
        self._homes: dict[str, list[int]] = {}
        for pair in suiting.case.forbidden:
            self._note(self._barred, pair.group, refs.enclosures.get(pair.enclosure or ""))
            self._note(self._homes, pair.group, refs.homes.get(pair.home or ""))

    @staticmethod
    def _note(found: dict[str, list[int]], group: str, number: int | None) -> None:
        if number is not None:
            found.setdefault(group, []).append(number)

    def enclosures(self, asking: Asking) -> Flags:
        """Those that nothing said by hand keeps from them."""
        allowed = np.append(self.homes(asking), True)[self._home]
        for ref in asking.refs:
            allowed[self._barred.get(ref, [])] = False
            for pin in self._suiting.pins.get(ref, ()):
                if pin.enclosure is not None:
                    allowed &= np.arange(len(allowed)) == self._refs.enclosures[pin.enclosure]
                else:
                    allowed &= self._home == self._refs.homes.get(pin.home or "", NONE)
        return allowed

    def homes(self, asking: Asking) -> Flags:
        allowed = np.ones(len(self._refs.homes), dtype=np.bool_)
        for ref in asking.refs:
            allowed[self._homes.get(ref, [])] = False
            for pin in self._suiting.pins.get(ref, ()):
                if pin.home is not None:
                    allowed &= np.arange(len(allowed)) == self._refs.homes[pin.home]
        return allowed


class _Standing:
    """Enclosures by themselves: their homes, and for whom they do."""

    def __init__(self, suiting: Suiting, refs: Refs) -> None:
        every = suiting.case.enclosures
        self.home = np.array(
            [refs.homes.get(one.home or "", NONE) for one in every], dtype=np.int64
        )
        self._floors = np.array([one.floor_mm2 for one in every], dtype=np.int64)
        kinds = [suiting.kind_of(suiting.standing(one.ref)) for one in every]
        self._kinds = _Kinds(kinds)

    def do_for(self, asking: Asking) -> Flags:
        return self._kinds.do_for(asking.kind) & (self._floors >= asking.needs_mm2)


class _Builds:
    """Designs in homes: a row for each home, a column for each design."""

    def __init__(self, suiting: Suiting) -> None:
        designs, homes = suiting.case.designs, suiting.case.homes
        self._floors = np.array([one.floor_mm2 for one in designs], dtype=np.int64)
        self._cents = np.array([one.cents for one in designs], dtype=np.int64)
        # A row of kinds for each kind of home; homes without their limits are of few kinds.
        rows = [
            tuple(suiting.kind_of(PlaceToLive(design=one.ref, home=home.ref)) for one in designs)
            for home in homes
        ]
        numbers = {row: number for number, row in enumerate(dict.fromkeys(rows))}
        self._row_of = np.array([numbers[row] for row in rows], dtype=np.int64)
        self._rows = [_Kinds(list(row)) for row in numbers]
        self._unbeaten: dict[tuple[int, int, bytes], Flags] = {}

    def do_for(self, asking: Asking) -> Flags:
        enough = self._floors >= asking.needs_mm2
        found = [self._best(asking, row.do_for(asking.kind) & enough) for row in self._rows]
        return np.array(found, dtype=np.bool_)[self._row_of]

    def _best(self, asking: Asking, does: Flags) -> Flags:
        """Of those that do, the ones that none beats in everything; of those alike the first."""
        key = asking.needs_mm2, asking.wishes_mm2, does.tobytes()
        if key not in self._unbeaten:
            self._unbeaten[key] = does & ~self._beaten(asking, does)
        return self._unbeaten[key]

    def _beaten(self, asking: Asking, does: Flags) -> Flags:
        needs = np.full_like(self._floors, asking.needs_mm2)
        wishes = np.full_like(self._floors, asking.wishes_mm2)
        lacking, uneven = wishes_lacking(wishes, self._floors), unevenness(needs, self._floors)
        costs = np.stack([self._cents, lacking, uneven])
        no_dearer = np.all(costs[:, :, None] <= costs[:, None, :], axis=0)
        is_as_good = np.asarray(no_dearer) & does[:, None]
        is_first = np.triu(np.ones(is_as_good.shape, dtype=np.bool_), 1)
        return np.asarray((is_as_good & (is_first | ~is_as_good.T)).any(axis=0))


class _Kinds:
    """Places, each of its kind."""

    def __init__(self, places: list[PlaceKind]) -> None:
        kinds = {kind: number for number, kind in enumerate(dict.fromkeys(places))}
        self._kind_of = np.array([kinds[one] for one in places], dtype=np.int64)
        self._kinds = list(kinds)
        self._for: dict[AskingKind, Flags] = {}

    def do_for(self, asking: AskingKind) -> Flags:
        if asking not in self._for:
            does = [not kind_misses(asking, kind) for kind in self._kinds]
            self._for[asking] = np.array(does, dtype=np.bool_)[self._kind_of]
        return self._for[asking]
