"""Builds that are cut together are told with the pieces of the sheet plan that cuts them.

A tray of 3 × 6 panels is joined from two pieces on two whole sheets. Of two such trays the sheet
plan makes one of three pieces, so that three sheets do, where a join counts for 2 and a sheet for
24.50. Files are read back by ezdxf.
"""

import io
from collections import Counter
from decimal import Decimal

import ezdxf
import pytest

from builds.batches import tasks
from builds.batches.models import cutting_lines
from builds.batches.models.batches import Batch
from builds.batches.models.following import follow
from builds.building.models.altering import plan_alteration
from builds.building.models.replanning import plan_anew
from builds.making.blank import STOCK_SHEET
from builds.plans.models.build_plans import BuildPlanQuerySet
from builds.plans.models.builds import CannotBuild
from builds.sheets import offer_document
from habitats.designs.models.designs import Design
from tests.support.builds import DAY, NOON, make_build, planner, steps_of
from tests.support.designs import make_design
from tests.support.sheets import loaded, make_kind, offer_of

pytestmark = pytest.mark.django_db

LARGE = ["######"] * 3


@pytest.fixture
def kind():
    return make_kind()


@pytest.fixture
def pair(kind):
    drawn = Design.objects.draw(make_design(LARGE), by=planner())
    return [make_build(name, design=drawn) for name in ("One", "Two")]


def cut_together(kind, *builds, join_cost=Decimal(2)):
    """The job of a batch of these builds, worked out."""
    batch = Batch.objects.begin("Saturday", by=planner())
    for build in builds:
        batch.add_build(build)
    job = batch.job(offer_document(offer_of(kind, join_cost=join_cost)), by=planner())
    tasks.begin(job, 0.5)
    return loaded(job)


def packet_of(client, build):
    return client.get(f"/builds/{build.code}/packet/").context["packet"]


def cut_steps(packet):
    """Cards of the steps that cut a piece."""
    return [card for card in packet.cards if card.blank]


def pieces_of(client, build):
    """Measures of the pieces that its packet has cut from new sheet, the short side first."""
    packet = packet_of(client, build)
    return Counter(
        (*sorted((card.blank.width_mm, card.blank.height_mm)),)
        for card in packet.blanks
        for _one in range(card.blank.quantity)
    )


def pieces_in_plan(job):
    """The same of the sheet plan, build by build."""
    return [
        Counter((*sorted((one.placement.width, one.placement.height)),) for one in share.pieces)
        for share in job.plan().shares
    ]


def pieces_in_files(client, job):
    """The same of all DXF files of the plan, whoever they are for."""
    found = Counter()
    for number in range(1, len(job.plan().plan.sheets) + 1):
        answer = client.get(f"/cutting/{job.code}/sheets/{number}.dxf")
        drawn = ezdxf.read(io.StringIO(answer.content.decode()))
        for outline in drawn.modelspace().query('LWPOLYLINE[layer=="CUT"]'):
            xs, ys = zip(*outline.get_points("xy"), strict=True)
            found[(*sorted((max(xs) - min(xs), max(ys) - min(ys))),)] += 1
    return found


def test_packet_steps_sheet_plan_and_files_have_the_same_pieces(coordinating, kind, pair):
    before = [pieces_of(coordinating, build) for build in pair]

    job = cut_together(kind, *pair)

    pieces = [pieces_of(coordinating, build) for build in pair]
    assert [one.total() for one in before] == [2, 2]
    assert [one.total() for one in pieces] == [2, 3]
    assert pieces == pieces_in_plan(job)
    assert pieces_in_files(coordinating, job) == pieces[0] + pieces[1]
    facts = [one.card["facts"] for one in steps_of(pair[1])]
    assert sum(one[4] for one in facts if one[0] == "cut-blank") == 3
    assert [build.plans.count() for build in pair] == [1, 2]


def test_the_packet_leads_to_the_sheet_plan_and_has_none_of_its_own(coordinating, kind, pair):
    job = cut_together(kind, *pair)

    packet = packet_of(coordinating, pair[1])

    plan, share = job.plan(), job.plan().shares[1]
    assert (packet.sheets, packet.sheet_plan) == ((), job.code)
    told = {card.blank.blank.code: card.in_plan for card in cut_steps(packet)}
    for piece in share.pieces:
        there = plan.number_of(piece.placement.piece)
        assert f"sheet plan {job.code}, where it is {there} on sheet" in told[piece.blank.code]
        assert str(piece.sheet) in told[piece.blank.code].partition(there)[2]


def test_the_step_on_a_phone_says_where_its_piece_lies_in_the_sheet_plan(
    coordinating, kind, pair, text_of
):
    alone = make_build("Alone", design=pair[0].plans.get().revision.design)
    job = cut_together(kind, *pair)

    def first_cut(build):
        step = next(one for one in steps_of(build) if one.card["facts"][0] == "cut-blank")
        return text_of(coordinating.get(f"/builds/{build.code}/steps/{step.key}/"))

    there = job.plan().number_of("2.1")
    assert f"by the sheet plan {job.code}: there it is {there}, on sheet" in first_cut(pair[1])
    assert "sheet plan" not in first_cut(alone)


