"""What an alteration leaves standing, and what is done to it where it stands."""

from builds.making.altering.alteration import Alteration
from builds.making.altering.counting import TiedPlace
from builds.making.altering.rehanging import rehung
from builds.making.step import Parts
from builds.making.ties import TieSpot, ties_needed
from habitats.structure.connectors import Turn
from habitats.structure.lattice import joints_of


def what_stays_in_target(alteration: Alteration) -> Parts:
    """What stays, trays and ramps by the target's indexes."""
    stays = alteration.staying
    return Parts(
        stays.places,
        stays.joints,
        frozenset(stays.trays),
        frozenset(stays.ramps),
        alteration.anchors_left,
        alteration.pups_left,
    )


def what_stays_as_it_stood(alteration: Alteration) -> Parts:
    """The same by the indexes of what stands."""
    stays = alteration.staying
    return Parts(
        stays.places,
        stays.joints,
        frozenset(stays.trays.values()),
        frozenset(stays.ramps.values()),
        alteration.anchors_left,
        alteration.pups_left,
    )


def turned_in_place(alteration: Alteration) -> tuple[Turn, ...]:
    """Connectors that stay and are turned. Others are off anyway, and go back as they will sit."""
    joints = alteration.staying.joints
    return tuple(turn for turn in alteration.turns if turn.joint in joints)


def retied(alteration: Alteration) -> tuple[TieSpot, ...]:
    """Places among what stays that are tied although nothing is put on there."""
    places = alteration.staying.places
    return tuple(
        spot
        for group in ties_needed(alteration.target)
        for spot in group.spots
        if spot.places
        and places.issuperset(spot.places)
        and TiedPlace(spot.where, frozenset(spot.joints), frozenset(spot.places), None)
        not in alteration.ties_left
    )


def ties_to_cut(alteration: Alteration) -> int:
    """Ties round what stays that have nothing to hold any more."""
    places, left = alteration.staying.places, alteration.ties_left
    return sum(
        count
        for spot, count in alteration.ties[0].items()
        if spot.ramp is None and spot.places <= places and spot not in left
    )


def cut_where_it_lies(alteration: Alteration) -> tuple[int, ...]:
    """Levels of the target whose tray stays and gets a doorway more."""
    stays = alteration.staying.trays
    return tuple(one.level for one in alteration.trays if one.doorways and one.level in stays)


def anything_to_do(alteration: Alteration) -> bool:
    return opens_it(alteration) or any(
        (
            alteration.furniture_new,
            alteration.furniture_left,
            alteration.pups_put,
            alteration.pups_taken,
        )
    )


def opens_it(alteration: Alteration) -> bool:
    """Whether anything of what stands is taken off, put on, turned, tied or cut."""
    return bool(
        alteration.handled
        or turned_in_place(alteration)
        or retied(alteration)
        or rehung(alteration)
        or ties_to_cut(alteration)
        or cut_where_it_lies(alteration)
        or alteration.anchors_freed
        or alteration.anchors_fixed
    )


def touched(alteration: Alteration) -> Parts:
    """Where hands are put on what stands."""
    stands, target = alteration.stands.places, alteration.target.places
    places = (stands | target) - alteration.staying.places
    turned = {turn.joint for turn in turned_in_place(alteration)}
    tied = {joint for spot in retied(alteration) for joint in spot.joints}
    doors = joints_of(rehung(alteration))
    anchored = alteration.anchors_freed | alteration.anchors_fixed
    pups = {one.place for one in alteration.pups_put | alteration.pups_taken}
    return Parts(places | anchored | pups, frozenset(turned | tied | doors))
