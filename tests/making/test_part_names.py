"""Parts by their codes: each has a name of its own, and the name it had once leads back to it."""

import importlib

import pytest

from builds.making import part_names
from builds.making.blank import SheetSize
from builds.making.blanks import make_blanks
from builds.making.part_names import (
    TrayPart,
    is_towel,
    liner_code,
    part_code,
    part_name,
    strip_code,
    strip_piece_code,
    tray_code,
    tray_piece_code,
)
from builds.making.parts import list_parts
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design, ramp_from

SMALL = SheetSize(800, 600)

# Rows and pages of versions before codes hold these.
FORMER = {
    "plain panel": part_names.PLAIN_PANEL,
    "doorway panel": part_names.DOORWAY_PANEL,
    "panel to bend": part_names.RAMP_PANEL,
    "connector": part_names.CONNECTOR,
    "cable tie": part_names.TIE,
    "sheet tape": part_names.TAPE,
    "Ground tray": tray_code(0),
    "Level 12 tray": tray_code(12),
    "Ground tray, piece A (north-west)": tray_piece_code(0, "A", TrayPart.NORTH_WEST),
    "Level 1 tray, piece AB (middle)": tray_piece_code(1, "AB", TrayPart.MIDDLE),
    "Ramp 1 strip": strip_code(0),
    "Ramp 2 strip, piece A (top)": strip_piece_code(1, "A", 1, 3),
    "Ramp 2 strip, piece B (2 from the top)": strip_piece_code(1, "B", 2, 3),
    "Ramp 2 strip, piece C (foot)": strip_piece_code(1, "C", 3, 3),
    "towel for the ramp": "towel-for-the-ramp",
    "towel for the ramp 2": "towel-for-the-ramp-2",
    "liner, ground": liner_code(0),
    "liner, level 2, piece 3": liner_code(2, 3),
}
MIGRATION = importlib.import_module("builds.migrations.0003_part_codes")


@pytest.mark.parametrize(("name", "code"), FORMER.items())
def test_a_part_told_by_the_name_it_had_is_known(name, code):
    assert part_name(code) == name
    assert part_code(name) == part_code(name.capitalize()) == part_code(code) == code
    assert MIGRATION.code_of(name) == MIGRATION.code_of(code) == code


@pytest.mark.parametrize("told", ["lid clip", "Lid clip", "clip", "Clip", "lid-clip"])
def test_clips_hold_lids_and_doors_and_keep_the_code_that_they_had(told):
    assert part_code(told) == part_names.CLIP
    assert part_name(part_code(told)) == "clip"


@pytest.mark.parametrize("typed", ["Blue fleece", "cable ties", "Ramp 0 strip", "liner", ""])
def test_what_somebody_typed_stays_as_it_is(typed):
    assert part_name(typed) == part_code(typed) == MIGRATION.code_of(typed) == typed


def test_every_part_of_a_design_has_a_code_with_a_name():
    ramp = ramp_from(0, 3, Side.W, panels=3)
    design = make_design(
        ["####", "####"],
        upper=["...#", "...#"],
        ramps=(ramp,),
    )
    structure = raise_structure(design)

    parts = list_parts(structure, make_blanks(structure, SMALL)).parts

    assert all(one.name != one.what or one.what == part_names.CONNECTOR for one in parts)
    assert len({one.what for one in parts}) == len({one.name for one in parts}) == len(parts)
    assert {is_towel(one.what) for one in parts} == {True, False}


def test_a_tray_that_could_not_be_made_is_carried_over_by_its_code():
    from_words = MIGRATION.unmade_of(
        "Ground tray cannot be made from a sheet of 300 × 400 mm: with walls of 150 mm not every "
        "piece of it fits. Choose a larger sheet or lower walls."
    )
    (unmade,) = make_blanks(raise_structure(make_design(["##"])), SheetSize(300, 400)).unmade

    assert from_words == list(unmade)
