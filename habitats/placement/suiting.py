"""Whether a place does for a group by itself, whatever others do."""

from collections import defaultdict
from collections.abc import Iterator
from functools import cached_property, lru_cache
from typing import NamedTuple

from habitats.placement.values import (
    DesignToBuild,
    EnclosureToFill,
    GroupToPlace,
    HomeToFill,
    Miss,
    MissReason,
    Pin,
    PlaceToLive,
    PlacingCase,
    Union,
)
from habitats.structure.design import Species

ANYWHERE = HomeToFill("")  # limits nothing: of an enclosure whose home is not told

# What keeps others from moving in, and does not drive out who lives there.
ONLY_NEWCOMERS = frozenset(
    {MissReason.EXPERIENCE, MissReason.AWAY, MissReason.NO_HOME, MissReason.FOOTPRINT}
)


class AskingKind(NamedTuple):
    """All of who asks that ``kind_misses`` goes by."""

    species: Species
    climbs: bool


class PlaceKind(NamedTuple):
    """All of a place and its home that ``kind_misses`` goes by; many places are alike."""

    species: Species
    is_safe: bool
    has_ramp: bool
    lacks_lid: bool
    is_in_home: bool
    knows: frozenset[Species] | None
    is_away: bool
    has_room: bool


class Asking(NamedTuple):
    """One group, or several that would live as one."""

    groups: tuple[GroupToPlace, ...]
    needs_mm2: int
    wishes_mm2: int

    @classmethod
    def one(cls, group: GroupToPlace) -> "Asking":
        return cls((group,), group.needs_mm2, group.wishes_mm2)

    @property
    def refs(self) -> tuple[str, ...]:
        return tuple(one.ref for one in self.groups)

    @property
    def species(self) -> Species:
        return self.groups[0].species

    @property
    def animals(self) -> int:
        return sum(one.animals for one in self.groups)

    @property
    def kind(self) -> AskingKind:
        return AskingKind(self.species, all(one.climbs for one in self.groups))


class FloorOffered(NamedTuple):
    """What a place offers, be it standing or yet to be built."""

    species: Species
    floor_mm2: int
    has_ramp: bool
    has_lid: bool

    @classmethod
    def of(cls, one: EnclosureToFill | DesignToBuild) -> "FloorOffered":
        return cls(one.species, one.floor_mm2, one.has_ramp, one.has_lid)


