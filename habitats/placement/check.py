"""Check a placing against its case, in plain loops and without any of the code that made it.

What it finds is told in English for those who mend the program; a placing that people see has
nothing here.
"""

from collections import Counter
from collections.abc import Iterator

from habitats.placement.values import (
    EnclosureToFill,
    Goal,
    GroupToPlace,
    HomeToFill,
    PlaceToLive,
    Placing,
    PlacingCase,
    WaitingUrgency,
)


def faults(case: PlacingCase, placing: Placing) -> list[str]:
    """Everything that is wrong with it; nothing where it keeps all that was asked."""
    strange = list(_everybody_once(case, placing))
    if strange:
        return strange
    return [
        *_one_group_an_enclosure(placing),
        *places_suit(case, placing),
        *_homes_keep_their_limits(case, placing),
        *_quarantine_is_kept(case, placing),
        *_by_hand(case, placing),
        *_figures(case, placing),
    ]


def goal_values(
    case: PlacingCase, placing: Placing
) -> dict[tuple[Goal, WaitingUrgency | None], int]:
    """What the placing comes to, worked out again from its stays.

    By goal, and of waiting by its urgency (None: of other goals). Goals that come to nothing have
    no key; floor is in mm².
    """
    groups = {one.ref: one for one in case.groups}
    unions = {one.of: one for one in case.unions}
    found: Counter[tuple[Goal, WaitingUrgency | None]] = Counter()
    for stay in placing.stays:
        members = [groups[ref] for ref in stay.groups]
        if len(members) > 1:
            needs, wishes = unions[stay.groups].needs_mm2, unions[stay.groups].wishes_mm2
        else:
            needs, wishes = members[0].needs_mm2, members[0].wishes_mm2
        for one in members:
            if not stay.suits:
                found[Goal.WAITING, one.urgency] += 1
            elif _is_well_now(case, one) and (
                stay.place is None or stay.place.enclosure != one.lives_in
            ):
                found[Goal.MOVES, None] += 1
        if stay.place is not None:
            for goal, value in _of_place(case, stay.place, needs, wishes):
                found[goal, None] += value
    return dict(found)


def _of_place(
    case: PlacingCase, place: PlaceToLive, needs: int, wishes: int
) -> Iterator[tuple[Goal, int]]:
    """What one place comes to."""
    floor = _floor(case, place)
    if place.design is not None:
        yield Goal.BUILDS, 1
        yield Goal.COST, next(one.cents for one in case.designs if one.ref == place.design)
    yield Goal.WISHES, max(0, wishes - floor) // 100
    yield Goal.SPARE, 1000 if floor <= needs else 1000 * needs * needs // (floor * floor)


def _floor(case: PlacingCase, place: PlaceToLive) -> int:
    for enclosure in case.enclosures:
        if enclosure.ref == place.enclosure:
            return enclosure.floor_mm2
    return next(one.floor_mm2 for one in case.designs if one.ref == place.design)


def _is_well_now(case: PlacingCase, group: GroupToPlace) -> bool:
    return group.lives_in is not None and not list(
        _against(case, [group], group.needs_mm2, group.lives_in)
    )


def _against(case: PlacingCase, members: list[GroupToPlace], needs: int, ref: str) -> Iterator[str]:
    """What speaks against living in an enclosure, for those who live there already as well."""
    place = next(one for one in case.enclosures if one.ref == ref)
    home = next((one for one in case.homes if one.ref == place.home), HomeToFill("none"))
    who = "+".join(one.ref for one in members)
    if any(one.species != place.species for one in members):
        yield f"{who} in {ref}: made for another species"
    if not place.is_safe:
        yield f"{who} in {ref}: it is unsafe"
    if place.floor_mm2 < needs:
        yield f"{who} in {ref}: {needs - place.floor_mm2} mm² lack"
    if place.has_ramp and not all(one.climbs for one in members):
        yield f"{who} in {ref}: has a ramp"
    if home.other_pets and not place.has_lid:
        yield f"{who} in {ref}: has no lid"
    for bar in case.bars:
        if bar.enclosure == ref and any(one.ref == bar.group for one in members):
            yield f"{who} in {ref}: barred"
    for pair in case.forbidden:
        if any(one.ref == pair.group for one in members) and (
            pair.enclosure == ref or (pair.home is not None and pair.home == place.home)
        ):
            yield f"{who} in {ref}: forbidden"


