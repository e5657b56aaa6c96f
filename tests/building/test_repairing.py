"""Repairs: planned from open faults, with their own steps and parts, mended at the hand-over."""

import uuid

import pytest
from django.urls import reverse

from builds.batches.models.batches import Batch
from builds.batches.models.cutting_lines import CannotCut
from builds.building.models.handing_over import hand_over_to_home
from builds.building.models.repair_builds import FaultWork, plan_repair
from builds.building.models.replanning import refuse
from builds.making.assembly import INSPECT
from builds.making.mendings import mending_of
from builds.making.part_names import CLIP, CONNECTOR, PLAIN_PANEL, TAPE, TIE
from builds.making.repairing import AWAY, FETCH, Trouble, repair_parts, repair_steps
from builds.making.tools import CUTTERS, KNIFE, TIE_CUTTERS, TOOLS
from builds.plans.models.builds import Build, BuildState, CannotBuild
from builds.pulls.models.plan_needs import needs_of
from habitats.animals.models.stays import move_in
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.faults.models.faults import report
from habitats.upkeep.kinds import FaultKind
from habitats.upkeep.places import FloorPoint
from tests.support.pulls import stock_up

PLACE = FloorPoint(0, 300, 300)
db = pytest.mark.django_db


@pytest.fixture
def home(make_home):
    return make_home()


@pytest.fixture
def enclosure(make_enclosure, home):
    return make_enclosure(home=home, plan=("####", "####"))


@pytest.fixture
def see(enclosure, coordinator, day):
    """`see("panel")`: a fault of the enclosure, seen yesterday."""

    def make(kind="panel", urgency="soon", **facts):
        return report(enclosure, kind, urgency, on=day(-1), by=coordinator, **facts)

    return make


@pytest.fixture
def plan(enclosure, coordinator, today):
    return lambda *faults, **facts: plan_repair(
        enclosure, faults, by=coordinator, on=today, **facts
    )


@pytest.fixture
def address(enclosure):
    return reverse("builds:plan_repair", args=[enclosure.code])


@pytest.fixture
def finish(home, enclosure, coordinator, today):
    def done(build):
        for state in (BuildState.BUILDING, BuildState.INSPECTED):
            build.set_state(state, today, by=coordinator)
        hand_over_to_home(
            build, home, enclosure.label, on=today, by=coordinator, idempotency_key=uuid.uuid4()
        )

    return done


# --- Steps and parts ---


@pytest.mark.parametrize("kind", FaultKind)
def test_every_kind_of_fault_has_a_step_between_keeping_animals_away_and_a_final_check(kind):
    steps = repair_steps([Trouble("7", kind, "ground, north part")], points=9)
    first, mended, last = (step for step in steps if step.id != FETCH)

    assert (first.id, last.id) == (AWAY, INSPECT)
    assert mended.title.endswith(": ground, north part")
    assert (mended.needs, last.needs) == ((AWAY,), (mended.id,))
    assert mended.minutes >= 1
    assert set(mended.tools) <= set(TOOLS)


@pytest.mark.parametrize("kind", FaultKind)
def test_a_step_that_cuts_says_so_where_the_hand_is(kind):
    done = mending_of(kind)
    used = set(done.tools)
    codes = {advice.code for advice in done.cautions}

    assert CUTTERS not in used or "cut_wire" in codes
    assert TIE_CUTTERS not in used or "tie_tails" in codes
    assert KNIFE not in used or "knife" in codes


@pytest.mark.parametrize(
    ("kind", "title"),
    [
        ("connector", "Take the animals out"),
        ("floor", "Take the animals out"),
        ("tape", "Keep the animals away"),
    ],
)
def test_animals_are_out_before_anything_that_holds_comes_off(kind, title):
    steps = {step.id: step for step in repair_steps([Trouble("1", FaultKind(kind))], points=9)}
    assert steps[AWAY].title == title


@pytest.mark.parametrize("kind", FaultKind)
def test_parts_are_fetched_first_and_only_where_there_are_any(kind):
    steps = repair_steps([Trouble("1", kind), Trouble("2", kind)], points=9)
    fetched = [step.id for step in steps if step.id == FETCH]

    assert bool(fetched) == bool(mending_of(kind).adds)
    assert fetched == [steps[0].id] * len(fetched)
    assert {step.id: step.needs for step in steps}[AWAY] == tuple(fetched)


def test_all_parts_of_a_repair_are_counted_out_together():
    told = repair_steps([Trouble("1", FaultKind.PANEL), Trouble("2", FaultKind.TRAY)], points=9)
    sentence = str(told[0].instructions[0])

    assert sentence == (
        "Count out 1 plain panel, 2 cable ties, sheet tape and 1 offcut of sheet, two hands wide."
    )


