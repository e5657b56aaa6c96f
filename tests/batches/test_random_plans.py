"""Random designs, alone and together: their packets, their sheet plan and its files agree.

Files are read back by ezdxf. A stock sheet's flutes run from top to bottom in its file, so a piece
that is as wide there as the packet says has them along its height, else along its width.
"""

import io
from collections import Counter
from decimal import Decimal

import ezdxf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds.batches.pages.sheet_files import _dxf as dxf_of
from builds.drawing.cutter_layers import SideUp
from builds.making.blank import BlankSet, Flute
from builds.sheets import OrderLine, in_plan, work_out
from habitats.structure.structure import raise_structure
from tests.support.designs import designs
from tests.support.sheets import FULL, SHORT, order_of


@st.composite
def orders(draw):
    """One to three lines of one to three builds each, with joins where these save a sheet."""
    lines = [
        OrderLine(one.name, "K7MXQ2", draw(st.integers(1, 3)), "", raise_structure(one))
        for one in draw(st.lists(designs(), min_size=1, max_size=3))
    ]
    stock = draw(st.sampled_from([(FULL,), (FULL, SHORT)]))
    cost = draw(st.sampled_from([None, Decimal(2)]))
    return order_of(*lines, stock=stock, join_cost=cost, seconds=0.02)


def boxes_in_file(plan, number):
    """Where the outlines of a sheet lie in its file: left, top, width and height."""
    drawn = ezdxf.read(io.StringIO(dxf_of(plan, number, SideUp.INSIDE).decode()))
    height = plan.plan.sheets[number - 1].stock.height
    found = Counter()
    for outline in drawn.modelspace().query('LWPOLYLINE[layer=="CUT"]'):
        xs, ys = zip(*outline.get_points("xy"), strict=True)
        found[min(xs), height - max(ys), max(xs) - min(xs), max(ys) - min(ys)] += 1
    return found


def told_agree(plan):
    for share in plan.shares:
        made, told = share.build.made, in_plan("S7", plan, share)
        laid = told.lay(BlankSet(made.blanks, (), 0), made.sheet)
        wanted = Counter({one.code: one.quantity for one in made.blanks})
        on_sheets = Counter(one.blank.code for one in share.pieces)
        on_sheets.update({one.blank.code: one.quantity for one in share.missing})
        assert on_sheets == wanted
        for blank in laid.blanks:
            for piece in (one for one in share.pieces if one.blank.code == blank.code):
                lies_as_told(blank, piece.placement, piece.blank.cut_flute)


def lies_as_told(blank, placement, flute):
    """The packet says one way only where all pieces of a blank lie so."""
    assert blank.cut_flute in (None, flute)
    across, down = blank.width_mm, blank.height_mm
    lying = (across, down) if flute is Flute.HEIGHT else (down, across)
    assert (placement.width, placement.height) == lying
    assert blank.turnable or flute is blank.flute


def files_agree(plan):
    for number, sheet in enumerate(plan.plan.sheets, start=1):
        wanted = Counter((one.x, one.y, one.width, one.height) for one in sheet.placements)
        assert boxes_in_file(plan, number) == wanted


@settings(max_examples=4)
@given(orders())
def test_packet_plan_and_files_have_the_same_pieces(order):
    plan = work_out(order)

    told_agree(plan)
    files_agree(plan)


@pytest.mark.nightly
@settings(max_examples=300, suppress_health_check=[HealthCheck.filter_too_much])
@given(orders())
def test_packet_plan_and_files_of_some_hundred_orders_have_the_same_pieces(order):
    plan = work_out(order)

    told_agree(plan)
    files_agree(plan)
