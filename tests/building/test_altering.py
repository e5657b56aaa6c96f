"""Altering an enclosure: planned, built, handed over; what stood before is remembered."""

import uuid

import pytest
from django.urls import reverse

from builds.building.models.altering import outline, plan_alteration
from builds.building.models.handing_over import hand_over_to_home
from builds.plans.models.builds import Build, BuildState, CannotBuild
from habitats.common.happened import Elsewhere
from habitats.designs.models.designs import Design
from habitats.enclosures.models.alterations import Alteration, alter_enclosure, as_built_on
from habitats.linens.models.changes import change
from habitats.rotation.states import State
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def home(make_home, make_pool):
    home = make_home()
    make_pool(home=home)
    return home


@pytest.fixture
def enclosure(make_enclosure, home):
    return make_enclosure(home=home, plan=("####", "####"))


@pytest.fixture
def target(coordinator):
    return Design.objects.draw(make_design(("####", "####", "####")), by=coordinator)


@pytest.fixture
def build(enclosure, target, coordinator, today):
    return plan_alteration(enclosure, target, by=coordinator, on=today)


def test_the_page_shows_what_it_takes_before_anything_is_planned(coordinating, enclosure, target):
    address = reverse("builds:alter_enclosure", args=[enclosure.code])
    page = coordinating.get(address, {"design": target.code}).content.decode()

    assert "The drawing lies over the enclosure" in page
    assert "Plan alteration" in page
    assert not Build.objects.exists()


def test_an_alteration_is_planned_with_the_steps_of_an_alteration(build):
    plan = build.plans.get()
    ids = [step.card["id"] for step in plan.steps.all()]

    assert plan.standing is not None
    assert any("removes" in step.card for step in plan.steps.all())
    assert ids[0] != "sort-parts"
    assert all(step.picture("metric").startswith("<svg") for step in plan.steps.all())


def test_the_preview_tells_the_time_of_the_plan(enclosure, target, coordinator, today):
    foretold = outline(enclosure, target).minutes

    steps = plan_alteration(enclosure, target, by=coordinator, on=today).plans.get().steps.all()

    assert foretold == sum(step.card["minutes"] for step in steps)
    assert any(step.card["people"] > 1 for step in steps)


def test_its_part_list_has_spares_as_that_of_a_new_build(build):
    """What is listed with the build is what its pull asks for: one list."""
    parts = {one["what"]: one for one in build.plans.get().parts}

    assert parts["connector"]["spare"] > 0


def test_planning_twice_with_the_same_key_gives_one_build(enclosure, target, coordinator, today):
    idempotency_key = uuid.uuid4()
    for _ in range(2):
        plan_alteration(
            enclosure, target, by=coordinator, on=today, idempotency_key=idempotency_key
        )
    assert Build.objects.count() == 1


def test_an_enclosure_is_altered_by_one_build_at_a_time(
    build, enclosure, target, coordinator, today
):
    with pytest.raises(CannotBuild, match="is in progress for North wall already"):
        plan_alteration(enclosure, target, by=coordinator, on=today)


def test_an_enclosure_that_stands_so_already_has_nothing_to_alter(enclosure, coordinator, today):
    with pytest.raises(CannotBuild, match="already matches this design"):
        plan_alteration(enclosure, enclosure.revision.design, by=coordinator, on=today)


def test_a_design_for_other_animals_is_refused_in_words(coordinating, enclosure, coordinator):
    from habitats.structure.design import Species

    other = Design.objects.draw(make_design(species=Species.RABBIT), by=coordinator)
    answer = coordinating.get(
        reverse("builds:alter_enclosure", args=[enclosure.code]), {"design": other.code}
    )
    assert "rabbits" in answer.content.decode()


def test_a_finished_alteration_stands_as_the_new_design(
    build, enclosure, target, home, coordinator, today
):
    for state in (BuildState.BUILDING, BuildState.INSPECTED):
        build.set_state(state, today, by=coordinator)

    hand_over_to_home(
        build, home, enclosure.label, on=today, by=coordinator, idempotency_key=uuid.uuid4()
    )

    enclosure.refresh_from_db()
    assert enclosure.revision == target.current
    assert Alteration.objects.get().on == today


def test_what_stood_on_an_earlier_day_is_remembered(enclosure, target, coordinator, day):
    before = enclosure.revision
    alter_enclosure(enclosure, target.current, day(-5), by=coordinator)

    assert as_built_on([enclosure], day(-6)) == {enclosure.pk: before}
    assert as_built_on([enclosure], day(-5)) == {}


def test_linens_in_places_that_are_gone_come_out_soiled(
    enclosure, target, home, make_linen, coordinator, day
):
    spot = enclosure.spots.get()
    linen = make_linen(home.pool, spot.size)
    change(spot, linen, day(-10), by=coordinator)

    alter_enclosure(enclosure, target.current, day(-5), by=coordinator)

    linen.refresh_from_db()
    assert (linen.state, linen.spot) == (State.SOILED, None)
    assert enclosure.spots.get(gone_on__isnull=True).size != spot.size


def test_the_parts_are_counted_anew(enclosure, target, coordinator, day):
    before = dict(enclosure.components.values_list("kind", "count"))
    alter_enclosure(enclosure, target.current, day(-5), by=coordinator)
    after = dict(enclosure.components.values_list("kind", "count"))

    assert after["panel"] > before["panel"]


def test_an_alteration_before_the_last_one_is_refused(enclosure, target, coordinator, day):
    alter_enclosure(enclosure, target.current, day(-5), by=coordinator)
    with pytest.raises(Elsewhere, match="was altered on 5 March 2027"):
        alter_enclosure(enclosure, target.current, day(-6), by=coordinator)


def test_the_packet_of_an_alteration_says_how_the_drawing_lies(coordinating, build):
    page = coordinating.get(reverse("builds:build_packet", args=[build.code])).content.decode()

    assert "The drawing lies over the enclosure" in page