@pytest.mark.parametrize(
    ("kind", "what", "count"),
    [
        ("panel", PLAIN_PANEL, 1),
        ("connector", CONNECTOR, 1),
        ("tie", TIE, 2),
        ("lid", CLIP, 2),
        ("tape", TAPE, 1),
    ],
)
def test_a_fault_takes_the_parts_that_its_step_adds(kind, what, count):
    parts = repair_parts([Trouble("1", FaultKind(kind))], 350)
    assert {part.what: part.count for part in parts}[what] == count


def test_parts_of_several_faults_are_counted_together():
    troubles = [Trouble(str(number), FaultKind.CONNECTOR) for number in range(3)]
    (part,) = repair_parts(troubles, 350)
    assert (part.what, part.count) == (CONNECTOR, 3)


# --- Planning ---


@db
def test_a_repair_is_planned_with_a_step_a_fault_and_its_place_drawn(see, plan):
    fault, other = see("panel", "unsafe", where=PLACE), see("tie")
    steps = list(plan(other, fault).plans.get().steps.all())

    assert [step.card["id"] for step in steps] == [
        FETCH,
        AWAY,
        f"panel-{fault.pk}",
        f"tie-{other.pk}",
        INSPECT,
    ]
    assert "Bent or broken panel" in steps[2].picture("metric")
    assert all(step.picture("metric").startswith("<svg") for step in steps)


@db
def test_planning_twice_with_the_same_key_gives_one_build(see, plan):
    fault, idempotency_key = see(), uuid.uuid4()
    assert plan(fault, idempotency_key=idempotency_key) == plan(
        fault, idempotency_key=idempotency_key
    )
    assert FaultWork.objects.count() == 1


@db
def test_a_repair_leaves_the_design_as_it_stands(see, plan, enclosure):
    kept = plan(see()).plans.get()
    assert (kept.revision, kept.standing) == (enclosure.revision, None)


@db
def test_a_repair_pulls_its_own_parts_and_no_enclosure(see, plan):
    stock_up()
    needs = needs_of(plan(see("panel")).plans.get())

    assert {line.item.kind: line.count for line in needs.lines} == {"panel": 1, "tie": 2}
    assert not needs.missing


@db
def test_the_page_to_pull_a_repair_lists_its_parts_alone(see, plan, coordinating, text_of):
    items = stock_up()
    build = plan(see("connector"))
    page = text_of(coordinating.get(reverse("builds:pull_build", args=[build.code])))

    listed = {kind for kind, item in items.items() if str(item) in page}
    assert listed == {"connector"}


@db
def test_without_a_fault_no_repair_is_planned(see, plan):
    see()
    with pytest.raises(CannotBuild, match="No fault is ticked"):
        plan()


@db
def test_of_an_enclosure_without_an_open_fault_no_repair_is_planned(see, plan, coordinator, today):
    fault = see()
    fault.mend(today, by=coordinator)
    with pytest.raises(CannotBuild, match="has no open fault"):
        plan(fault)


@db
def test_a_fault_of_another_enclosure_is_refused(see, plan, make_enclosure, coordinator, day):
    see()
    other = report(make_enclosure("South wall"), "tie", "soon", on=day(-1), by=coordinator)
    with pytest.raises(CannotBuild, match="no longer open"):
        plan(other)


@db
def test_one_build_at_a_time_is_at_work_on_an_enclosure(see, plan):
    fault = see()
    plan(fault)
    with pytest.raises(CannotBuild, match="is in progress for North wall already"):
        plan(fault)


@db
def test_a_fault_whose_repair_was_stopped_is_planned_again(see, plan, coordinator, today):
    fault = see()
    plan(fault).set_state(BuildState.STOPPED, today, by=coordinator)
    assert plan(fault).fault_works.get().fault == fault


@db
def test_what_is_retired_is_not_mended(see, plan, enclosure, coordinator, today):
    fault = see()
    enclosure.set_state(EnclosureState.RETIRED, on=today, by=coordinator)
    with pytest.raises(CannotBuild, match="so it cannot be mended"):
        plan(fault)


@db
def test_a_repair_is_not_planned_anew_from_its_design(see, plan):
    with pytest.raises(CannotBuild, match="is a repair"):
        refuse(plan(see()))


@db
def test_nothing_is_cut_for_a_repair(see, plan, coordinator):
    batch = Batch.objects.begin("Spring", by=coordinator)
    with pytest.raises(CannotCut, match="takes no sheets"):
        batch.add_build(plan(see()))


