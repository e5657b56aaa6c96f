"""The quick way through a whole rescue answers as the plain one does."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare.company import company
from habitats.welfare.declining import HomeThere, PlaceThere, Why
from habitats.welfare.limits import DEFAULTS
from habitats.welfare.newcomers import Kind, Newcomers
from habitats.welfare.outgrowing import residents_on
from habitats.welfare.placing import (
    EnclosureThere,
    GroupThere,
    room_for,
)
from habitats.welfare.quarantine import in_quarantine
from habitats.welfare.rule_sets import rule_sets
from habitats.welfare.sifting import sift
from habitats.welfare.taking import takings
from habitats.welfare.values import Room, Species
from tests.support import companions as random_lives
from tests.support.companions import TODAY

CHOOSABLE = [one for one in rule_sets() if one.choosable]
rarely = st.sampled_from([False, False, False, True])
rooms = st.builds(
    Room,
    ground_mm2=st.integers(3, 30).map(lambda tenths: tenths * 100_000),
    upper_mm2=st.sampled_from([0, 200_000]),
    height_mm=st.sampled_from([None, 355, 710, 1065]),
    tall_share=st.sampled_from([None, 0.5, 1.0]),
    longest_side_mm=st.sampled_from([None, 1200, 2400]),
    raised_mm2=st.sampled_from([None, 0, 200_000]),
)
homes = st.none() | st.builds(
    HomeThere,
    is_closed=rarely,
    isolation_places=st.integers(0, 2),
    most_enclosures=st.integers(1, 3),
    lived_in=st.integers(0, 3),
    quarantined=st.integers(0, 2),
    most_animals=st.sampled_from([None, None, 4, 8]),
    animals=st.integers(0, 5),
    knows=st.sampled_from([None, None, frozenset({Species.RABBIT})]),
    is_away=rarely,
    needs_lids=rarely,
)


@st.composite
def rescues(draw):
    places, groups = [], []
    for ref in "ABCDEF"[: draw(st.integers(1, 6))]:
        species = draw(st.sampled_from(Species))
        flags = [not draw(rarely), draw(rarely), draw(rarely)]
        has_lid = draw(st.booleans())
        places.append(EnclosureThere(ref, species, draw(rooms), *flags, draw(homes), has_lid))
        if draw(st.booleans()):
            living = draw(random_lives.groups(3, draw(st.sampled_from([None, species, species]))))
            living = [replace(one, ref=f"{ref}-{one.ref}") for one in living if draw(st.booleans())]
            groups.append((ref, species, tuple(living), draw(rarely), draw(rarely)))
    return places, [_group(*one) for one in groups]


def _group(ref, species, living, let_be, is_suspected):
    objections = company(living, TODAY) if let_be else ()
    keys = frozenset(one.key for one in objections)
    return GroupThere(f"group-{ref}", ref, species, living, keys, is_suspected)


@st.composite
def questions(draw):
    kind = draw(st.sampled_from(Kind))
    number = draw(st.integers(2 if kind is Kind.LITTER else 1, 12))
    return Newcomers(draw(st.sampled_from(Species)), number, kind, in_quarantine=draw(rarely))


def sifted(newcomers, places, groups, rules):
    living = {one.enclosure: one for one in groups}
    there = [_there(one, living.get(one.ref), newcomers, rules) for one in places]
    return sift(newcomers, there, rules, TODAY)


def _there(place, group, newcomers, rules):
    """As it is kept: nobody knows yet how many will come."""
    animals = group.companions if group else ()
    species = {group.species, *(one.species for one in animals)} if group else set()
    kept = None
    if len({one.species for one in animals}) <= 1:
        (of,) = {one.species for one in animals} or {place.species}
        kept = takings(
            animals,
            company(animals, TODAY),
            residents_on(animals, TODAY),
            of,
            place.room,
            rules if rules and rules.species is of else None,
            TODAY,
            overridden=group.overridden if group else frozenset(),
            limits=DEFAULTS,
        )[newcomers.kind]
    there = PlaceThere(
        place.ref,
        place.species,
        place.stands,
        place.is_unsafe,
        place.is_suspected or bool(group and group.is_suspected),
        place.home,
        group.ref if group else None,
        frozenset(species),
        bool(animals),
        any(in_quarantine(one, TODAY, DEFAULTS) for one in animals),
        place.has_lid,
    )
    return there, kept


@given(rescues(), questions(), st.data())
def test_of_any_rescue_it_says_what_is_said_of_each_enclosure(rescue, newcomers, data):
    places, groups = rescue
    fitting = [one for one in CHOOSABLE if one.species is newcomers.species]
    rules = data.draw(st.sampled_from([None, *fitting]))
    plain = room_for(newcomers, places, groups, rules, TODAY)
    quick = sifted(newcomers, places, groups, rules)

    for theirs, ours in ((plain.free, quick.free), (plain.groups, quick.groups)):
        assert [(one.enclosure, one.group, one.takes, len(one.cautions)) for one in theirs] == [
            tuple(one) for one in ours
        ]
    assert [one._replace(sentence="") for one in plain.declined] == [
        (one.enclosure, one.group, one.why, "", one.takes) for one in quick.declined
    ]


def test_an_enclosure_of_which_nothing_is_kept_is_not_passed_over():
    with pytest.raises(ValueError, match="Nothing is told of A"):
        sift(
            Newcomers(Species.RABBIT, 1, Kind.FEMALE),
            [(PlaceThere("A", Species.RABBIT, True, False, False, None), None)],
            None,
            TODAY,
        )
    out = PlaceThere("A", Species.RABBIT, False, False, False, None)
    told = sift(Newcomers(Species.RABBIT, 1, Kind.FEMALE), [(out, None)], None, TODAY)
    assert [one.why for one in told.declined] == [Why.NOT_STANDING]
