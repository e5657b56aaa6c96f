"""Ramps: the worked value of common practice, lanes, and what stands in a ramp's way."""

from math import cos, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.structure.design import Limits, PanelSize
from habitats.structure.faults import BadDesign
from habitats.structure.ramp import ramp_length, run_of, seat_needed, slope_of
from habitats.structure.structure import raise_structure

GROUND = ["####", "####"]
END = ["...#", "...#"]


def ramp(**changes):
    wish = {"level": 1, "row": 0, "col": 3, "side": "W", "panels": 3}
    return {**wish, "overlap_squares": 3, "bend_squares": 3, **changes}


@pytest.fixture
def raise_with(make_design):
    def raised(*ramps, ground=GROUND, upper=END, limits=None, **changes):
        return raise_structure(
            make_design(ground, upper=upper, ramps=list(ramps), **changes), limits
        )

    return raised


@pytest.fixture
def refused(raise_with):
    """The one fault of a design with these ramps."""

    def fault(*ramps, **changes):
        with pytest.raises(BadDesign) as refusal:
            raise_with(*ramps, **changes)
        assert len(refusal.value.faults) == 1
        return refusal.value.faults[0]

    return fault


def test_three_panels_of_355_overlapping_three_squares(raise_with):
    # Worked value, common practice and arithmetic: 3 x 9 - 2 x 3 = 21 squares of 355 / 9 mm =
    # 828 mm, the strip cut 830 mm; rise 355 mm: slope 25.4 degrees, run 748 mm.
    worked = raise_with(ramp()).ramps[0]

    assert round(worked.length_mm) == 828
    assert worked.rise_mm == 355
    assert round(worked.run_mm) == 748
    assert round(worked.slope_deg, 1) == 25.4
    assert worked.strip == (200, 830)
    assert worked.strip_side_mm == 50


def test_the_folded_towel_covers_the_strip_and_is_20_cm_longer_than_the_ramp(raise_with):
    # Common practice, no source.
    worked = raise_with(ramp()).ramps[0]

    assert worked.towel[0] >= worked.strip[0]
    assert worked.towel[1] >= worked.length_mm + 200


def test_auto_takes_the_fewest_panels_within_the_limit(raise_with):
    # Two panels are 15 squares = 592 mm: 36.9 degrees; three are 25.4.
    assert raise_with(ramp(panels="auto")).ramps[0].panels == 3


def test_a_gentler_limit_takes_more_panels(raise_with):
    long = {"ground": ["######", "######"], "upper": [".....#", ".....#"]}

    chosen = raise_with(ramp(col=5, panels="auto"), limits=Limits(slope_deg=20), **long)

    assert chosen.ramps[0].panels == 4


@given(st.integers(150, 500), st.integers(3, 12), st.integers(1, 12), st.integers(1, 2))
def test_length_rise_run_and_slope_are_one_triangle(size, squares, panels, overlap):
    length = ramp_length(PanelSize(size, squares), panels, overlap)
    rise = round(length / 3)
    slope = radians(slope_of(length, rise))

    assert abs(length * sin(slope) - rise) < 1e-6
    assert abs(length * cos(slope) - run_of(length, rise)) < 1e-6
    assert abs(run_of(length, rise) * tan(slope) - rise) < 1e-6


def test_the_lane_is_the_cells_under_the_run(raise_with):
    # A run of 748 mm reaches into the third cell of 355 mm.
    assert [tuple(cell) for cell in raise_with(ramp()).ramps[0].lane] == [(0, 2), (0, 1), (0, 0)]


def test_what_is_left_of_the_lane_is_the_landing(raise_with):
    assert raise_with(ramp()).ramps[0].landing_mm == 3 * 355 - 748


def test_a_ramp_a_little_longer_than_its_lane_lies_with_its_head_through_the_doorway(raise_with):
    # Lane 710 mm, rise 355: foot to sill is 793.8 mm, so 828.3 reaches 35 mm through.
    short = raise_with(ramp(col=2), ground=["###", "###"], upper=["..#", "..#"]).ramps[0]

    assert short.seat_mm == 35


def test_the_foot_of_a_seated_ramp_stays_in_its_lane(raise_with):
    # 828 mm rise 355 mm over a lane of 710 mm: 35 mm of head through the doorway leave
    # sqrt(793.3² - 355²) = 709.5 mm to the foot.
    seated = raise_with(ramp(col=2, row=0), ground=["####"], upper=["..##"]).ramps[0]

    assert (seated.seat_mm, seated.foot_mm) == (35, 709)


def test_a_ramp_as_long_as_its_lane_needs_no_seat():
    assert seat_needed(500, 300, 400) == 0


