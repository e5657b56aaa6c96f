"""A plan told back per build adds up to the plan, and survives JSON whole."""

import json
from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import PiecePlacement, cut_sequence
from builds.making.blank import Flute
from builds.sheets import (
    OrderLine,
    document_of,
    lies_turned,
    plan_from,
    sheets_alike,
    work_out,
)
from builds.sheets.plan import freeing_cut, split_cost
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, ramp_from
from tests.support.sheets import FULL, SHORT, line_of, order_of

orders = st.lists(st.tuples(designs(), st.integers(1, 3)), min_size=1, max_size=3)


def worked_out(wanted):
    lines = [OrderLine("Any", "K7MXQ2", count, "", raise_structure(one)) for one, count in wanted]
    return work_out(order_of(*lines, stock=(FULL, SHORT)))


@settings(max_examples=15)
@given(orders)
def test_what_the_builds_get_adds_up_to_the_plan(wanted):
    plan = worked_out(wanted)

    told = [piece.placement for share in plan.shares for piece in share.pieces]
    cut = [one for sheet in plan.plan.sheets for one in sheet.placements]
    assert Counter(told) == Counter(cut)
    assert sum(share.area_mm2 for share in plan.shares) == sum(p.width * p.height for p in cut)
    assert sum(share.cost for share in plan.shares) == plan.plan.cost


@settings(max_examples=15)
@given(orders)
def test_every_build_gets_each_of_its_blanks_or_is_told_why_not(wanted):
    for share in worked_out(wanted).shares:
        asked = {blank.name: blank.quantity for blank in share.build.made.blanks}
        told = Counter(piece.blank.name for piece in share.pieces)
        for missing in share.missing:
            told[missing.blank.name] += missing.quantity
        assert told == asked


@settings(max_examples=15)
@given(orders)
def test_a_plan_comes_back_from_json_as_it_was(wanted):
    plan = worked_out(wanted)

    assert plan_from(json.loads(json.dumps(document_of(plan)))) == plan


@settings(max_examples=15)
@given(orders)
def test_a_piece_is_free_once_no_later_cut_runs_through_the_part_that_holds_it(wanted):
    """By replaying the cuts: parts are taken apart one by one, as a person does."""
    plan = worked_out(wanted)

    for sheet in plan.plan.sheets:
        cuts = cut_sequence(sheet)
        for placement in sheet.placements:
            assert freeing_cut(placement, cuts) == _freed_by_replay(sheet, placement, cuts)


def _freed_by_replay(sheet, placement, cuts):
    part = (0, 0, sheet.stock.width, sheet.stock.height)
    last = None
    for cut in cuts:
        if tuple(cut.part) != part:
            continue
        last = cut.number
        x, y, width, height = part
        if cut.x1 == cut.x2:
            before, after = (x, y, cut.x1 - x, height), (cut.x1, y, x + width - cut.x1, height)
            part = before if placement.x < cut.x1 else after
        else:
            before, after = (x, y, width, cut.y1 - y), (x, cut.y1, width, y + height - cut.y1)
            part = before if placement.y < cut.y1 else after
    return last


def test_builds_are_numbered_line_by_line():
    plan = work_out(order_of(line_of(["##"], 2, "Ash"), line_of(["###"], 1, "Elm")))

    named = [(one.number, one.made.who_for, one.copy) for one in plan.builds]
    assert named == [(1, "Ash", 1), (2, "Ash", 2), (3, "Elm", 1)]


def test_no_number_is_given_to_two_pieces_of_a_plan():
    """Joined trays of two designs, twice each: every tray has a piece A."""
    plan = work_out(order_of(line_of(["######"] * 3, 2), line_of(["#####"] * 4, 2)))

    numbers = [plan.number_of(one.placement.piece) for one in plan.pieces]

    assert len(numbers) == 8
    assert len(set(numbers)) == len(numbers)


def test_pieces_are_named_by_number_and_part_and_the_build_if_there_are_several():
    one = work_out(order_of(line_of(["##"])))
    two = work_out(order_of(line_of(["##"], 2)))

    assert one.name_of("1.1") == "1 Ground tray"
    assert two.name_of("2.1") == "2.1 Ground tray"


def test_a_blank_that_may_not_turn_lies_with_its_flutes_along_the_sheet():
    order = order_of(
        line_of(["####", "####"], upper=["#...", "#..."], ramps=(ramp_from(0, 0, Side.E),))
    )
    plan = work_out(order)

    for piece in plan.pieces:
        size = (piece.blank.width_mm, piece.blank.height_mm)
        lies = (piece.placement.width, piece.placement.height)
        assert lies == (size[::-1] if lies_turned(piece.blank, piece.placement) else size)


def test_each_piece_has_the_flutes_of_its_place_on_the_sheet():
    """A sheet's flutes run along its height: so long is the piece along them."""
    plan = work_out(order_of(line_of(["##", "##"], 3, upper=["##", ".."]), line_of(["##"], 2)))

    for piece in plan.pieces:
        blank, is_along_width = piece.blank, piece.blank.settled_flute is Flute.WIDTH
        along = blank.width_mm if is_along_width else blank.height_mm
        assert along == piece.placement.height
    # Of the wish alone some would be wrong: pieces are turned here.
    assert any(piece.blank.cut_flute is not piece.blank.flute for piece in plan.pieces)


def test_sheets_cut_alike_for_different_builds_are_found():
    plan = work_out(order_of(line_of(["####", "####"], 3)))

    assert list(sheets_alike(plan.plan.sheets).values()) == [[1, 2, 3]]


@pytest.mark.parametrize(
    ("cost", "areas", "shares"),
    [
        ("10.00", [1, 1, 1], ["3.34", "3.33", "3.33"]),
        ("0.01", [5, 9], ["0.00", "0.01"]),
        ("24.50", [0, 7], ["0.00", "24.50"]),
        ("24.50", [0, 0], ["0", "0"]),
    ],
)
def test_a_cost_is_split_by_area_to_the_cent(cost, areas, shares):
    assert split_cost(Decimal(cost), areas) == [Decimal(share) for share in shares]


def test_a_piece_that_is_the_whole_sheet_is_freed_by_no_cut():
    assert freeing_cut(PiecePlacement("1.1", 0, 0, 10, 10, False), ()) is None
