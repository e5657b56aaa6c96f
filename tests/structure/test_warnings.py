"""Warnings: each appears where it should, says a plain sentence, and stays away elsewhere."""

import pytest

from habitats.structure.structure import raise_structure
from habitats.structure.warnings import warnings_for

GROUND = ["#####", "#####"]
END = ["....#", "....#"]
RAMP = {"level": 1, "row": 0, "col": 4, "side": "W", "panels": 3}


@pytest.fixture
def warned(make_document, design_from):
    def codes(ground=GROUND, upper=None, tiers=1, **changes):
        document = make_document(ground, upper=upper, **changes)
        document["levels"][0]["wall_panels"] = tiers
        return {one.code for one in warnings_for(raise_structure(design_from(document)))}

    return codes


def test_a_usual_ramp_is_above_the_slope_of_the_study_but_not_of_practice(warned):
    # 25.4 degrees. Published: guinea pigs stopped at 14.2 degrees on average, n = 4 (J Exp Anal
    # Behav 118:292, 2022, doi 10.1002/jeab.783). Common practice, no source: about 25 degrees.
    codes = warned(upper=END, ramps=[RAMP])

    assert "slope_above_study" in codes
    assert "slope_above_practice" not in codes


def test_a_gentle_ramp_warns_of_no_slope(warned):
    long = {"ground": ["#" * 8] * 2, "upper": ["." * 7 + "#"] * 2}

    # Six panels are 39 squares = 1538 mm: 13.3 degrees.
    codes = warned(**long, ramps=[{**RAMP, "col": 7, "panels": 6}])

    assert not codes & {"slope_above_study", "slope_above_practice"}


def test_a_steep_ramp_warns_of_practice(warned):
    # Overlap of four: 19 squares = 749 mm, 28.3 degrees.
    codes = warned(upper=END, ramps=[{**RAMP, "overlap_squares": 4}])

    assert "slope_above_practice" in codes


@pytest.mark.parametrize(
    ("ground", "upper", "warns"),
    [
        (["####"] * 2, ["...#"] * 2, False),  # two cells between two walls
        (["####"] * 3, ["...#"] * 3, True),  # three
        (["####"] * 3, [".##.", "....", "...."], False),  # a shelf one deep and two wide
        (["####"] * 3, ["####", "....", "...."], True),  # four wide
        (["####"] * 4, ["##..", "##..", "....", "...."], True),  # two by two in a corner
        (["####"] * 2, ["####"] * 2, False),  # two cells across, however long
    ],
)
def test_a_floor_of_more_than_two_panels_with_nothing_under_it_warns(warned, ground, upper, warns):
    assert ("long_span" in warned(ground, upper)) == warns


def test_a_divider_under_the_floor_carries_it(warned):
    divider = {"z": 0, "row": 0, "col": 3, "side": "S"}

    assert "long_span" not in warned(["####"] * 3, ["...#"] * 3, dividers=[divider])


def test_walls_under_300_mm_without_a_lid_warn(warned):
    # About 30 cm for open tops: advice of the Swiss federal veterinary office.
    tray = {"wall_mm": 100}

    assert "low_walls" in warned(size_mm=299, tray=tray)
    assert "low_walls" not in warned(size_mm=300, tray=tray)
    assert "low_walls" not in warned(size_mm=299, tray=tray, lid=True)
    assert "low_walls" not in warned(size_mm=299, tray=tray, tiers=2)


def test_rabbits_behind_walls_of_one_panel_warn(warned):
    assert "rabbit_walls" in warned(species="rabbit")
    assert "rabbit_walls" not in warned(species="rabbit", tiers=2)
    assert "rabbit_walls" not in warned()


def test_openings_of_the_wire_are_named_for_guinea_pigs(warned):
    assert "pups_and_wire" in warned()
    assert "pups_and_wire" not in warned(species="rabbit", tiers=2)


def test_an_upper_level_is_not_for_the_young_old_or_pregnant(warned):
    assert "upper_level_frail" in warned(upper=END)
    assert "upper_level_frail" not in warned()


def test_a_level_without_a_ramp_is_named(warned):
    assert "no_ramp" in warned(upper=END)
    assert "no_ramp" not in warned(upper=END, ramps=[RAMP])


def test_a_ramp_that_ends_near_a_wall_warns(warned):
    # Lane 1065 mm less a run of 748 mm leaves 317 mm; lane 710 leaves none.
    assert "short_landing" not in warned(["####"] * 2, ["...#"] * 2, ramps=[{**RAMP, "col": 3}])
    assert "short_landing" in warned(["###"] * 2, ["..#"] * 2, ramps=[{**RAMP, "col": 2}])


def test_a_ramp_near_the_top_of_an_unguarded_wall_warns(warned):
    assert "ramp_near_wall_top" in warned(upper=END, ramps=[RAMP], guards=[])
    assert "ramp_near_wall_top" not in warned(upper=END, ramps=[RAMP])


def test_a_channel_too_narrow_warns(warned):
    assert "narrow_ramp" in warned(upper=END, ramps=[{**RAMP, "bend_squares": 4}])


def test_a_doorway_too_low_for_a_rabbit_warns(warned):
    small = {"size_mm": 300, "species": "rabbit", "tiers": 2}

    assert "low_doorway" in warned(upper=END, ramps=[RAMP], **small)
    assert "low_doorway" not in warned(upper=END, ramps=[RAMP])


def test_lengths_are_written_in_the_readers_units(make_design):
    structure = raise_structure(make_design(["##", "##"], size_mm=254, tray={"wall_mm": 100}))

    inches = warnings_for(structure, lambda mm: f"{mm / 25.4:g} in")

    assert any("Walls of 10 in" in one.sentence for one in inches)
