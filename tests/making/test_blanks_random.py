"""Random designs and random footprints, sheets and tray rules, folded up by the checker."""

from hypothesis import given, settings
from hypothesis import strategies as st

from builds.making.blank import SheetSize
from builds.making.blanks import STOCK_SHEET, make_blanks
from builds.making.check_blanks import check_blanks
from habitats.structure.design import PanelSize, TrayRule
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design

SHEETS = st.sampled_from(
    [STOCK_SHEET, SheetSize(2440, 1220), SheetSize(1000, 1500), SheetSize(700, 2000)]
)
RULES = st.builds(
    TrayRule,
    st.sampled_from([50, 100, 150, 250]),
    st.sampled_from([0, 3, 20]),
    st.sampled_from([1, 10, 50]),
)
SIZES = st.sampled_from([300, 355, 500, 1000])


@st.composite
def plans(draw: st.DrawFn) -> list[str]:
    """Up to 6 x 6 cells, any of them missing, as long as they hang together."""
    cols = draw(st.integers(1, 6))
    rows = draw(st.lists(st.text("#.", min_size=cols, max_size=cols), min_size=1, max_size=6))
    rows[0] = "#" * cols
    return _hanging_together(rows)


def _hanging_together(rows: list[str]) -> list[str]:
    """The cells that can be reached from the first row, a full one."""
    kept = {(0, col) for col in range(len(rows[0]))}
    frontier = list(kept)
    while frontier:
        row, col = frontier.pop()
        for other in ((row + 1, col), (row - 1, col), (row, col + 1), (row, col - 1)):
            there = 0 <= other[0] < len(rows) and 0 <= other[1] < len(rows[0])
            if there and rows[other[0]][other[1]] == "#" and other not in kept:
                kept.add(other)
                frontier.append(other)
    return [
        "".join("#" if (row, col) in kept else "." for col in range(len(rows[0])))
        for row in range(len(rows))
    ]


@settings(max_examples=30)
@given(designs())
def test_the_blanks_of_any_design_make_its_trays(design):
    structure = raise_structure(design)

    blanks = make_blanks(structure)

    assert blanks.unmade == ()
    assert check_blanks(structure, blanks, STOCK_SHEET) == []


@given(plans(), SIZES, RULES, SHEETS, st.sampled_from([30, 50, 80]))
def test_blanks_of_any_footprint_sheet_and_rule_make_the_tray(plan, size, rule, sheet, overlap_mm):
    structure = raise_structure(make_design(plan, panel=PanelSize(size), tray=rule))

    blanks = make_blanks(structure, sheet, overlap_mm=overlap_mm)

    assert blanks.unmade == ()
    assert check_blanks(structure, blanks, sheet) == []
