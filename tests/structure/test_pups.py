"""The pup set: which walls take a second layer, and when it is asked for.

No published limit says what young pass; 25 mm from wire to wire, doubling the wire while there are
young, and keeping young off upper levels are common practice, no source.
"""

import pytest
from hypothesis import given, settings

from habitats.structure.design import PanelSize
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Face, PanelPlace, Side
from habitats.structure.pups import PupPlace, asks_for_pup_set, is_within, pup_places
from habitats.structure.read import design_from, document_of
from habitats.structure.structure import raise_structure
from habitats.structure.warnings import warnings_for
from tests.support.designs import Divider, Door, designs, make_design, ramp_from, replace

PLAIN = replace(make_design(["####", "####"]), pup_set=True)
LOFT = replace(
    make_design(
        ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
    ),
    pup_set=True,
)


def places(design):
    return pup_places(raise_structure(design))


def codes(design):
    return {one.code for one in warnings_for(raise_structure(design))}


def test_a_file_without_the_key_plans_as_before():
    document = document_of(replace(PLAIN, pup_set=False))

    assert "pup_set" not in document
    assert places(design_from(document)) == ()


@settings(max_examples=25)
@given(designs())
def test_a_file_tells_it(design):
    assert design_from(document_of(design)).pup_set == design.pup_set


def test_a_word_in_its_place_is_refused():
    with pytest.raises(BadDesign):
        design_from({**document_of(PLAIN), "pup_set": "yes"})


def test_each_wall_of_the_ground_takes_one_panel():
    assert len(places(PLAIN)) == 12  # 2 × 4 cells: 4 + 4 + 2 + 2


def test_a_second_tier_and_an_upper_level_take_none():
    high = replace(PLAIN, levels=(replace(PLAIN.ground, wall_panels=2),))

    assert places(high) == places(PLAIN)
    assert {one.place.z for one in places(LOFT) if not one.at_foot} == {0}


def test_dividers_and_front_doors_take_one_too():
    design = replace(
        PLAIN, dividers=[Divider(0, 0, 1, Side.E)], doors=[Door(0, 0, 0, Side.N)], lid=True
    )

    assert len(places(design)) == 13
    assert PupPlace(PanelPlace(Face.EW, 0, 0, 0)) in places(design)


def test_the_foot_of_each_ramp_to_the_ground_is_shut():
    feet = [one for one in places(LOFT) if one.at_foot]

    assert feet == [PupPlace(PanelPlace(Face.NS, 0, 3, 1), at_foot=True)]


def test_a_hand_reaches_inside_for_feet_dividers_and_walls_of_the_room():
    structure = raise_structure(
        replace(LOFT, dividers=[Divider(0, 1, 0, Side.E)], room_walls=frozenset({Side.N}))
    )
    inside = [one for one in pup_places(structure) if is_within(structure, one)]

    assert len(inside) == 1 + 1 + 4
    assert not any(
        is_within(raise_structure(PLAIN), one) for one in pup_places(raise_structure(PLAIN))
    )


@pytest.mark.parametrize(("squares", "asks"), [(9, True), (13, True), (14, False), (20, False)])
def test_it_is_asked_for_where_openings_are_wider_than_25_mm(squares, asks):
    panel = PanelSize(350, squares)  # 38.9, 26.9, 25.0 and 17.5 mm

    assert asks_for_pup_set(panel) == asks
    assert ("pups_and_wire" in codes(replace(PLAIN, panel=panel, pup_set=False))) == asks


def test_a_mesh_that_is_too_wide_also_when_doubled_warns():
    wide = replace(PLAIN, panel=PanelSize(355, 5))  # 71 mm, doubled 35.5 mm

    assert "pup_set_wide" in codes(wide)
    assert "pup_set_wide" not in codes(PLAIN)


def test_with_a_ramp_it_says_that_the_upper_level_is_shut():
    assert "pup_set_upper" in codes(LOFT)
    assert "pup_set_upper" not in codes(PLAIN)
