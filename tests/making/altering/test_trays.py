"""What becomes of trays: kept, moved, cut down or new; and of the cloth in them."""

import pytest

from builds.making.altering.laying import AS_DRAWN
from builds.making.altering.least import alter
from builds.making.altering.trays import Fate
from builds.making.blank import SheetSize
from builds.making.blanks import make_blanks
from habitats.structure.design import Level, TrayRule
from habitats.structure.lattice import Cell, Side
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, make_design, ramp_from

WEST_RAMP = ramp_from(0, 3, Side.W, panels=3)
LOFT = make_design(["####", "####"], upper=["...#", "...#"])
RAMPED = make_design(["####", "####"], upper=["...#", "...#"], ramps=(WEST_RAMP,))


def altered(standing, target, **how):
    return alter(raise_structure(standing), raise_structure(target), **how)


def fates(change):
    return [one.fate for one in change.trays]


def test_a_tray_over_the_same_cells_is_kept():
    assert fates(altered(make_design(), LOFT)) == [Fate.KEPT, Fate.NEW]


def test_a_tray_that_is_kept_has_the_pieces_that_it_was_made_of():
    """It stands joined from sheets of 900 x 1300; what is new comes from one of 1220 x 2440."""
    small, large = SheetSize(900, 1300), SheetSize(1220, 2440)
    change = altered(make_design(), LOFT, sheet=large, old_sheet=small)

    by_level = {
        level: [one for one in change.wanted.blanks.blanks if one.level == level]
        for level in (0, 1)
    }

    assert fates(change) == [Fate.KEPT, Fate.NEW]
    assert len(by_level[0]) > 1
    assert by_level[0] == list(make_blanks(raise_structure(make_design()), small).blanks)
    assert len(by_level[1]) == 1


def test_a_doorway_more_is_cut_into_the_tray_where_it_lies():
    change = altered(LOFT, RAMPED)

    assert fates(change) == [Fate.KEPT, Fate.DOORWAY]
    assert change.trays[1].doorways == ((Cell(0, 3), Side.W),)
    assert (change.new["blank"], change.moved["blank"]) == (1, 1)  # the ramp's strip; the tray


def test_a_doorway_too_many_makes_the_tray_no_use():
    assert fates(altered(RAMPED, LOFT)) == [Fate.KEPT, Fate.NEW]


def test_a_tray_serves_again_on_another_level_turned():
    # The upper tray is one by two cells; the ground of the target is two by one.
    change = altered(make_design(["##", "##"], upper=["#.", "#."]), make_design(["##"]))

    assert change.trays[0].fate is Fate.MOVED
    assert change.trays[0].old == 1


@pytest.mark.parametrize(
    ("plan", "smaller", "sheet"),
    [
        (["####", "####"], ["###", "###"], "from one end"),
        (["####", "####"], ["##", "##"], "from one end, now a square"),
        (["####", "####"], ["###"], "from two sides"),
        (["####"], ["#", "#"], "turned"),
    ],
)
def test_a_smaller_rectangle_is_cut_out_of_a_larger(plan, smaller, sheet):
    change = altered(make_design(plan), make_design(smaller))

    assert fates(change) == [Fate.CUT_DOWN], sheet
    assert change.sheet_mm2 == change.new["blank"] == 0


def test_a_tray_is_never_made_larger():
    assert fates(altered(make_design(["###"]), make_design(["####"]))) == [Fate.NEW]


def test_an_l_is_not_cut_out_of_a_rectangle():
    assert fates(altered(make_design(["##", "##"]), make_design(["##", "#."]))) == [Fate.NEW]


def test_a_tray_is_not_turned_over():
    # Its scores would lie on the wrong skin: as drawn, the mirror image takes a new tray.
    change = altered(make_design(["###", "#.."]), make_design(["###", "..#"]), laying=AS_DRAWN)

    assert fates(change) == [Fate.NEW]


def test_trays_with_other_walls_are_made_anew():
    higher = make_design(tray=TrayRule(wall_mm=180))

    assert fates(altered(make_design(), higher)) == [Fate.NEW]


def test_what_comes_off_is_no_less_than_a_walls_height():
    # A step of one panel of 355 mm leaves no old fold inside a wall of 150 mm, nor one of 400.
    low, high = TrayRule(wall_mm=150), TrayRule(wall_mm=400)

    assert fates(altered(make_design(["##"], tray=low), make_design(["#"], tray=low))) == [
        Fate.CUT_DOWN
    ]
    assert fates(altered(make_design(["##"], tray=high), make_design(["#"], tray=high))) == [
        Fate.NEW
    ]


def test_pieces_of_a_joined_tray_are_not_cut_again():
    # Three by six cells do not fit a sheet of 1 220 × 2 440 mm (reference values, arithmetic).
    joined = make_design(["#" * 6] * 3)

    assert fates(altered(joined, make_design(["#" * 3] * 3))) == [Fate.NEW]


def test_one_old_tray_makes_one_new_one():
    two = make_design(["##"], upper=["##"])

    change = altered(make_design(["##"]), two)

    assert sorted(one.value for one in fates(change)) == ["kept", "new"]


# --- Cloth ---


def linens(change):
    return {one.code: (one.now, one.stays) for one in change.linens.fates}


def test_cloth_stays_where_the_tray_does():
    assert linens(altered(make_design(), LOFT)) == {"liner-ground": ("liner-ground", True)}


def test_a_liner_that_no_longer_fits_names_what_it_could_be_cut_for():
    change = altered(make_design(["####"]), make_design(["##"]))

    (liner,) = change.linens.fates
    assert (liner.now, liner.covers) == (None, ("liner-ground",))


def test_a_liner_of_the_same_size_serves_elsewhere_turned():
    # One by two cells on the upper level become the ground of two by one.
    change = altered(make_design(["##", "##"], upper=["#.", "#."]), make_design(["##"]))

    assert linens(change)["liner-level-1"] == ("liner-ground", False)
    assert change.linens.new == ()


def test_a_divider_cuts_the_liner_in_two():
    divided = make_design(dividers=(Divider(0, 0, 1, Side.E), Divider(0, 1, 1, Side.E)))

    change = altered(make_design(), divided)

    assert [one.code for one in change.linens.new] == [
        "liner-ground-piece-1",
        "liner-ground-piece-2",
    ]


def test_the_towel_of_a_ramp_that_stays_stays():
    change = altered(RAMPED, RAMPED)

    assert linens(change)["towel-for-the-ramp"] == ("towel-for-the-ramp", True)


def test_every_linen_of_the_target_is_served_once_or_new():
    target = make_design(["####", "####"], upper=["##..", "##.."])

    change = altered(RAMPED, target)

    served = [one.now for one in change.linens.fates if one.now]
    names = [*served, *(one.code for one in change.linens.new)]
    assert sorted(names) == ["liner-ground", "liner-level-1"]


def test_an_old_level_of_another_height_is_another_place():
    low, high = (
        make_design(
            ["##", "##"], wall_panels=2, levels=(Level(0, 2, cells(2, 2)), Level(z, 1, cells(1, 2)))
        )
        for z in (1, 2)
    )

    change = altered(low, high)

    assert [one.fate for one in change.trays] == [Fate.KEPT, Fate.MOVED]


def cells(rows, cols):
    return frozenset(Cell(row, col) for row in range(rows) for col in range(cols))
