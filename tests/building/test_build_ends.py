"""The end of a build: planned anew, inspected, mended, handed over; and no way round it."""

import uuid
from datetime import date

import pytest

from builds.building.models.handing_over import hand_over_to_home
from builds.building.models.inspections import Inspection, Repair
from builds.plans.models.builds import BuildState, CannotBuild
from builds.plans.models.progress import Progress
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.people.views.from_phones import HEADER
from tests.support.builds import make_build, make_repair, steps_of, tick_all
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


def answers(build, *failed, note="", **more):
    points = build.plans.newest_first()[0].points
    said = {f"answer_{one['code']}": "no" if one["code"] in failed else "yes" for one in points}
    notes = {f"note_{code}": note for code in failed}
    return {**said, **notes, "signed": "Bertil", "day": "2027-03-10", **more}


def inspected(client, build, *failed, **more):
    return client.post(f"/builds/{build.code}/inspect/", answers(build, *failed, **more))


# --- Planned anew ---


@pytest.fixture
def redrawn(under_way, coordinator):
    """The build's design is drawn anew, after its first two steps and its last were ticked."""
    tick_all(under_way, by=coordinator)
    design = under_way.plans.get().revision.design
    design.change(make_design(plan=["####", "####", "####"]), by=coordinator)
    return design


def test_planning_anew_says_first_what_is_carried_over_and_what_is_not(
    coordinating, under_way, redrawn, text_of
):
    response = coordinating.get(f"/builds/{under_way.code}/replan/")

    change = response.context["change"]
    assert change.kept
    assert change.lost
    assert change.new
    page = text_of(response)
    assert f"Done, and still in the plan: {len(change.kept)}" in page
    assert f"Done, then removed from the plan: {len(change.lost)}" in page
    assert under_way.plans.count() == 1


def test_what_it_said_is_what_planning_anew_does(coordinating, under_way, redrawn):
    change = coordinating.get(f"/builds/{under_way.code}/replan/").context["change"]

    coordinating.post(f"/builds/{under_way.code}/replan/", {"once": uuid.uuid4()})

    now = Progress(under_way, "metric")
    assert now.plan.number == 2
    assert now.done == len(change.kept)
    assert len(now.gone) == len(change.lost)
    assert {one.ref.title for one in now.steps if not one.is_done} >= set(change.new)


def test_the_same_plan_sent_twice_is_one_plan(coordinating, under_way, redrawn):
    once = uuid.uuid4()
    for _ in range(2):
        coordinating.post(f"/builds/{under_way.code}/replan/", {"once": once})

    assert under_way.plans.count() == 2


def test_there_is_nothing_to_plan_anew_where_the_design_is_the_same(
    coordinating, under_way, text_of
):
    page = text_of(coordinating.get(f"/builds/{under_way.code}/replan/"))

    assert "needs the same steps" in page


@pytest.mark.parametrize("state", ["inspected", "handed over", "stopped"])
def test_a_build_that_is_done_or_stopped_is_not_planned_anew(coordinating, text_of, state):
    build = make_build(state=state)

    response = coordinating.post(f"/builds/{build.code}/replan/", {"once": uuid.uuid4()})

    assert response.status_code == 422
    assert f"is {state}. You can re-plan" in text_of(response)
    assert build.plans.count() == 1


def test_a_draft_is_not_planned_anew(coordinating, under_way, coordinator, text_of):
    design = under_way.plans.get().revision.design
    design.change(make_design(plan=["##..#"]), by=coordinator)

    response = coordinating.get(f"/builds/{under_way.code}/replan/")

    assert "is a draft now: finish it on its drawing board" in text_of(response)


# --- Inspected ---


def test_every_point_good_and_signed_the_build_is_inspected(building, under_way):
    tick_all(under_way)

    inspected(building, under_way)

    made = Inspection.objects.get()
    assert made.has_passed
    assert made.signed == "Bertil"
    assert under_way.state_now() == BuildState.INSPECTED
    assert Progress(under_way, "metric").done == len(steps_of(under_way))


def test_a_point_that_fails_makes_a_repair_and_the_build_goes_on(building, under_way, text_of):
    tick_all(under_way)

    response = inspected(building, under_way, "tails", note="two stubs at the door")

    assert under_way.state_now() == BuildState.BUILDING
    assert Repair.objects.get().what == "two stubs at the door"
    assert "1 point did not pass" in text_of(building.get(response.url))


