"""Estimates that follow the rescue's own times."""

from datetime import timedelta

import pytest
from django.db import connection
from django.urls import reverse

from builds.building.models import intake
from builds.building.models.intake import take
from builds.building.models.repair_builds import plan_repair
from builds.making.mendings import mending_of
from builds.making.pace import LEAST_STEPS
from builds.making.times import ANIMALS_MOVED, minutes
from builds.plans.models.learning import learnt_times
from habitats.faults.models.faults import report
from habitats.rescue.models.rescue import Rescue
from habitats.upkeep.kinds import FaultKind
from tests.support.builds import NOON, make_build, steps_of

pytestmark = pytest.mark.django_db


def time_step(build, step, used, person):
    """Started, and ticked so many minutes later."""
    for kind, at in (("start", NOON), ("tick", NOON + timedelta(minutes=used))):
        act = {"once": f"{build.pk:08x}-0000-4000-8000-{step.pk:08x}{len(kind):04x}", "kind": kind}
        take(person, build, {**act, "step": step.key, "at": at}, NOON + timedelta(days=1))


@pytest.fixture
def slow_cutters(builder):
    """Twice as long for the pieces of sheet, in as many builds as it takes."""
    for number in range(LEAST_STEPS):
        build = make_build(f"Nook {number}", state="building")
        step = next(one for one in steps_of(build) if one.card["facts"][0] == "cut-blank")
        time_step(build, step, 2 * step.card["minutes"], builder)


def minutes_of(build, task):
    return [s.card["minutes"] for s in steps_of(build) if s.card["facts"][0] == task]


def test_a_new_plan_follows_what_was_timed_and_an_old_one_keeps_its_times(builder, request):
    old = make_build("Old", state="building")
    before = minutes_of(old, "cut-blank")
    request.getfixturevalue("slow_cutters")

    new = make_build("New")

    assert Rescue.ours().work_pace == {"sheet": 200}
    assert minutes_of(old, "cut-blank") == before
    assert minutes_of(new, "cut-blank") == [2 * one for one in before]
    assert minutes_of(new, "wall") == minutes_of(old, "wall")
    assert [one.key for one in steps_of(new)] == [one.key for one in steps_of(old)]


def test_what_followed_is_measured_by_the_table_and_not_by_itself(slow_cutters, builder):
    """Else a share of a share would be learnt."""
    build = make_build("New", state="building")
    step = next(one for one in steps_of(build) if one.card["facts"][0] == "cut-blank")
    time_step(build, step, step.card["minutes"], builder)

    (learnt,) = learnt_times()

    assert learnt.percent == 200


def test_it_is_learnt_when_the_build_is_free_again(builder, monkeypatch):
    """Ticks of one build wait for each other, and not for what the next plan is told by."""
    depths, outside = [], len(connection.savepoint_ids)
    monkeypatch.setattr(intake, "relearn", lambda: depths.append(len(connection.savepoint_ids)))
    build = make_build("Nook", state="building")

    time_step(build, steps_of(build)[0], 20, builder)

    assert depths == [outside]


def test_it_is_turned_off_in_the_settings(slow_cutters):
    Rescue.objects.update(learns_times=False)

    build = make_build("New")

    assert build.plans.get().pace == {}
    assert not any("table_minutes" in one.card for one in steps_of(build))


def test_build_sheet_and_packet_tell_the_same_time(slow_cutters, coordinating):
    build = make_build("New")
    cards = [one.card["minutes"] for one in steps_of(build)]
    design = build.plans.get().revision.design

    sheet = coordinating.get(f"/designs/{design.code}/").context["sheet"]
    packet = coordinating.get(f"/builds/{build.code}/packet/").context["packet"]

    assert [one.minutes for one in sheet.reckoning.steps] == cards
    assert [one.step.minutes for one in packet.cards] == cards
    assert packet.cover.minutes == sum(cards)
    assert any("table_minutes" in one.card for one in steps_of(build))


@pytest.fixture
def slow_menders(builder, coordinator, make_enclosure, make_home, today):
    """Three times as long for a fault, in as many repairs as it takes."""
    for number in range(LEAST_STEPS):
        enclosure = make_enclosure(f"Old {number}", home=make_home(f"Barn {number}"))
        repair = mend(enclosure, coordinator, today)
        repair.people.add(builder)
        (step,) = [one for one in steps_of(repair) if one.card["facts"][0] == "mend"]
        time_step(repair, step, 3 * step.card["minutes"], builder)


def mend(enclosure, by, on):
    fault = report(enclosure, "panel", "soon", on=on, by=by)
    return plan_repair(enclosure, [fault], by=by, on=on)


def test_a_repair_follows_the_times_of_repairs(
    slow_menders, coordinator, make_enclosure, make_home, today
):
    usual = mending_of(FaultKind.PANEL)

    repair = mend(make_enclosure("New", home=make_home("Shed")), coordinator, today)

    assert Rescue.ours().work_pace == {"mending": 300}
    assert minutes_of(repair, "mend") == [3 * minutes((1, usual.seconds))]
    assert minutes_of(repair, "keep-away") == [minutes((1, ANIMALS_MOVED))]


def test_taking_down_follows_the_times_of_what_was_taken_off(
    coordinating, make_enclosure, make_home
):
    enclosure = make_enclosure("Old", home=make_home())
    address = reverse("builds:retire_enclosure", args=[enclosure.code])
    usual = [one.step.minutes for one in coordinating.get(address).context["page"].steps]
    Rescue.objects.filter(pk=Rescue.ours().pk).update(work_pace={"taking": 200})

    page = coordinating.get(address).context["page"]

    # The first step moves animals out, which is never hurried, nor slowed.
    assert [one.step.minutes for one in page.steps] == [usual[0], *(2 * one for one in usual[1:])]
    assert page.minutes == sum(one.step.minutes for one in page.steps)


def test_the_page_says_what_was_learnt_of(slow_cutters, building, text_of):
    page = text_of(building.get("/builds/times/"))

    assert "Sheet: cutting and folding" in page
    assert "200 % of the usual" in page


def test_nothing_timed_is_said_so(building, text_of):
    assert "No step was timed yet" in text_of(building.get("/builds/times/"))
