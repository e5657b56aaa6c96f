"""The sheet that a build is cut from: the store's, kept with its plan, one and the same everywhere.

Pieces are counted in each place by themselves: in the packet, on its sheets, in its part list, in
its steps and, read back by ezdxf, in the cutter's files.
"""

import io
import uuid
from collections import Counter

import ezdxf
import pytest

from builds.building.models.replanning import plan_anew
from builds.making.blank import STOCK_SHEET, SheetSize
from builds.making.part_names import TAPE
from builds.plans.models.build_plans import BuildPlan, sheet_of_enclosure
from habitats.designs.models.designs import Design
from habitats.structure.lattice import Side
from tests.support.builds import NOON, make_build, planner, steps_of
from tests.support.designs import make_design, ramp_from
from tests.support.sheets import make_kind

pytestmark = pytest.mark.django_db

SMALL = SheetSize(900, 1300)
# Footprints of one level and of two; on a small sheet each ground is joined from several pieces.
DESIGNS = [
    make_design(["####", "####"]),
    make_design(["####", "##..", "##.."]),
    make_design(["###", "#.#", "###"]),
    make_design(["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W),)),
]
SIZES = [(900, 1300), (1220, 2440), (700, 2440)]


def stock(size):
    return make_kind(name=f"Sheet {size}", width_mm=size[0], height_mm=size[1])


def build_of(shape):
    return make_build(design=Design.objects.draw(shape, by=planner()))


def packet_of(client, build):
    return client.get(f"/builds/{build.code}/packet/").context["packet"]


def told_in_steps(build):
    """Sizes of the pieces that its steps cut, each with how many."""
    cut = [one.card["facts"] for one in steps_of(build) if one.card["facts"][0] == "cut-blank"]
    return sorted((*facts[5], facts[4]) for facts in cut)


def told_in_parts(build):
    parts = build.plans.newest_first()[0].parts
    sheet = [one for one in parts if one["kind"] == "sheet" and one["what"] != TAPE]
    return sorted((*one["size"], one["count"]) for one in sheet)


def told_in_packet(packet):
    blanks = [card.blank for card in packet.blanks]
    return sorted((one.width_mm, one.height_mm, one.quantity) for one in blanks)


def in_files(client, build, count):
    """Measures of the outline on the layer that is cut, file by file."""
    code = build.plans.newest_first()[0].revision.design.code
    found = []
    for number in range(1, count + 1):
        answer = client.get(f"/designs/{code}/blanks/{number}.dxf")
        drawn = ezdxf.read(io.StringIO(answer.content.decode()))
        (outline,) = drawn.modelspace().query('LWPOLYLINE[layer=="CUT"]')
        xs, ys = zip(*outline.get_points("xy"), strict=True)
        found.append((max(xs) - min(xs), max(ys) - min(ys)))
    assert client.get(f"/designs/{code}/blanks/{count + 1}.dxf").status_code == 404
    return sorted(found)


@pytest.mark.spread(days=3)
@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("shape", DESIGNS, ids=["2x4", "L", "ring", "loft"])
def test_pieces_are_the_same_in_packet_sheets_steps_parts_and_files(shape, size, coordinating):
    stock(size)
    build = build_of(shape)

    packet = packet_of(coordinating, build)

    pieces = told_in_packet(packet)
    assert pieces == told_in_steps(build) == told_in_parts(build)
    assert in_files(coordinating, build, len(pieces)) == [one[:2] for one in pieces]
    assert {card.size_mm for card in packet.sheets} == {size}
    laid = Counter()
    for card in packet.sheets:
        laid.update({name: count * card.copies for name, count in card.pieces})
    assert laid == {card.name: card.blank.quantity for card in packet.blanks}


def test_the_pieces_of_a_small_sheet_are_joined(coordinating):
    """Else the test above would compare one piece with itself."""
    stock((900, 1300))

    packet = packet_of(coordinating, build_of(DESIGNS[0]))

    assert len(packet.blanks) > 1
    assert all(card.joined_to for card in packet.blanks)


def test_a_plan_keeps_its_sheet_when_the_store_gets_another(coordinating):
    stock((900, 1300))
    build = build_of(DESIGNS[0])
    before = told_in_packet(packet_of(coordinating, build))

    make_kind(name="Cheap", width_mm=2000, height_mm=3000, cost="0.50")

    assert build.plans.get().sheet == SMALL
    assert told_in_packet(packet_of(coordinating, build)) == before


def test_a_plan_of_an_earlier_version_is_of_the_trades_sheet(coordinating):
    """Its row tells no sheet."""
    build = build_of(DESIGNS[0])
    BuildPlan.objects.update(cut_from={})
    stock((900, 1300))

    packet = packet_of(coordinating, build)

    assert [card.size_mm for card in packet.sheets] == [(1220, 2440)]
    assert told_in_packet(packet) == told_in_steps(build)
    assert build.plans.get().sheet == STOCK_SHEET


def replan(build):
    design = build.plans.newest_first()[0].revision.design
    return plan_anew(build, design, by=planner(), idempotency_key=uuid.uuid4())


def test_what_is_not_cut_is_re_planned_from_the_store_as_it_is(coordinating):
    build = build_of(DESIGNS[0])
    stock((900, 1300))
    shown = coordinating.get(f"/builds/{build.code}/replan/").context["change"]

    plan = replan(build)

    assert plan.sheet == SMALL
    kept = {one.key for one in build.plans.get(number=1).steps.all()}
    assert len(shown.new) == sum(one.key not in kept for one in plan.steps.all()) > 0


def test_what_is_cut_keeps_its_sheet_when_it_is_re_planned(coordinating):
    build = build_of(DESIGNS[0])
    piece = next(one for one in steps_of(build) if one.card["facts"][0] == "cut-blank")
    build.ticks.create(step_key=piece.key, at=NOON, made_by=planner())
    stock((900, 1300))

    shown = coordinating.get(f"/builds/{build.code}/replan/").context["change"]

    assert shown.changes_nothing
    assert replan(build).sheet == STOCK_SHEET


def test_an_enclosure_is_retired_with_the_pieces_that_lie_in_it(coordinating, make_enclosure):
    """Of the joined tray of a small sheet no floor is as large as that of a whole one."""
    stock((900, 1300))
    enclosure = make_enclosure()
    build = make_build(enclosure=None, state="handed over")
    build.enclosure = enclosure
    build.save()

    page = coordinating.get(f"/enclosures/{enclosure.code}/retire/").context["page"]

    assert sheet_of_enclosure(enclosure) == SMALL
    assert len(page.retirement.offcuts) > 1
