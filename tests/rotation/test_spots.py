"""Spots: one for every liner and every ramp's towel, each with a key and a name of its own."""

from collections import Counter

import pytest
from hypothesis import given, settings

from habitats.rotation.liners import liners_for
from habitats.rotation.spots import SpotShape, kept_name, spots_for
from habitats.structure.design import Level, PanelSize, TrayRule
from habitats.structure.lattice import Side
from habitats.structure.read import plan_cells
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, designs, make_design, ramp_from, replace


def spots_of(*plan, **changes):
    return spots_for(raise_structure(make_design(plan, **changes)))


def names_of(*plan, **changes):
    return [spot.name for spot in spots_of(*plan, **changes)]


def with_balcony():
    return {"upper": ["...#", "...#"], "ramps": (ramp_from(0, 3, Side.W, panels=3),)}


def test_a_plain_enclosure_has_one_spot_the_size_of_its_tray():
    # Worked value: 2 × 4 panels of 350 mm, 7 mm clearance each side: inside 686 × 1 386 mm.
    (spot,) = spots_of(
        "####", "####", panel=PanelSize(350), tray=TrayRule(clearance_mm=7, round_mm=1)
    )

    assert spot == SpotShape("z0-r0c0", "ground", "liner", 1386, 686)


def test_levels_and_ramps_are_told_as_people_call_them():
    spots = spots_of("####", "####", **with_balcony())

    assert [spot.name for spot in spots] == ["ground", "upper level", "ramp from the upper level"]
    assert [spot.key for spot in spots] == ["z0-r0c0", "z1-r0c3", "ramp-z1-r0c3W"]


def test_the_towel_of_a_ramp_has_the_size_it_is_folded_to():
    # Worked value: 3 panels of 355 mm, strip 200 × 830 mm, towel 200 mm longer.
    *_, towel = spots_of("####", "####", **with_balcony())

    assert (towel.sort, towel.width_mm, towel.length_mm) == ("towel", 200, 1030)


@pytest.mark.parametrize(
    ("plan", "names"),
    [
        (["####", "##..", "##.."], ["ground, north part", "ground, south part"]),
        (["#..", "###", "###"], ["ground, west part", "ground, east part"]),
        (["##..", "####", "##.."], ["ground, west part", "ground, east part"]),
        (
            ["###", "#.#", "###"],
            [
                "ground, north part",
                "ground, south-west part",
                "ground, south-east part",
                "ground, south part",
            ],
        ),
    ],
    ids=["L", "corner", "T", "round a hole"],
)
def test_parts_of_a_floor_are_told_by_where_they_lie(plan, names):
    assert names_of(*plan) == names


def test_three_parts_in_a_row_are_told_by_their_order():
    dividers = (Divider(0, 0, 0, Side.E), Divider(0, 0, 2, Side.E))

    assert names_of("####", dividers=dividers) == [
        "ground, west part",
        "ground, middle part",
        "ground, east part",
    ]


def test_parts_that_no_bearing_tells_apart_are_numbered():
    dividers = tuple(Divider(0, 0, col, Side.E) for col in range(3))

    assert names_of("####", dividers=dividers) == [
        f"ground, piece {number}" for number in (1, 2, 3, 4)
    ]


def test_several_upper_levels_are_numbered():
    levels = (
        Level(0, 1, plan_cells(["######"])),
        Level(1, 1, plan_cells(["#....."])),
        Level(1, 1, plan_cells([".....#"])),
    )

    design = replace(make_design(["######"]), levels=levels)

    assert [spot.name for spot in spots_for(raise_structure(design))] == [
        "ground",
        "upper level 1",
        "upper level 2",
    ]


def test_two_ramps_from_one_level_are_told_by_their_sides():
    ramps = (ramp_from(0, 3, Side.W, panels=3), ramp_from(0, 3, Side.E, panels=3))

    names = names_of("#######", "#######", upper=["...#...", "...#..."], ramps=ramps)

    assert names[-2:] == [
        "ramp from the upper level, west side",
        "ramp from the upper level, east side",
    ]


def test_two_ramps_on_one_side_are_told_by_their_cells():
    ramps = tuple(ramp_from(row, 3, Side.W, panels=3) for row in (0, 1))

    names = names_of("####", "####", upper=["...#", "...#"], ramps=ramps)

    assert names[-1] == "ramp from the upper level, west side, row 2, column 4"


def test_a_spot_keeps_its_key_where_an_upper_level_is_added_elsewhere():
    before = {(spot.key, spot.name) for spot in spots_of("####", "####")}
    after = {(spot.key, spot.name) for spot in spots_of("####", "####", **with_balcony())}

    assert before <= after


@settings(max_examples=50)
@given(designs())
def test_every_spot_has_a_key_and_a_name_that_no_other_has(design):
    spots = spots_for(raise_structure(design))

    assert len({spot.key for spot in spots}) == len({spot.name for spot in spots}) == len(spots)
    assert all(len(spot.key) <= 40 and len(spot.name) <= 80 for spot in spots)


@settings(max_examples=25)
@given(designs())
def test_each_liner_and_each_towel_has_a_spot_of_its_size(design):
    structure = raise_structure(design)

    sizes = Counter((spot.sort, (spot.width_mm, spot.length_mm)) for spot in spots_for(structure))

    liners = Counter(("liner", one.size) for one in liners_for(structure))
    assert sizes == liners + Counter(("towel", one.towel) for one in structure.ramps)


class Shouting:
    """A language whose sentences end in an exclamation mark."""

    def sentence(self, pattern, context):
        return f"{pattern}!"

    def number(self, figures):
        return figures


@settings(max_examples=50)
@given(designs())
def test_a_name_that_was_kept_in_english_is_told_as_the_name_itself(design):
    for spot in spots_for(raise_structure(design)):
        kept = kept_name(str.__str__(spot.name))

        assert kept == spot.name
        assert kept.said_to(Shouting()) == spot.name.said_to(Shouting())


def test_all_ways_to_name_a_spot_are_told_again():
    ramps = tuple(ramp_from(row, 3, Side.W, panels=3) for row in (0, 1))
    dividers = tuple(Divider(0, 0, col, Side.E) for col in range(3))
    several = spots_of("####", "####", upper=["...#", "...#"], ramps=ramps)

    for spot in (*several, *spots_of("####", dividers=dividers)):
        told = kept_name(str.__str__(spot.name))
        assert told.said_to(Shouting()) == spot.name.said_to(Shouting())


def test_a_name_that_is_none_of_ours_stays_as_it_was_kept():
    assert kept_name("by the window") == "by the window"
