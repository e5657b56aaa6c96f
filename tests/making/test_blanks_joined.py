"""Trays that are not one rectangle, or larger than the sheet: pieces, names, joins."""

import pytest

from builds.making.blank import SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from habitats.structure.design import PanelSize, TrayRule
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from tests.support.designs import make_design, ramp_from

PLANS = {
    "L": ["####", "##..", "##.."],
    "U": ["#.#", "###"],
    "T": ["###", ".#."],
    "Z": ["##.", ".##"],
    "ring": ["###", "#.#", "###"],
    "long ring": ["######", "#....#", "######"],
    "staircase": ["#...", "##..", ".##.", "..##"],
    "touching at a corner": ["##.", "#.#", "###"],
    "two holes touching": ["####", "#.##", "##.#", "####"],
    "comb": ["#.#.#", "#####"],
    "24 in a line": ["#" * 24],
    "24 round": ["#" * 24, *["#" + "." * 22 + "#"] * 3, "#" * 24],
}
SIZES = {
    "exact": (350, TrayRule(150, 0, 1)),
    "usual": (355, TrayRule(150, 0, 10)),
    "with clearance": (355, TrayRule(150, 7, 10)),
    "low walls": (300, TrayRule(50, 3, 1)),
    "high walls": (500, TrayRule(400, 0, 1)),
}


def structure_of(plan: list[str], size: int = 355, rule: TrayRule | None = None) -> Structure:
    rule = rule or TrayRule(150, 0, 1)
    return raise_structure(make_design(plan, panel=PanelSize(size), tray=rule))


@pytest.mark.parametrize("sizes", SIZES)
@pytest.mark.parametrize("shape", PLANS)
def test_folded_up_the_pieces_make_the_tray(shape, sizes):
    structure = structure_of(PLANS[shape], *SIZES[sizes])

    blanks = make_blanks(structure)

    assert blanks.unmade == ()
    assert check_blanks(structure, blanks, STOCK_SHEET) == []


@pytest.mark.parametrize("sizes", SIZES)
@pytest.mark.parametrize("shape", PLANS)
def test_no_piece_and_no_join_is_a_sliver(shape, sizes):
    blanks = make_blanks(structure_of(PLANS[shape], *SIZES[sizes]))

    bases = [blank.base for blank in blanks.blanks]
    assert all(min(base.x2 - base.x1, base.y2 - base.y1) >= 110 for base in bases)
    assert all(join.length_mm >= 110 for join in blanks.joins)


@pytest.mark.parametrize(
    ("shape", "pieces"), [("L", 2), ("U", 3), ("T", 2), ("Z", 2), ("ring", 4), ("comb", 4)]
)
def test_no_more_pieces_are_cut_than_the_shape_needs(shape, pieces):
    blanks = make_blanks(structure_of(PLANS[shape]), SheetSize(9000, 9000))

    assert len(blanks.blanks) == pieces


def test_pieces_are_named_by_letter_and_where_they_lie():
    blanks = make_blanks(structure_of(["######"] * 3))

    assert [blank.name for blank in blanks.blanks] == [
        "Ground tray, piece A (north)",
        "Ground tray, piece B (south)",
    ]


def test_a_join_names_its_pieces_its_seam_and_who_carries_the_tab():
    # 6 x 3 panels of 355 mm: 2130 x 1065 inside, cut level into two of 2130 x 530 or so.
    (join,) = make_blanks(structure_of(["######"] * 3)).joins

    assert join.pieces == ("ground-tray-piece-a-north", "ground-tray-piece-b-south")
    assert join.carrier in join.pieces
    assert (join.x1, join.x2) == (0, 2130)
    assert join.y1 == join.y2
    assert join.tab_mm == 2130 - 2 * 10  # cut back 10 mm from the fold of either wall
    assert join.tape_mm == 2 * 2130 + 2 * 2 * 150


def test_a_wider_overlap_makes_a_wider_tab():
    narrow = make_blanks(structure_of(["######"] * 3), overlap_mm=50).blanks
    wide = make_blanks(structure_of(["######"] * 3), overlap_mm=80).blanks

    assert sum(b.height_mm for b in wide) - sum(b.height_mm for b in narrow) == 30


def test_a_seam_that_would_cross_a_doorway_is_moved():
    # The level is nine cells long, 3 195 mm, so two pieces would meet in its fifth cell, whose
    # doorway is from 1 538 to 1 656 mm.
    structure = _with_doorway_at_the_middle()
    blanks = make_blanks(structure)

    (doorway,) = structure.trays[1].doorways
    seams = [join for join in blanks.joins if join.level == 1 and join.x1 == join.x2]
    assert seams
    assert all(not doorway.x1 - 50 < join.x1 < doorway.x2 + 50 for join in seams)
    assert check_blanks(structure, blanks, STOCK_SHEET) == []


def test_the_same_seam_lies_in_the_middle_without_a_doorway():
    structure = _with_doorway_at_the_middle()
    (doorway,) = structure.trays[1].doorways
    plain = raise_structure(make_design(["#" * 9] * 6, upper=["#" * 9, *["." * 9] * 5]))

    seams = [join for join in make_blanks(plain).joins if join.level == 1]

    assert any(doorway.x1 - 50 < join.x1 < doorway.x2 + 50 for join in seams)


def test_a_sheet_too_small_for_any_piece_is_told_in_a_sentence():
    blanks = make_blanks(structure_of(["##"]), SheetSize(300, 400))

    assert blanks.blanks == ()
    assert tuple(one.sentence for one in blanks.unmade) == (
        "Ground tray cannot be made from a sheet of 300 mm × 400 mm: with walls of 150 mm "
        "not every piece of it fits. Choose a larger sheet or lower walls.",
    )


def test_the_same_structure_always_gives_the_same_blanks():
    idempotency_key, again = (
        make_blanks(structure_of(PLANS["two holes touching"])) for _ in range(2)
    )

    assert idempotency_key == again


def _with_doorway_at_the_middle() -> Structure:
    return raise_structure(
        make_design(
            ["#" * 9] * 6,
            upper=["#" * 9, *["." * 9] * 5],
            ramps=(ramp_from(0, 4, Side.S),),
        )
    )