# --- The end ---


@db
def test_handed_over_its_faults_are_mended_with_its_code_and_others_are_not(see, plan, finish):
    fault, other = see("panel"), see("tie")
    build = plan(fault)
    finish(build)

    fault.refresh_from_db()
    assert build.code in fault.mended.note
    assert other.is_open


@db
def test_handed_over_the_enclosure_stands_again(see, plan, finish, enclosure, coordinator, today):
    fault = see()
    enclosure.set_state(EnclosureState.NEEDS_REPAIR, on=today, by=coordinator)
    finish(plan(fault))
    assert enclosure.state_now() == EnclosureState.STANDING


@db
def test_with_a_group_inside_it_is_in_use_again(
    see, plan, finish, enclosure, coordinator, day, today, make_group, make_animal
):
    move_in(make_group(make_animal("Pip"), make_animal("Moss")), enclosure, day(-2), by=coordinator)
    fault = see()
    enclosure.set_state(EnclosureState.NEEDS_REPAIR, on=today, by=coordinator)
    finish(plan(fault))
    assert enclosure.state_now() == EnclosureState.IN_USE


@db
def test_while_another_unsafe_fault_is_open_it_still_needs_repair(
    see, plan, finish, enclosure, coordinator, today
):
    fault, _other = see("panel"), see("wire", "unsafe")
    enclosure.set_state(EnclosureState.NEEDS_REPAIR, on=today, by=coordinator)
    finish(plan(fault))
    assert enclosure.state_now() == EnclosureState.NEEDS_REPAIR


@db
def test_handed_over_on_its_page_the_fault_is_mended(
    see, plan, home, coordinating, coordinator, today
):
    fault = see()
    build = plan(fault)
    for state in (BuildState.BUILDING, BuildState.INSPECTED):
        build.set_state(state, today, by=coordinator)
    page = reverse("builds:hand_over_build", args=[build.code])
    sent = {"once": uuid.uuid4(), "home": home.code, "day": today}

    assert coordinating.post(page, sent).status_code == 302
    fault.refresh_from_db()
    assert fault.mended.on == today


@db
def test_handed_over_before_the_fault_was_seen_gets_a_sentence_and_changes_nothing(
    see, plan, home, coordinating, coordinator, day, text_of
):
    fault = see()
    build = plan(fault)
    for state in (BuildState.BUILDING, BuildState.INSPECTED):
        build.set_state(state, day(-3), by=coordinator)
    page = reverse("builds:hand_over_build", args=[build.code])
    answer = coordinating.post(page, {"once": uuid.uuid4(), "home": home.code, "day": day(-2)})

    assert answer.status_code == 422
    assert "It was seen on" in text_of(answer)
    assert build.state_now() == BuildState.INSPECTED


# --- The page ---


@db
def test_the_page_plans_what_is_ticked(see, address, coordinating, builder):
    fault, _other = see("panel"), see("tie")
    sent = {"once": uuid.uuid4(), "faults": [fault.pk], "people": [builder.pk]}
    answer = coordinating.post(address, sent)

    build = Build.objects.get()
    assert answer.url == reverse("builds:build", args=[build.code])
    assert build.fault_works.get().fault == fault
    assert coordinating.get(answer.url).status_code == 200


@db
@pytest.mark.parametrize(
    ("ticked", "sentence"),
    [
        ([], "No fault is ticked."),
        ([9999], "faults is no longer open"),
        (["x"], "is not a fault"),
    ],
)
def test_what_is_ticked_wrongly_is_told_beside_it(
    see, address, coordinating, text_of, ticked, sentence
):
    see()
    answer = coordinating.post(address, {"once": uuid.uuid4(), "faults": ticked})
    assert answer.status_code == 422
    assert sentence in text_of(answer)


@db
def test_the_page_says_why_nothing_can_be_planned(address, coordinating, text_of):
    assert "has no open fault" in text_of(coordinating.get(address))


@db
def test_the_enclosure_and_the_list_of_faults_lead_to_it(see, address, enclosure, coordinating):
    see()
    for page in (reverse("enclosure", args=[enclosure.code]), reverse("faults")):
        assert address in coordinating.get(page).content.decode()


@db
def test_a_repair_has_no_packet_and_is_not_offered_one(see, plan, coordinating):
    build = plan(see())
    packet = reverse("builds:build_packet", args=[build.code])

    assert (
        packet not in coordinating.get(reverse("builds:build", args=[build.code])).content.decode()
    )
    assert coordinating.get(packet).status_code == 404