def _everybody_once(case: PlacingCase, placing: Placing) -> Iterator[str]:
    times = Counter(ref for stay in placing.stays for ref in stay.groups)
    for group in case.groups:
        if times[group.ref] != 1:
            yield f"{group.ref} is in {times[group.ref]} stays"
    known = {one.ref for one in case.groups}
    for ref in times:
        if ref not in known:
            yield f"{ref} is no group of the case"
    together = {one.of for one in case.unions}
    for stay in placing.stays:
        if len(stay.groups) > 1 and stay.groups not in together:
            yield f"{'+'.join(stay.groups)} may not live together"


def _one_group_an_enclosure(placing: Placing) -> Iterator[str]:
    times = Counter(
        stay.place.enclosure for stay in placing.stays if stay.place and stay.place.enclosure
    )
    for ref, count in times.items():
        if count > 1:
            yield f"{count} stays in {ref}"


def places_suit(case: PlacingCase, placing: Placing) -> Iterator[str]:
    """What is wrong with any stay by itself, whatever others do."""
    groups = {one.ref: one for one in case.groups}
    for stay in placing.stays:
        members = [groups[ref] for ref in stay.groups if ref in groups]
        needs = sum(one.needs_mm2 for one in members)
        for union in case.unions:
            if union.of == stay.groups:
                needs = union.needs_mm2
        who = "+".join(stay.groups)
        if stay.place is None:
            if stay.suits or any(one.lives_in is not None for one in members):
                yield f"{who} has lost its place"
        elif stay.place.enclosure is not None:
            yield from _in_enclosure(case, stay.suits, members, needs, stay.place.enclosure)
        else:
            yield from _in_build(case, members, needs, stay.place)


def _in_enclosure(
    case: PlacingCase, suits: bool, members: list[GroupToPlace], needs: int, ref: str
) -> Iterator[str]:
    against = list(_against(case, members, needs, ref))
    who = "+".join(one.ref for one in members)
    comes = [one for one in members if one.lives_in != ref]
    if comes or len(members) > 1:
        yield from against
        enclosure = next(one for one in case.enclosures if one.ref == ref)
        yield from _newcomer(case, members, enclosure.home)
        for one in comes:
            if not one.may_move and one.lives_in is not None:
                yield f"{one.ref} may not move"
    elif suits == bool(against):
        yield f"{who} in {ref}: told to suit {suits}, yet {against}"


def _in_build(
    case: PlacingCase, members: list[GroupToPlace], needs: int, place: PlaceToLive
) -> Iterator[str]:
    design = next(one for one in case.designs if one.ref == place.design)
    home = next(one for one in case.homes if one.ref == place.home)
    who = "+".join(one.ref for one in members)
    if any(one.species != design.species for one in members):
        yield f"{who}: {design.ref} is made for another species"
    if design.floor_mm2 < needs:
        yield f"{who}: {design.ref} is too small"
    if design.has_ramp and not all(one.climbs for one in members):
        yield f"{who}: {design.ref} has a ramp"
    if home.other_pets and not design.has_lid:
        yield f"{who}: {design.ref} has no lid"
    if home.sides_mm is not None:
        (long, short), (room, narrow) = sorted(design.sides_mm)[::-1], sorted(home.sides_mm)[::-1]
        if long > room or short > narrow:
            yield f"{who}: {design.ref} has no room in {home.ref}"
    if any(not one.may_move and one.lives_in is not None for one in members):
        yield f"{who} may not move"
    yield from _newcomer(case, members, home.ref)
    for pair in case.forbidden:
        if pair.home == home.ref and any(one.ref == pair.group for one in members):
            yield f"{who} in {home.ref}: forbidden"