def test_flutes_run_in_the_packet_as_on_the_sheets_of_the_plan(coordinating, kind, pair):
    job = cut_together(kind, *pair)

    for build, share in zip(pair, job.plan().shares, strict=True):
        packet = packet_of(coordinating, build)
        told = {card.blank.code: card.blank.cut_flute for card in packet.blanks}
        assert told == {one.blank.code: one.blank.cut_flute for one in share.pieces}


def test_a_packet_of_pieces_that_the_plan_has_otherwise_keeps_its_own_sheets(
    coordinating, kind, pair
):
    piece = next(one for one in steps_of(pair[1]) if one.card["facts"][0] == "cut-blank")
    pair[1].ticks.create(step_key=piece.key, at=NOON, made_by=planner())
    cut_together(kind, *pair)

    packet = packet_of(coordinating, pair[1])

    assert packet.sheets
    assert packet.sheet_plan == ""


def test_a_plan_with_the_same_pieces_leaves_the_builds_as_they_are(kind, pair):
    cut_together(kind, *pair, join_cost=None)

    assert [build.plans.count() for build in pair] == [1, 1]


def test_ticks_stay_where_the_work_is_the_same(kind, pair):
    sort = steps_of(pair[1])[0]
    pair[1].ticks.create(step_key=sort.key, at=NOON, made_by=planner())

    cut_together(kind, *pair)

    assert pair[1].plans.count() == 2
    assert sort.key in [one.key for one in steps_of(pair[1])]


def test_a_build_that_is_cut_by_its_own_plan_already_is_left_alone(kind, pair):
    piece = next(one for one in steps_of(pair[1]) if one.card["facts"][0] == "cut-blank")
    pair[1].ticks.create(step_key=piece.key, at=NOON, made_by=planner())

    cut_together(kind, *pair)

    assert [build.plans.count() for build in pair] == [1, 1]


def test_a_job_that_is_cancelled_gives_back_the_stock_sheet(coordinating, kind, pair):
    job = cut_together(kind, *pair)

    coordinating.post(f"/cutting/{job.code}/give-up/")

    assert [build.plans.newest_first()[0].sheet for build in pair] == [STOCK_SHEET] * 2
    assert [pieces_of(coordinating, build).total() for build in pair] == [2, 2]


def test_a_design_that_can_no_longer_be_made_is_followed_by_nobody(kind, pair, monkeypatch):
    """The limits of the server were changed since."""
    job = cut_together(kind, *pair, join_cost=None)
    monkeypatch.setattr(cutting_lines, "structure_of", lambda shape: None)

    assert follow(job, by=planner()) == []


def test_the_builds_beside_one_whose_design_can_no_longer_be_made_follow(kind, pair, monkeypatch):
    """It fails midway, and the second build of the pair is planned as the sheet plan has it."""
    work_out = BuildPlanQuerySet.work_out

    def fails_for_the_first(self, build, *given, **more):
        if build.pk == refused.pk:
            raise CannotBuild("It cannot be made any more.")
        return work_out(self, build, *given, **more)

    refused = make_build("Third", design=pair[0].plans.get().revision.design)
    monkeypatch.setattr(BuildPlanQuerySet, "work_out", fails_for_the_first)
    cut_together(kind, refused, *pair)

    plans = [build.plans.count() for build in (refused, *pair)]
    assert plans[0] == 1
    assert max(plans[1:]) == 2


def test_a_phone_fetches_its_pages_again_once_a_sheet_plan_cuts_its_pieces(
    coordinating, kind, pair
):
    def stored_as(build):
        told = coordinating.get(f"/builds/{build.code}/ticks/").json()
        return told.get("build", told)["stored_as"]

    before = stored_as(pair[0])
    job = cut_together(kind, *pair, join_cost=None)  # the same pieces: no build is planned again

    planned = stored_as(pair[0])
    assert planned != before
    coordinating.post(f"/cutting/{job.code}/give-up/")
    assert stored_as(pair[0]) != planned


def test_re_planning_keeps_the_pieces_of_the_plan_to_cut(coordinating, kind, pair):
    job, build = cut_together(kind, *pair), pair[1]
    design = build.plans.newest_first()[0].revision.design

    again = plan_anew(build, design, by=planner(), idempotency_key=job.idempotency_key)

    assert again.number == 3
    assert again.job == job.code
    assert pieces_of(coordinating, build) == pieces_in_plan(job)[1]


def test_builds_that_are_planned_after_their_batch_was_worked_out_follow_it(coordinating, kind):
    drawn = Design.objects.draw(make_design(LARGE), by=planner())
    batch = Batch.objects.begin("Saturday", by=planner())
    batch.add(drawn, 2)
    job = batch.job(offer_document(offer_of(kind, join_cost=Decimal(2))), by=planner())
    tasks.begin(job, 0.5)

    batch.plan_builds(by=planner(), on=DAY)

    builds = batch.lines.get().builds.all()
    assert [pieces_of(coordinating, one).total() for one in builds] == [3, 3]


def test_of_an_alteration_only_what_is_new_is_cut(coordinating, kind, make_enclosure):
    """A second level on 2 × 4 panels: the tray of the ground lies there already."""
    enclosure = make_enclosure()
    target = make_design(["####", "####"], upper=["...#", "...#"])
    drawn = Design.objects.draw(target, by=planner())
    build = plan_alteration(enclosure, drawn, by=planner(), on=DAY)

    job = cut_together(kind, build, join_cost=None)

    (pieces,) = pieces_in_plan(job)
    assert pieces.total() == 1
    assert pieces == pieces_of(coordinating, build)
