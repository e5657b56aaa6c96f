"""A planned enclosure is built: planned from its page, and it is the one that stands in the end."""

import re
import uuid

import pytest

from builds.building.models.handing_over import hand_over_to_home
from builds.plans.models.builds import Build, BuildState, CannotBuild
from builds.plans.models.planning import plan_build
from habitats.designs.models.designs import Design
from habitats.enclosures.models.alterations import Alteration
from habitats.enclosures.models.changes import change_state
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def home(make_home):
    return make_home("Ash", most_enclosures=1)


@pytest.fixture
def planned(make_enclosure, home):
    return make_enclosure("North wall", home, state=EnclosureState.PLANNED)


@pytest.fixture
def build(planned, coordinator, today):
    return plan_build(planned.revision, "North wall", by=coordinator, on=today, enclosure=planned)


@pytest.fixture
def hand_over(build, coordinator, today):
    def make(home):
        for state in (BuildState.BUILDING, BuildState.INSPECTED):
            build.set_state(state, today, by=coordinator)
        hand_over_to_home(build, home, "", on=today, by=coordinator, idempotency_key=uuid.uuid4())

    return make


def sent_by(page):
    """What the form of a page would send."""
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields if name not in ("people", "anyway")}
    return {name: value for name, value in values.items() if value is not None}


def test_its_first_action_leads_to_a_build_of_it(coordinating, planned, home):
    page = coordinating.get(f"/enclosures/{planned.code}/").content.decode()
    address = re.search(r'class="button first"\s+href="([^"]+)"', page)[1]
    form = coordinating.get(address)

    assert "This build makes North wall, which is planned." in form.content.decode()
    landed = coordinating.post("/builds/new/", sent_by(form), follow=True)

    (made,) = Build.objects.all()
    assert (made.enclosure, made.home, made.name) == (planned, home, "North wall")
    assert landed.status_code == 200
    # The home is full with it; that was asked when the enclosure was planned.
    assert "Show build" in coordinating.get(f"/enclosures/{planned.code}/").content.decode()


def test_the_one_that_was_planned_stands_and_no_second_one(hand_over, planned, home, today):
    hand_over(home)

    assert list(Enclosure.objects.all()) == [planned]
    assert planned.state_now() == EnclosureState.STANDING
    assert planned.standings.get().home == home
    assert set(planned.components.values_list("fitted_on", flat=True)) == {today}


def test_it_stands_where_the_build_was_handed_over(hand_over, planned, make_home):
    other = make_home("Teal")

    hand_over(other)

    assert planned.standings.open().get().home == other


def test_it_stands_as_it_was_built_which_is_no_alteration(
    hand_over, build, planned, home, coordinator
):
    other = Design.objects.draw(make_design(name="Other"), by=coordinator)
    build.plans.update(revision=other.current)

    hand_over(home)

    planned.refresh_from_db()
    assert planned.revision == other.current
    assert not Alteration.objects.exists()


def test_only_one_build_makes_it(build, planned, coordinator, today):
    with pytest.raises(CannotBuild, match="in progress for North wall already"):
        plan_build(planned.revision, "Again", by=coordinator, on=today, enclosure=planned)


def test_what_stands_already_is_not_built_new(planned, coordinator, today):
    change_state(planned, EnclosureState.STANDING, on=today, by=coordinator)

    with pytest.raises(CannotBuild, match="Alter it instead"):
        plan_build(planned.revision, "Again", by=coordinator, on=today, enclosure=planned)


def test_what_came_to_stand_meanwhile_is_not_set_up_again(
    hand_over, planned, home, coordinator, today
):
    change_state(planned, EnclosureState.STANDING, on=today, by=coordinator)

    with pytest.raises(CannotBuild, match="North wall is standing already"):
        hand_over(home)


def test_it_is_no_kit(coordinating, planned):
    form = coordinating.get(f"/builds/new/?enclosure={planned.code}")

    sent = sent_by(form) | {"home": "", "adopter": "Bea"}
    refused = coordinating.post("/builds/new/", sent)

    assert refused.status_code == 422
    assert "It makes North wall, which stays with you." in refused.content.decode()


def test_an_enclosure_that_is_not_there_is_refused_and_not_left_out(coordinating, planned):
    sent = sent_by(coordinating.get(f"/builds/new/?enclosure={planned.code}"))

    refused = coordinating.post("/builds/new/", sent | {"enclosure": "XXXXXX"})

    assert refused.status_code == 422
    assert "No enclosure was found for this build" in refused.content.decode()
    assert not Build.objects.exists()


def test_a_build_sent_twice_is_planned_once(coordinating, planned):
    sent = sent_by(coordinating.get(f"/builds/new/?enclosure={planned.code}"))

    for _ in range(2):
        coordinating.post("/builds/new/", sent)

    assert Build.objects.count() == 1