def _newcomer(case: PlacingCase, members: list[GroupToPlace], ref: str | None) -> Iterator[str]:
    who = "+".join(one.ref for one in members)
    home = next((one for one in case.homes if one.ref == ref), None)
    if ref is None:
        yield f"{who}: the enclosure stands in no home"
    if home is not None and home.is_away:
        yield f"{who}: {home.ref} is away"
    if home is not None and home.knows is not None and members[0].species not in home.knows:
        yield f"{who}: {home.ref} does not know them"


class _HomeCount:
    """Who lives in a home, now or as proposed: enclosures with their groups."""

    def __init__(self, lived_in: list[list[GroupToPlace]], builds: int = 0) -> None:
        self.enclosures = len(lived_in)
        self.animals = sum(one.animals for inside in lived_in for one in inside)
        self.builds = builds
        cohorts = [one.cohort for inside in lived_in for one in inside]
        self.cohorts = len({one for one in cohorts if one is not None})
        # Enclosures, since it is these that are kept apart.
        self.ill = sum(any(one.cohort is not None for one in inside) for inside in lived_in)
        self.others = sum(one is None for one in cohorts)


def _counts(case: PlacingCase, placing: Placing, home: HomeToFill) -> tuple[_HomeCount, _HomeCount]:
    groups = {one.ref: one for one in case.groups}
    ours: list[EnclosureToFill] = [one for one in case.enclosures if one.home == home.ref]
    refs = {one.ref for one in ours}
    before = [[one] for one in case.groups if one.lives_in in refs]
    there = [stay for stay in placing.stays if stay.place and stay.place.home == home.ref]
    after = [[groups[ref] for ref in stay.groups] for stay in there]
    builds = sum(stay.place is not None and stay.place.design is not None for stay in there)
    return _HomeCount(before), _HomeCount(after, builds)


def _homes_keep_their_limits(case: PlacingCase, placing: Placing) -> Iterator[str]:
    for home in case.homes:
        before, after = _counts(case, placing, home)
        if home.most_enclosures is not None:
            if after.enclosures > max(home.most_enclosures, before.enclosures):
                yield f"{home.ref}: {after.enclosures} enclosures"
            standing = sum(one.home == home.ref for one in case.enclosures)
            if after.builds > max(0, home.most_enclosures - standing):
                yield f"{home.ref}: no room for {after.builds} more"
        if home.most_animals is not None and after.animals > max(home.most_animals, before.animals):
            yield f"{home.ref}: {after.animals} animals"


def _quarantine_is_kept(case: PlacingCase, placing: Placing) -> Iterator[str]:
    for home in case.homes:
        before, after = _counts(case, placing, home)
        if after.cohorts > max(1, before.cohorts):
            yield f"{home.ref}: {after.cohorts} cohorts in quarantine"
        broken = before.ill if before.others else 0
        if after.others and after.ill > max(home.isolation_places, broken):
            yield f"{home.ref}: {after.ill} in quarantine beside others"


def _by_hand(case: PlacingCase, placing: Placing) -> Iterator[str]:
    where = {ref: stay for stay in placing.stays for ref in stay.groups}
    for pin in case.pins:
        place = where[pin.group].place if pin.group in where else None
        if pin.enclosure is not None and (place is None or place.enclosure != pin.enclosure):
            yield f"{pin.group} is not in {pin.enclosure}"
        if pin.home is not None and (place is None or place.home != pin.home):
            yield f"{pin.group} is not in {pin.home}"


def _figures(case: PlacingCase, placing: Placing) -> Iterator[str]:
    found = goal_values(case, placing)
    for one in placing.reached:
        if one.value != found.get((one.goal, one.urgency), 0):
            yield f"{one.goal}: {one.value} told, {found.get((one.goal, one.urgency), 0)} found"
        if one.bound > one.value:
            yield f"{one.goal}: a bound of {one.bound} above {one.value}"
