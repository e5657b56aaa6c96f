"""Warnings about use: small levels, and what may tip over. Common practice, no source."""

import pytest

from builds.making.inspection import inspection_list
from habitats.structure.structure import raise_structure
from habitats.structure.warnings import warnings_for
from tests.support.designs import make_design


def warned(structure):
    return {one.code for one in warnings_for(structure)}


@pytest.mark.parametrize(("upper", "is_small"), [(["...#", "...."], True), (["...#"] * 2, False)])
def test_an_upper_level_of_one_panel_is_warned_about(upper, is_small):
    structure = raise_structure(make_design(["####"] * 2, upper=upper))

    assert ("small_level" in warned(structure)) == is_small


@pytest.mark.parametrize(
    ("plan", "changes", "tips"),
    [
        (["####"] * 2, {"upper": ["...#"] * 2}, False),  # two panels high and two deep
        (["####"] * 2, {"wall_panels": 2, "upper": ["...#"] * 2}, True),  # three and two
        (["####"], {"wall_panels": 2}, True),  # two and one
        (["####"] * 2, {"wall_panels": 2, "lid": True}, False),  # a lid adds no height
    ],
)
def test_what_is_higher_than_its_shorter_side_is_to_be_tied_to_a_wall(plan, changes, tips):
    structure = raise_structure(make_design(plan, **changes))

    assert ("may_tip" in warned(structure)) == tips
    assert ("anchor" in {point.code for point in inspection_list(structure)}) == tips
