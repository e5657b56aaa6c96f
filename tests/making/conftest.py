"""Structures whose blanks are broken in one way each."""

import pytest

from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from tests.support.broken_blanks import EXACT
from tests.support.designs import make_design, ramp_from


@pytest.fixture(scope="module")
def simple() -> Structure:
    """A ground of 2 x 4: base 710 x 1420, at 150, 150 on a blank of 1010 x 1720."""
    return raise_structure(make_design(["##"] * 4, tray=EXACT))


@pytest.fixture(scope="module")
def joined() -> Structure:
    """A ground of 6 x 3 in two pieces: A carries the tab (see the test that says so)."""
    return raise_structure(make_design(["######"] * 3, tray=EXACT))


@pytest.fixture(scope="module")
def with_doorway() -> Structure:
    """An upper level of 1 x 2 with a doorway in its west wall, from 118 to 236 mm."""
    return raise_structure(
        make_design(
            ["####", "####"],
            upper=["...#", "...#"],
            tray=EXACT,
            ramps=(ramp_from(0, 3, Side.W),),
        )
    )
