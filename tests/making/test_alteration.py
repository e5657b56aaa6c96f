"""Alterations: what is added, removed, kept and turned, against multisets counted by hand."""

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings

from builds.making.altering.laying import AS_DRAWN
from builds.making.altering.least import alter
from builds.making.ties import Where, ties_needed
from habitats.structure.design import PanelSize
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from, stands

PLAIN = make_design(["####", "####"])
LOFT = make_design(["####", "####"], upper=["...#", "...#"])
LOFT_WITH_RAMP = make_design(
    ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
)


def altered(standing, target):
    return alter(raise_structure(standing), raise_structure(target), laying=AS_DRAWN)


def test_an_upper_level_across_a_short_end_adds_eight_panels_and_turns_three_connectors():
    # Worked value, common practice, no source: three connectors are turned.
    change = altered(PLAIN, LOFT)

    # Six walls round two cells and two floor panels; joints: six on top, one in the open edge.
    assert change.goes_on["panel"] == 8
    assert change.goes_on["connector"] == 7
    assert change.comes_off["panel"] == 0
    assert len(change.turns) == 3
    assert change.target.unheld == ()


def test_a_doorway_panel_is_not_a_plain_one():
    change = altered(LOFT, LOFT_WITH_RAMP)

    assert (change.goes_on["doorway"], change.comes_off["doorway"]) == (1, 0)
    assert change.comes_off["panel"] == 1
    assert change.goes_on["ramp"] == 3


def test_the_ground_tray_is_kept_where_its_blank_is_the_same():
    change = altered(PLAIN, LOFT)

    assert (change.stays["blank"], change.goes_on["blank"]) == (1, 1)


def test_no_change_adds_and_removes_nothing():
    change = altered(LOFT_WITH_RAMP, LOFT_WITH_RAMP)

    assert sum(change.goes_on.values()) == sum(change.comes_off.values()) == len(change.turns) == 0


def test_ties_at_corners_that_no_turn_can_hold_are_counted_once():
    standing = make_design(["####", "##..", "##.."])
    target = make_design(["####", "##..", "##.."], upper=["####", "....", "...."])

    change = altered(standing, target)

    others = sum(
        group.count
        for group in ties_needed(raise_structure(target))
        if group.where is not Where.CORNER
    )
    assert change.target.unheld
    assert change.goes_on["tie"] == others + len(change.target.unheld)


def test_a_lid_brings_its_clips_and_a_ramp_its_towel():
    closed = altered(PLAIN, make_design(["####", "####"], lid=True))
    ramped = altered(LOFT, LOFT_WITH_RAMP)

    assert (closed.goes_on["clip"], closed.stays["liner"]) == (2 * 8, 1)
    assert (ramped.goes_on["towel"], ramped.stays["liner"]) == (1, 2)


def test_other_panels_are_refused_with_both_sizes():
    with pytest.raises(BadDesign, match=r"355 mm.*300 mm"):
        altered(PLAIN, make_design(["####", "####"], panel=PanelSize(300)))


@settings(max_examples=20)
@given(designs(), designs())
def test_there_and_back_gives_the_same_parts(one, other):
    other = replace(other, panel=one.panel, species=one.species)
    assume(stands(other))

    there, back = altered(one, other), altered(other, one)

    assert without_ties(there.goes_on) == without_ties(back.comes_off)
    assert without_ties(there.comes_off) == without_ties(back.goes_on)
    assert without_ties(there.stays) == without_ties(back.stays)


def without_ties(counts):
    """Ties depend on how connectors sit, which is another on the way back."""
    return {kind: count for kind, count in counts.items() if kind != "tie"}


@given(designs())
def test_what_is_kept_and_removed_is_all_that_stood(design):
    structure = raise_structure(design)

    change = altered(design, make_design(["#"], panel=design.panel, species=design.species))

    stood = len(structure.joints)
    assert change.stays["connector"] + change.comes_off["connector"] == stood
