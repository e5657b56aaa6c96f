"""Orders worked out: right by the cutting checker, cheapest of the ways, and the same each time."""

from decimal import Decimal
from itertools import count

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.cutting import Job, WantedPiece, faults_in
from builds.making.blank import SheetSize
from builds.making.check_blanks import check_blanks
from builds.sheets import OrderLine, shape_of, ways_of, work_out
from habitats.structure.structure import raise_structure
from tests.support.designs import designs
from tests.support.sheets import FULL, SHORT, line_of, order_of

LONG = ["######"] * 3  # its tray, 2430 x 1365 mm with walls, fits no full sheet in one piece


def job_of(order, plan):
    """The cutting job that the plan answers, each build's blank a piece of its own."""
    pieces = []
    for build in plan.builds:
        for number, blank in enumerate(build.made.blanks, start=1):
            width, height, may_turn = shape_of(blank)
            piece = WantedPiece(f"{build.number}.{number}", width, height, blank.quantity, may_turn)
            pieces.append(piece)
    offer = order.offer
    return Job(
        tuple(pieces),
        tuple(one.stock for one in offer.stock),
        kerf=offer.kerf,
        trim=offer.trim,
        stages=offer.stages,
        least_offcut=offer.least_offcut,
    )


@pytest.mark.parametrize("kerf", [0, 3])
@pytest.mark.parametrize("trim", [0, 10])
def test_a_plan_over_several_builds_is_right_by_the_cutting_checker(kerf, trim):
    order = order_of(
        line_of(["####", "####"], 3), line_of(LONG), stock=(FULL, SHORT), kerf=kerf, trim=trim
    )

    plan = work_out(order)

    assert faults_in(job_of(order, plan), plan.plan) == []
    assert not plan.missing


@settings(max_examples=15)
@given(st.lists(st.tuples(designs(), st.integers(1, 3)), min_size=1, max_size=3))
def test_any_order_is_right_by_the_cutting_checker(wanted):
    lines = [OrderLine("Any", "K7MXQ2", count, "", raise_structure(one)) for one, count in wanted]
    order = order_of(*lines, stock=(FULL, SHORT), join_cost=Decimal(2))

    plan = work_out(order)

    assert faults_in(job_of(order, plan), plan.plan) == []


@pytest.mark.parametrize("join_cost", [None, Decimal(0), Decimal(2), Decimal(1000)])
def test_no_way_that_was_weighed_beats_the_plan(join_cost):
    plan = work_out(order_of(line_of(LONG, 2), stock=(FULL, SHORT), join_cost=join_cost))

    worth = join_cost or 0
    weights = [one.cost + one.joins * worth for one in plan.trials]
    assert plan.plan.cost + plan.joins * worth <= min(weights)
    assert sum(one.is_taken for one in plan.trials) == 1


def test_a_join_is_made_only_where_it_saves_more_sheet_than_it_counts_for():
    cheap = work_out(order_of(line_of(LONG, 2), join_cost=Decimal(2)))
    dear = work_out(order_of(line_of(LONG, 2), join_cost=Decimal(20)))

    # In two pieces each tray takes two sheets, in three the two trays take three: one join more
    # a tray saves a sheet of 24.50.
    assert (cheap.plan.cost, cheap.joins) == (Decimal("73.50"), 4)
    assert (dear.plan.cost, dear.joins) == (Decimal("98.00"), 2)


def test_without_a_price_of_joins_there_are_as_few_as_the_sheets_ask_for():
    plan = work_out(order_of(line_of(LONG), stock=(FULL, SHORT)))

    assert plan.joins == 1  # two pieces of 2430 mm


def test_every_way_folds_back_into_its_trays():
    line = line_of(LONG)

    for way in ways_of(line.blanks_for, [SheetSize(1220, 2440), SheetSize(1000, 2000)], join=True):
        assert check_blanks(line.structure, way.blanks, way.sheet) == []


def test_ways_come_with_the_fewest_joins_first_and_each_once():
    ways = ways_of(line_of(LONG).blanks_for, [SheetSize(1220, 2440)], join=True)

    assert [way.joins for way in ways] == sorted(way.joins for way in ways)
    assert len({way.blanks for way in ways}) == len(ways)


def test_the_same_order_gives_the_same_plan():
    order = order_of(line_of(LONG, 2), line_of(["###", "#.."], 2), stock=(FULL, SHORT))

    assert work_out(order) == work_out(order)


def test_better_plans_are_told_one_better_than_the_other_and_the_last_is_the_answer():
    told = []

    plan = work_out(
        order_of(line_of(LONG, 3), stock=(FULL, SHORT), join_cost=Decimal(0)), report=told.append
    )

    costs = [one.plan.cost for one in told]
    assert costs == sorted(costs, reverse=True)
    assert told[-1].plan == plan.plan


@pytest.mark.parametrize("patience", [0, 1, 50])
def test_a_search_that_is_stopped_early_has_a_plan_all_the_same(patience):
    asked = count()
    order = order_of(line_of(LONG, 4), stock=(FULL, SHORT), join_cost=Decimal(0))

    plan = work_out(order, stop=lambda: next(asked) >= patience)

    assert faults_in(job_of(order, plan), plan.plan) == []


def test_what_finite_stock_cannot_hold_is_told_build_by_build():
    one_sheet = FULL.__class__(FULL.stock.__class__("sheet:1", 1220, 2440, 1, Decimal(1)), "One")

    plan = work_out(order_of(line_of(["####", "####"], 3), stock=(one_sheet,)))

    assert [one.build.number for one in plan.missing] == [2, 3]
    assert all("not enough sheets" in one.reason for one in plan.missing)


def test_a_tray_that_no_sheet_on_offer_can_make_is_named():
    tiny = FULL.__class__(FULL.stock.__class__("sheet:1", 200, 200, None, Decimal(1)), "Tiny")

    plan = work_out(order_of(line_of(["##", "##"]), stock=(tiny,)))

    assert len(plan.unmade) == 1
    assert plan.plan.sheets == ()