def test_only_after_mending_is_it_inspected_again(building, under_way, text_of):
    tick_all(under_way)
    inspected(building, under_way, "tails", note="a stub")
    repair = Repair.objects.get()

    refused = inspected(building, under_way)
    building.post(f"/builds/{under_way.code}/repairs/{repair.pk}/mended/", {"day": "2027-03-10"})
    inspected(building, under_way)

    assert refused.status_code == 422
    assert "To mend: a stub. Mark it as mended" in text_of(refused)
    assert under_way.state_now() == BuildState.INSPECTED


def test_mended_twice_the_first_word_stays(building, coordinating, under_way, builder):
    repair = make_repair(under_way)
    address = f"/builds/{under_way.code}/repairs/{repair.pk}/mended/"

    building.post(address, {"day": "2027-03-10", "note": "cut flush"})
    coordinating.post(address, {"day": "2027-03-10", "note": "again"})

    repair.refresh_from_db()
    assert repair.done.by == builder
    assert repair.done.note == "cut flush"


def test_a_build_with_open_steps_is_not_inspected(building, under_way, text_of):
    tick_all(under_way, but=1)

    response = inspected(building, under_way)

    missing = steps_of(under_way)[-2]
    assert response.status_code == 422
    assert f"Not done yet: {missing.number}, {missing.card_in('metric')['title']}" in text_of(
        response
    )
    assert not Inspection.objects.exists()


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"answer_edges": ""}, "Not answered. Look at it and answer yes or no."),
        ({"answer_edges": "perhaps"}, "“perhaps” given; answer yes or no."),
        ({"signed": ""}, "The inspection is not signed"),
        ({"day": "2027-03-11"}, "is in the future"),
        ({"day": ""}, "This field is required"),
    ],
)
def test_an_inspection_that_is_not_whole_gets_a_sentence(
    building, under_way, text_of, changes, sentence
):
    tick_all(under_way)

    response = inspected(building, under_way, **changes)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Inspection.objects.exists()
    assert under_way.state_now() == BuildState.BUILDING


def test_an_inspection_kept_on_a_phone_is_refused_where_somebody_inspected_meanwhile(
    building, coordinating, under_way
):
    tick_all(under_way)
    address = f"/builds/{under_way.code}/inspect/"
    seen = building.get(address).wsgi_request.basis.token
    inspected(coordinating, under_way, "edges", note="A tie tail stands out.")

    late = building.post(
        address, answers(under_way, basis=seen, once=uuid.uuid4()), headers={HEADER: "yes"}
    )

    assert late.status_code == 422
    assert "This has changed since the page was opened: Last inspection" in late.json()["why"]
    assert under_way.inspections.count() == 1


def test_an_inspection_whose_page_was_stored_before_the_work_is_taken_after_it(building, builder):
    build = make_build(people=[builder])
    address = f"/builds/{build.code}/inspect/"
    seen = building.get(address).wsgi_request.basis.token
    build.set_state("building", date(2027, 3, 9), by=builder)
    tick_all(build)

    answer = building.post(
        address, answers(build, basis=seen, once=uuid.uuid4()), headers={HEADER: "yes"}
    )

    assert answer.status_code == 200, answer.json()
    assert build.inspections.get().has_passed


def test_the_same_inspection_sent_twice_is_one(building, under_way):
    tick_all(under_way)
    once = uuid.uuid4()
    for _ in range(2):
        inspected(building, under_way, "tails", once=once)

    assert Inspection.objects.count() == 1
    assert Repair.objects.count() == 1


def test_a_builder_who_is_not_on_the_build_does_not_sign(
    client_of, make_person, under_way, this_day, text_of
):
    stranger = client_of(make_person("bo", role="builder"))
    tick_all(under_way)

    response = inspected(stranger, under_way)

    assert response.status_code == 403
    assert "a builder who is on the build" in text_of(response)
    assert not Inspection.objects.exists()


def test_a_build_that_is_stopped_is_not_inspected(coordinating, text_of):
    build = make_build(state="stopped")

    response = inspected(coordinating, build)

    assert response.status_code == 422
    assert "is stopped. You can inspect a build while it is building." in text_of(response)


# --- Handed over ---


