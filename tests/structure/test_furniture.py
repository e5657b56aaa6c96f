"""Furniture: how many hides and places for water and hay there are, and where they stand.

The numbers are common practice, no source: a hide for each animal, one place for water for two
animals and two at the least, one place for hay for two.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from habitats.structure.design import Furniture
from habitats.structure.faults import BadDesign
from habitats.structure.furniture import FurnitureKind, counts_of, furniture_words, places_of
from habitats.structure.lattice import Side
from habitats.structure.read import design_from, document_of
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from, replace


@pytest.mark.parametrize(
    ("animals", "hides", "water", "hay"), [(1, 1, 2, 1), (2, 2, 2, 1), (3, 3, 2, 2), (7, 7, 4, 4)]
)
def test_the_numbers_follow_from_the_animals(animals, hides, water, hay):
    assert counts_of(Furniture(animals)) == {
        FurnitureKind.HIDE: hides,
        FurnitureKind.WATER: water,
        FurnitureKind.HAY: hay,
    }


def test_what_a_person_says_counts_also_none():
    counts = counts_of(Furniture(3, hides=5, hay=0))

    assert counts == {FurnitureKind.HIDE: 5, FurnitureKind.WATER: 2, FurnitureKind.HAY: 0}
    assert furniture_words(Furniture(3, hides=5, hay=0)) == "5 hides and 2 water bottles or bowls"
    assert furniture_words(None) == ""


# --- Files ---


def test_furniture_is_an_optional_key():
    plain = make_design()
    furnished = replace(plain, furniture=Furniture(2, water=3))

    assert "furniture" not in document_of(plain)
    assert document_of(furnished)["furniture"] == {"animals": 2, "water": 3}
    assert design_from(document_of(furnished)) == furnished


@pytest.mark.parametrize(
    ("given", "place"),
    [
        ({}, "furniture.animals"),
        ({"animals": 0}, "furniture.animals"),
        ({"animals": 2, "hides": -1}, "furniture.hides"),
        ({"animals": 2, "beds": 1}, "furniture.beds"),
        ([], "furniture"),
    ],
)
def test_numbers_out_of_bounds_are_refused_with_their_place(given, place):
    with pytest.raises(BadDesign, match=place):
        design_from({**document_of(make_design()), "furniture": given})


# --- Where it stands ---


@settings(max_examples=25)
@given(designs(), st.integers(1, 9))
def test_each_stands_on_the_ground_apart_from_the_others_and_clear_of_ramps(design, animals):
    structure = raise_structure(replace(design, furniture=Furniture(animals)))
    places = places_of(structure)
    lanes = {cell for ramp in structure.ramps if ramp.landing == 0 for cell in ramp.lane}
    room = 4 * len(design.ground.cells - lanes)

    assert {one.cell for one in places} <= design.ground.cells - lanes
    assert len({one.middle for one in places}) == len(places)
    assert len(places) == min(room, sum(counts_of(structure.design.furniture).values()))


def test_hides_are_spread_first_to_the_far_ends():
    ramp = ramp_from(1, 3, Side.W)
    design = make_design(upper=["...#", "...#"], ramps=(ramp,), furniture=Furniture(2))

    hides = [
        one.cell for one in places_of(raise_structure(design)) if one.piece is FurnitureKind.HIDE
    ]
    assert hides == [(0, 0), (1, 3)]
