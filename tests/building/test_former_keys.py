"""Better words untick nothing, and what a phone holds from before keys were codes still counts."""

import json
import uuid

import pytest
from django.urls import reverse

from builds.building.models.intake import KNOWN, STRAY, TAKEN, take
from builds.building.models.replanning import compare, plan_anew
from builds.making.instructions import Words
from builds.plans.models import plan_cards
from builds.plans.models.build_acts import BuildNote, Tick
from builds.plans.models.build_plans import BuildStep
from builds.plans.models.progress import Progress
from tests.support.builds import NOON, make_build, steps_of, tick_all
from tests.support.kits import make_link

pytestmark = pytest.mark.django_db
FORMER = "0123456789ab"


@pytest.fixture
def other_words(monkeypatch):
    """`other_words()`: from now on each step has another title and other sentences."""

    def change() -> None:
        monkeypatch.setattr(Words, "title", property(lambda self: f"Autrement: {self[0]}"))
        said = property(lambda self: tuple(f"Autrement: {one}" for one in self[1]))
        monkeypatch.setattr(Words, "instructions", said)
        plan_cards._cached_cards.cache_clear()

    yield change
    monkeypatch.undo()
    plan_cards._cached_cards.cache_clear()


@pytest.fixture
def step(under_way):
    """A step of a build that has lived through the change of keys."""
    found = steps_of(under_way)[1]
    found.former_key = FORMER
    found.save()
    return found


def act(step_key, kind="tick", **more):
    return {
        "once": str(uuid.uuid4()),
        "kind": kind,
        "step": step_key,
        "at": NOON.isoformat(),
        **more,
    }


def test_a_build_planned_anew_in_other_words_keeps_every_tick(under_way, coordinator, other_words):
    tick_all(under_way, but=2)
    design = under_way.plans.get().revision.design
    before = [step.is_done for step in Progress(under_way, "metric").steps]
    other_words()

    assert compare(Progress(under_way, "metric"), design).changes_nothing
    plan_anew(under_way, design, by=coordinator, idempotency_key=uuid.uuid4())
    now = Progress(under_way, "metric")

    assert all(step.card["title"].startswith("Autrement") for step in now.steps)
    assert [step.is_done for step in now.steps] == before
    assert now.gone == ()


@pytest.mark.parametrize("kind", ["tick", "untick", "start"])
def test_an_act_with_a_former_key_is_taken_for_the_step_it_was_meant_for(
    under_way, builder, step, kind
):
    answer = take(builder, under_way, act(FORMER, kind), NOON)

    assert answer.outcome == TAKEN
    row = under_way.starts.get() if kind == "start" else under_way.ticks.get()
    assert row.step_key == step.key


def test_notes_and_shortages_with_a_former_key_stand_at_their_step(under_way, builder, step):
    take(builder, under_way, act(FORMER, "note", text="bent"), NOON)
    missing = {"what": "cable tie", "count": 2, "is_damaged": False}
    take(builder, under_way, act(FORMER, "shortage", **missing), NOON)

    assert under_way.buildnotes.get().step_key == step.key
    assert under_way.shortages.get().step_key == step.key


def test_an_act_sent_again_by_its_former_key_is_known(under_way, builder, step):
    sent = act(FORMER)
    take(builder, under_way, sent, NOON)

    assert take(builder, under_way, sent, NOON).outcome == KNOWN
    assert take(builder, under_way, {**sent, "step": step.key}, NOON).outcome == KNOWN
    assert Tick.objects.count() == 1


def test_a_former_key_counts_after_planning_anew_too(under_way, builder, coordinator, step):
    design = under_way.plans.get().revision.design
    plan_anew(under_way, design, by=coordinator, idempotency_key=uuid.uuid4())
    take(builder, under_way, act(FORMER), NOON)

    assert [one.is_done for one in Progress(under_way, "metric").steps].index(True) == 1


def test_a_key_that_no_step_ever_had_is_put_aside_as_before(under_way, builder, step):
    assert take(builder, under_way, act("ba9876543210"), NOON).outcome == STRAY


def test_a_former_key_of_another_build_says_nothing(under_way, builder, step):
    other = make_build("Other", state="building", people=[builder])
    assert take(builder, other, act(FORMER), NOON).outcome == STRAY


def test_a_former_address_leads_to_the_step(building, under_way, step):
    old, now = (
        reverse("builds:build_step", args=[under_way.code, key]) for key in (FORMER, step.key)
    )
    assert building.get(old).url == now
    assert building.get(now).status_code == 200


@pytest.mark.parametrize("kind", ["tick", "untick", "start"])
def test_a_form_of_a_page_from_before_is_taken(building, under_way, step, kind):
    address = reverse(f"builds:{kind}_step", args=[under_way.code, FORMER])
    answer = building.post(address, {"once": uuid.uuid4()})

    assert answer.status_code == 302
    assert FORMER not in answer.url
    made = under_way.starts if kind == "start" else under_way.ticks
    assert made.get().step_key == step.key


def test_a_note_from_a_page_from_before_leads_back_to_its_step(building, under_way, step):
    address = reverse("builds:note_build", args=[under_way.code])
    shown = building.get(address, {"step": FORMER}).content.decode()
    sent = {"once": uuid.uuid4(), "step": FORMER, "text": "bent"}
    answer = building.post(address, sent)

    assert f"Back to step {step.number}" in shown
    assert answer.url == reverse("builds:build_step", args=[under_way.code, step.key])
    assert BuildNote.objects.get().step_key == step.key


def test_a_phone_is_told_what_its_steps_were_called(building, under_way, step):
    address = reverse("builds:ticks", args=[under_way.code])
    told = json.loads(building.get(address).content)["steps"]
    assert [one["was"] for one in told[:3]] == ["", FORMER, ""]


def test_a_kits_former_address_opens_and_ticks_its_step(client, this_day):
    link = make_link()
    found = steps_of(link.build)[0]
    BuildStep.objects.filter(pk=found.pk).update(former_key=FORMER)
    old = f"/k/{link.token}/steps/{FORMER}/"

    assert found.card_in("metric")["title"] in client.get(old).content.decode()
    client.post(f"{old}tick/", {"once": uuid.uuid4()})
    assert link.build.ticks.get().step_key == found.key