def test_handed_over_its_enclosure_stands_in_the_home_with_its_parts(coordinating, make_home):
    home = make_home("Wren")
    build = make_build("Nook", state="inspected", home=home)

    coordinating.post(
        f"/builds/{build.code}/hand-over/",
        {"home": home.code, "label": "North wall", "day": "2027-03-10"},
    )

    build.refresh_from_db()
    made = Enclosure.objects.get()
    assert build.enclosure == made
    assert made.label == "North wall"
    assert made.state_now() == EnclosureState.STANDING
    assert made.components.exists()
    assert made.revision == build.plans.get().revision
    assert made.standings.open().get().home == home
    assert build.state_now() == BuildState.HANDED_OVER


@pytest.mark.parametrize(
    ("state", "why"),
    [
        ("planned", "It can be handed over once it passes inspection."),
        ("building", "It can be handed over once it passes inspection."),
        ("inspected", "The hand-over is for a coordinator."),
        ("stopped", "It is stopped, so it cannot be handed over."),
    ],
)
def test_who_cannot_hand_it_over_is_told_why(building, text_of, state, why):
    page = text_of(building.get(f"/builds/{make_build(state=state).code}/"))

    assert why in page
    assert "Hand over" not in page


def test_with_a_repair_left_the_reason_is_the_repair(coordinating, text_of):
    build = make_build(state="building")
    make_repair(build)

    page = text_of(coordinating.get(f"/builds/{build.code}/"))

    assert "once its repairs are done and it passes inspection" in page


def test_no_enclosure_is_set_up_before_the_inspection_has_passed(
    coordinating, under_way, make_home, text_of
):
    home = make_home("Wren")
    tick_all(under_way)

    response = coordinating.post(
        f"/builds/{under_way.code}/hand-over/",
        {"home": home.code, "label": "North wall", "day": "2027-03-10"},
    )

    assert response.status_code == 422
    assert "is building, so it cannot be handed over next" in text_of(response)
    assert not Enclosure.objects.exists()


def test_handed_over_twice_one_enclosure_stands(coordinating, make_home):
    home = make_home("Wren")
    build = make_build("Nook", state="inspected", home=home)
    sent = {"home": home.code, "label": "N", "day": "2027-03-10", "once": uuid.uuid4()}
    for _ in range(2):
        coordinating.post(f"/builds/{build.code}/hand-over/", sent)

    assert Enclosure.objects.count() == 1


def test_a_kit_is_not_handed_to_a_home(coordinator, make_home):
    build = make_build("Kit", state="inspected", adopter="Ada")

    with pytest.raises(CannotBuild, match="is a kit for Ada"):
        hand_over_to_home(
            build,
            make_home(),
            "N",
            on=date(2027, 3, 10),
            by=coordinator,
            idempotency_key=uuid.uuid4(),
        )


def test_an_enclosure_that_was_altered_stays_the_one_it_is(coordinating, make_enclosure, make_home):
    home = make_home("Wren")
    enclosure = make_enclosure("Nook", home, state="repair")
    stood = {"enclosure": enclosure, "standing": enclosure.revision}
    build = make_build("Nook, larger", state="inspected", home=home, **stood)

    coordinating.post(f"/builds/{build.code}/hand-over/", {"home": home.code, "day": "2027-03-10"})

    assert Enclosure.objects.get().state_now() == EnclosureState.STANDING
    assert build.state_now() == BuildState.HANDED_OVER


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"home": ""}, "No home given. Choose the home in which it stands."),
        ({"label": ""}, "This field is required"),
        ({"day": "2027-03-12"}, "is in the future"),
    ],
)
def test_a_hand_over_that_is_not_whole_gets_a_sentence(
    coordinating, make_home, text_of, changes, sentence
):
    home = make_home("Wren")
    build = make_build("Nook", state="inspected", home=home)
    sent = {"home": home.code, "label": "North wall", "day": "2027-03-10", **changes}

    response = coordinating.post(f"/builds/{build.code}/hand-over/", sent)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Enclosure.objects.exists()


def test_a_repair_is_mended_on_a_day_that_has_come(building, under_way, text_of):
    repair = make_repair(under_way)

    response = building.post(
        f"/builds/{under_way.code}/repairs/{repair.pk}/mended/", {"day": "2027-03-12"}
    )

    assert response.status_code == 422
    assert "is in the future" in text_of(response)