def test_a_ramp_much_longer_than_its_lane_is_refused(refused):
    fault = refused(ramp(col=1), ground=["##", "##"], upper=[".#", ".#"])

    assert fault.place == "ramps[0]"
    assert "runs 748 mm" in fault.message
    assert "only 355 mm" in fault.message


def test_a_divider_across_the_lane_ends_it(refused):
    divider = {"z": 0, "row": 0, "col": 2, "side": "W"}

    assert "only 355 mm" in refused(ramp(), dividers=[divider]).message


def test_a_divider_along_the_lane_does_not(raise_with):
    divider = {"z": 0, "row": 0, "col": 2, "side": "S"}

    assert raise_with(ramp(), dividers=[divider]).ramps


def test_another_upper_floor_over_the_lane_ends_it(make_document, design_from):
    document = make_document(GROUND, upper=END, ramps=[ramp()])
    document["levels"].append({"z": 1, "wall_panels": 1, "plan": ["#...", "#..."]})

    with pytest.raises(BadDesign, match="only 710 mm") as refusal:
        raise_structure(design_from({**document, "ramps": [ramp(panels=4)]}))

    assert refusal.value.faults[0].place == "ramps[0]"


def test_a_slope_of_exactly_the_limit_is_within_it(raise_with):
    # 4 panels overlapping 6 of 9 squares are twice as long as one panel: 30° for its rise.
    steep = raise_with(ramp(panels=4, overlap_squares=6)).ramps[0]

    assert steep.slope_deg == 30
    assert raise_with(ramp(panels="auto", overlap_squares=6)).ramps[0].panels == 4


def test_a_slope_over_the_limit_is_refused_with_both_figures(refused):
    fault = refused(ramp(panels=2))

    assert fault.place == "ramps[0].panels"
    assert "36.9°" in fault.message
    assert "30°" in fault.message


def test_a_ramp_too_short_to_reach_its_doorway_is_refused(refused):
    assert "too short" in refused(ramp(panels=1, overlap_squares=3), size_mm=355, squares=9).message


def test_a_doorway_on_an_inner_edge_is_refused(refused):
    fault = refused(ramp(side="S"))

    assert fault.place == "ramps[0].side"
    assert "inner edge" in fault.message


def test_a_ramp_past_the_floor_is_refused(refused):
    assert "past the floor" in refused(ramp(side="E")).message


def test_a_ramp_from_a_cell_the_level_does_not_have_is_refused(refused):
    assert "no cell at row 1, column 2" in refused(ramp(col=1)).message


def test_a_ramp_from_a_level_that_is_not_there_is_refused(refused):
    fault = refused(ramp(level=2))

    assert fault.place == "ramps[0].level"


def test_two_ramps_in_one_lane_are_refused(refused):
    assert "Another ramp" in refused(ramp(), ramp()).message


def test_a_lid_right_over_the_lane_leaves_no_head_room(refused):
    assert "head room" in refused(ramp(), lid=True).message


def test_a_lid_a_tier_higher_leaves_enough(make_document, design_from):
    document = make_document(GROUND, upper=END, ramps=[ramp()], lid=True)
    document["levels"][0]["wall_panels"] = 2

    assert raise_structure(design_from(document)).ramps


def test_a_ramp_lands_on_the_highest_level_below(make_document, design_from):
    document = make_document(["#####", "#####"], upper=["#####", "....."])
    document["levels"].append({"z": 2, "wall_panels": 1, "plan": ["....#", "....."]})
    document["ramps"] = [ramp(level=2, col=4)]

    landed = raise_structure(design_from(document)).ramps[0]

    assert landed.landing == 1
    assert landed.rise_mm == 355


def test_the_doorway_panel_is_one_of_the_walls(raise_with):
    doorways = [panel for panel in raise_with(ramp()).panels if panel.doorway]

    assert [tuple(panel.place) for panel in doorways] == [("NS", 0, 3, 1)]


def test_the_tray_opens_where_the_ramp_leaves(raise_with):
    # Three squares of 355 / 9 mm are 118 mm, in the middle of the cell's side.
    doorway = raise_with(ramp()).trays[1].doorways[0]

    assert (doorway.x1, doorway.x2) == (1065, 1065)
    assert (doorway.y1, doorway.y2) == (118, 236)


def test_a_doorway_wider_than_the_trays_wall_is_refused(refused):
    # One square bent leaves 7 of 9: 276 mm of 355; 39 mm are left on each side of the cell, less
    # than the clearance of 45 mm.
    tray = {"wall_mm": 150, "clearance_mm": 45, "round_mm": 10}

    fault = refused(ramp(bend_squares=1), tray=tray)

    assert "reaches past the tray's wall" in fault.message