class Suiting:
    """What the case says of each group in each place, by itself."""

    def __init__(self, case: PlacingCase) -> None:
        self.case = case
        self.groups = {one.ref: one for one in case.groups}
        self.enclosures = {one.ref: one for one in case.enclosures}
        self.homes = {one.ref: one for one in case.homes}
        self.designs = {one.ref: one for one in case.designs}
        self._bars = {(one.group, one.enclosure): one.why for one in case.bars}
        self._forbidden = frozenset(case.forbidden)
        self._kinds: dict[PlaceToLive, PlaceKind] = {}

    @cached_property
    def pins(self) -> dict[str, list[Pin]]:
        found: dict[str, list[Pin]] = defaultdict(list)
        for pin in self.case.pins:
            found[pin.group].append(pin)
        return found

    @cached_property
    def asking(self) -> tuple[Asking, ...]:
        """Every group by itself, then the unions."""
        return (
            *(Asking.one(group) for group in self.case.groups),
            *(self._union(one) for one in self.case.unions),
        )

    @cached_property
    def _settled(self) -> frozenset[str]:
        return frozenset(
            one.ref
            for one in self.case.groups
            if one.lives_in is not None
            and not self.drives_out(Asking.one(one), self.standing(one.lives_in))
        )

    def is_settled(self, group: GroupToPlace) -> bool:
        """Whether it lives in a place that does for it."""
        return group.ref in self._settled

    @cached_property
    def living_by_home(self) -> dict[str, list[GroupToPlace]]:
        found: dict[str, list[GroupToPlace]] = defaultdict(list)
        for one in self.case.groups:
            home = self.enclosures[one.lives_in].home if one.lives_in is not None else None
            if home is not None:
                found[home].append(one)
        return found

    def _union(self, one: Union) -> Asking:
        return Asking(tuple(self.groups[ref] for ref in one.of), one.needs_mm2, one.wishes_mm2)

    def standing(self, ref: str) -> PlaceToLive:
        """The place that an enclosure is."""
        return PlaceToLive(enclosure=ref, home=self.enclosures[ref].home)

    def home_of(self, place: PlaceToLive) -> HomeToFill:
        return self.homes.get(place.home or "", ANYWHERE)

    def floor_of(self, place: PlaceToLive) -> FloorOffered:
        if place.enclosure is not None:
            return FloorOffered.of(self.enclosures[place.enclosure])
        return FloorOffered.of(self.designs[place.design or ""])

    def kind_of(self, place: PlaceToLive) -> PlaceKind:
        if place not in self._kinds:
            self._kinds[place] = self._kind_of(place)
        return self._kinds[place]

    def _kind_of(self, place: PlaceToLive) -> PlaceKind:
        home = self.home_of(place)
        if place.enclosure is not None:
            return kind_of_standing(self.enclosures[place.enclosure], home)
        design = self.designs[place.design or ""]
        return _kind(FloorOffered.of(design), home, has_room=_fits(design, home))

    def misses(self, asking: Asking, place: PlaceToLive) -> Iterator[Miss]:
        """Why the place does not do; nothing where it does."""
        lacking = asking.needs_mm2 - self.floor_of(place).floor_mm2
        if lacking > 0:
            yield Miss(place, MissReason.TOO_SMALL, lacking)
        for reason in kind_misses(asking.kind, self.kind_of(place)):
            yield Miss(place, reason)
        yield from self._by_hand(asking, place)

    def _by_hand(self, asking: Asking, place: PlaceToLive) -> Iterator[Miss]:
        for ref in asking.refs:
            if place.enclosure is not None and (ref, place.enclosure) in self._bars:
                yield Miss(place, MissReason.BARRED, words=self._bars[ref, place.enclosure])
            if self._is_forbidden(ref, place):
                yield Miss(place, MissReason.FORBIDDEN)

    def _is_forbidden(self, ref: str, place: PlaceToLive) -> bool:
        return bool(
            (place.enclosure and Pin(ref, enclosure=place.enclosure) in self._forbidden)
            or (place.home and Pin(ref, home=place.home) in self._forbidden)
        )

    def is_as_pinned(self, ref: str, place: PlaceToLive) -> bool:
        return all(
            pin.enclosure == place.enclosure if pin.enclosure else pin.home == place.home
            for pin in self.pins.get(ref, ())
        )

    def drives_out(self, asking: Asking, place: PlaceToLive) -> bool:
        """Whether one who lives there needs another place."""
        return any(one.reason not in ONLY_NEWCOMERS for one in self.misses(asking, place))


def kind_of_standing(enclosure: EnclosureToFill, home: HomeToFill) -> PlaceKind:
    """``home``: ``ANYWHERE`` where it stands in none, or in one that is not told."""
    kind = _kind(FloorOffered.of(enclosure), home, has_room=True)
    return kind._replace(is_safe=enclosure.is_safe, is_in_home=enclosure.home is not None)


def _kind(floor: FloorOffered, home: HomeToFill, *, has_room: bool) -> PlaceKind:
    return PlaceKind(
        floor.species,
        is_safe=True,
        has_ramp=floor.has_ramp,
        lacks_lid=home.other_pets and not floor.has_lid,
        is_in_home=True,
        knows=home.knows,
        is_away=home.is_away,
        has_room=has_room,
    )


@lru_cache(4096)
def kind_misses(asking: AskingKind, place: PlaceKind) -> tuple[MissReason, ...]:
    """Why places of a kind do not do, whatever their floor. Kinds are few, pairs are many."""
    against = {
        MissReason.SPECIES: place.species is not asking.species,
        MissReason.UNSAFE: not place.is_safe,
        MissReason.RAMP: place.has_ramp and not asking.climbs,
        MissReason.LID: place.lacks_lid,
        MissReason.NO_HOME: not place.is_in_home,
        MissReason.EXPERIENCE: place.knows is not None and asking.species not in place.knows,
        MissReason.AWAY: place.is_away,
        MissReason.FOOTPRINT: not place.has_room,
    }
    return tuple(reason for reason, holds in against.items() if holds)


def _fits(design: DesignToBuild, home: HomeToFill) -> bool:
    """A footprint may be turned."""
    if home.sides_mm is None:
        return True
    mine, theirs = sorted(design.sides_mm), sorted(home.sides_mm)
    return mine[0] <= theirs[0] and mine[1] <= theirs[1]
