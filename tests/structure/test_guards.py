"""Guards beside ramps: common practice, no source; checked by arithmetic."""

from dataclasses import replace

import pytest

from habitats.structure.faults import BadDesign
from habitats.structure.guards import auto_guards
from habitats.structure.structure import Role, raise_structure

RAMP = {"level": 1, "row": 0, "col": 3, "side": "W", "panels": 3}


@pytest.fixture
def guards_of(make_design):
    def guards(ground=("####", "####"), upper=("...#", "...#"), **changes):
        changes = {"ramps": [RAMP], **changes}
        structure = raise_structure(make_design(list(ground), upper=list(upper), **changes))
        return [(one.row, one.col, one.side, one.z) for one in structure.guards]

    return guards


def test_a_wall_beside_the_upper_part_of_a_ramp_gets_guards(guards_of):
    # The surface falls 355 mm over 748: 0, 187 and 337 mm below the wall's top where it meets the
    # first, second and third cell. The first two are within 250 mm; the third is not.
    assert guards_of() == [(0, 1, "N", 1), (0, 2, "N", 1)]


def test_a_lane_between_two_walls_gets_guards_on_both(guards_of):
    assert guards_of(ground=["####"], upper=["...#"]) == [
        (0, 1, "N", 1),
        (0, 1, "S", 1),
        (0, 2, "N", 1),
        (0, 2, "S", 1),
    ]


def test_a_lane_away_from_walls_gets_none(guards_of):
    in_the_middle = {**RAMP, "row": 1}

    assert guards_of(["####"] * 3, ["...#"] * 3, ramps=[in_the_middle]) == []


def test_a_wall_that_already_is_two_tiers_high_gets_none(make_document, design_from):
    document = make_document(["####", "####"], upper=["...#", "...#"], ramps=[RAMP])
    document["levels"][0]["wall_panels"] = 2

    assert raise_structure(design_from(document)).guards == ()


def test_under_a_lid_there_is_nothing_to_guard(make_design):
    open_top = make_design(["####", "####"], upper=["...#", "...#"], ramps=[RAMP], guards=[])
    structure = raise_structure(open_top)

    def guards(design):
        return auto_guards(design, structure.ramps, structure.places)

    assert len(guards(open_top)) == 2
    assert guards(replace(open_top, lid=True)) == ()


def test_a_divider_beside_the_lane_is_a_wall_too(guards_of):
    divider = {"z": 0, "row": 0, "col": 2, "side": "S"}

    assert (0, 2, "S", 1) in guards_of(dividers=[divider])


def test_an_empty_list_means_no_guards(guards_of):
    assert guards_of(guards=[]) == []


def test_guards_bring_their_own_joints(make_design):
    with_guards = make_design(["####", "####"], upper=["...#", "...#"], ramps=[RAMP])
    without = make_design(["####", "####"], upper=["...#", "...#"], ramps=[RAMP], guards=[])

    more = len(raise_structure(with_guards).joints) - len(raise_structure(without).joints)

    # Two guards side by side end at the upper level's corner: two new joints at their tops.
    assert more == 2


def test_a_guard_given_by_name_stands_on_its_wall(make_design):
    guard = {"row": 1, "col": 0, "side": "S", "z": 1}

    structure = raise_structure(make_design(["##", "##"], guards=[guard]))

    assert [tuple(p.place) for p in structure.with_role(Role.GUARD)] == [("EW", 2, 0, 1)]


@pytest.mark.parametrize(
    ("guard", "sentence"),
    [
        ({"row": 0, "col": 0, "side": "N", "z": 2}, "Nothing stands below"),
        ({"row": 0, "col": 0, "side": "S", "z": 1}, "Nothing stands below"),
        ({"row": 0, "col": 0, "side": "N", "z": 0}, "already stands"),
    ],
)
def test_a_guard_in_no_sensible_place_is_refused(make_design, guard, sentence):
    with pytest.raises(BadDesign, match=sentence):
        raise_structure(make_design(["##", "##"], guards=[guard]))


def test_a_guard_named_from_both_sides_of_a_divider_stands_once(make_design):
    divider = {"z": 0, "row": 0, "col": 0, "side": "E"}
    both = [{"row": 0, "col": 0, "side": "E", "z": 1}, {"row": 0, "col": 1, "side": "W", "z": 1}]

    structure = raise_structure(make_design(["##"], dividers=[divider], guards=both))

    assert len(structure.with_role(Role.GUARD)) == len(structure.guards) == 1
