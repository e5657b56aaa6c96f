"""Pages of builds as a whole: found, planned, looked at, changed, said what state they are in."""

import uuid

import pytest
from django.urls import reverse

from builds.plans.models.build_acts import Overtaken
from builds.plans.models.builds import Build, BuildState
from habitats.designs.models.designs import Design
from habitats.homes.models.homes import HomeContact
from tests.support.builds import NOON, make_build, make_photo, steps_of, tick_all
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def design(coordinator):
    return Design.objects.draw(make_design(name="Bay"), by=coordinator)


def planned(client, drawn, **sent):
    given = {"once": uuid.uuid4(), "design": drawn.code, "name": "Nook", **sent}
    return client.post("/builds/new/", given)


def test_an_empty_list_says_what_to_do_first(coordinating, building, text_of):
    assert "Plan first build" in text_of(coordinating.get("/builds/"))
    assert "Builds that a coordinator plans" in text_of(building.get("/builds/"))


def test_the_only_design_that_there_is_is_chosen_already(coordinating, coordinator, design):
    def chosen():
        return coordinating.get("/builds/new/").context["form"]["design"].value()

    assert chosen() == design.code
    Design.objects.draw(make_design(name="Nook"), by=coordinator)
    assert chosen() is None


def test_the_soonest_build_comes_first_and_one_without_a_day_last(coordinating, text_of, day):
    for name, on in (("Without", None), ("Later", day(9)), ("Sooner", day(2))):
        make_build(name, planned_on=on)

    page = text_of(coordinating.get("/builds/"))

    assert page.index("Sooner") < page.index("Later") < page.index("Without")


def test_the_list_counts_what_is_done_of_the_newest_plan(coordinating, text_of):
    build = make_build("Nook", state="building")
    tick_all(build)
    undone = steps_of(build)[0]
    build.ticks.create(step_key=undone.key, is_done=False, at=NOON, made_by=build.made_by)

    total = len(steps_of(build))
    assert f"{total - 2} of {total}" in text_of(coordinating.get("/builds/"))


def test_a_builder_sees_the_own_builds_first_and_all_on_asking(building, builder, text_of):
    make_build("Mine", people=[builder])
    make_build("Others", people=[])

    assert "Others" not in text_of(building.get("/builds/"))
    assert "Others" in text_of(building.get("/builds/?whose=all"))


def test_a_build_without_a_name_has_that_of_its_design(coordinating, design):
    planned(coordinating, design, name="")

    assert Build.objects.get().name == "Bay"


def test_builds_are_found_by_words_state_and_home(coordinating, text_of, make_home):
    home = make_home("Wren")
    make_build("Nook", home=home)
    make_build("Corner", state="stopped")

    by_home = text_of(coordinating.get(f"/builds/?home={home.code}"))
    assert "Nook" in by_home
    assert "Builds for Wren" in by_home
    assert "Corner" not in text_of(coordinating.get("/builds/"))
    assert "Corner" in text_of(coordinating.get("/builds/?state=stopped"))
    assert "Nook" not in text_of(coordinating.get("/builds/?words=corn"))


@pytest.mark.parametrize("query", ["state=x", "whose=x", "page=x", "home=%3F", f"words={'x' * 99}"])
def test_a_question_that_makes_no_sense_shows_open_builds(coordinating, query, text_of):
    make_build("Nook")
    response = coordinating.get(f"/builds/?{query}")

    assert response.status_code == 200


def test_a_list_of_many_asks_no_more_than_a_list_of_few(coordinating, builder, queries_for, day):
    drawn = Design.objects.draw(make_design(), by=builder)
    for number in range(3):
        make_build(f"Build {number}", design=drawn, people=[builder])
    few = queries_for(coordinating, "/builds/")
    for number in range(9):
        make_build(f"More {number}", design=drawn, people=[builder], planned_on=day(number))

    assert queries_for(coordinating, "/builds/") == few


def test_an_overview_with_many_acts_asks_no_more_than_one_with_few(
    coordinating, builder, coordinator, queries_for
):
    build = make_build("Nook", state="building", people=[builder])
    steps = steps_of(build)

    def act(times):
        for number in range(times):
            on = {"step_key": steps[number % 4].key, "at": NOON}
            by = (builder, coordinator)[number % 2]
            build.ticks.create(**on, made_by=by)
            build.starts.create(**on, made_by=by)
            build.buildnotes.create(text=f"Note {number}", **on, made_by=by)
            build.shortages.create(kind="missing", what="tie", count=1, **on, made_by=by)
            make_photo(build, step_key=steps[0].key)
            build.strays.create(payload={"kind": "tick"}, why="Too late.", made_by=by)

    act(3)
    few = queries_for(coordinating, f"/builds/{build.code}/")
    act(27)

    assert queries_for(coordinating, f"/builds/{build.code}/") == few


def test_a_build_is_planned_from_a_design_for_a_home(coordinating, design, builder, make_home):
    home = make_home("Wren")

    response = planned(
        coordinating, design, home=home.code, people=[builder.pk], planned_on="2027-04-02"
    )

    build = Build.objects.get()
    assert response.url == f"/builds/{build.code}/"
    assert build.home == home
    assert list(build.people.all()) == [builder]
    assert build.state_now() == BuildState.PLANNED
    assert build.plans.get().steps.exists()


def test_sent_twice_a_build_is_planned_once(coordinating, design):
    once = uuid.uuid4()
    for _ in range(2):
        planned(coordinating, design, once=once, adopter="Ada")

    assert Build.objects.get().is_kit


def test_a_design_names_itself_on_the_form(coordinating, design, text_of):
    page = text_of(coordinating.get(f"/builds/new/?design={design.code}"))

    assert f'value="{design.code}" selected' in page
    assert 'value="Bay"' in page


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"design": "NOPE"}, "Select a valid choice"),
        ({"adopter": "Ada", "home": True}, "a build is for one of the two"),
        ({"planned_on": "2099-01-01"}, "1 January 2099 given; give a day from"),
        ({"planned_on": "yesterday"}, "Enter a valid date"),
        ({"people": ["999"]}, "“999” is not in the list"),
        ({"name": "x" * 81}, "Enter 80 characters at most"),
    ],
)
def test_a_build_that_cannot_be_planned_gets_a_sentence(
    coordinating, design, make_home, text_of, sent, sentence
):
    if sent.get("home"):
        sent = {**sent, "home": make_home("Wren").code}

    response = planned(coordinating, design, **sent)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Build.objects.exists()


def test_a_draft_is_not_planned(coordinating, coordinator, text_of):
    draft = Design.objects.draw(make_design(plan=["##..#"]), by=coordinator)

    response = planned(coordinating, draft)

    assert response.status_code == 422
    assert "is a draft. Finish it on its drawing board first" in text_of(response)


def test_a_home_that_it_does_not_fit_into_asks_once_more(coordinating, design, make_home, text_of):
    home = make_home("Wren", largest_width_mm=400, largest_depth_mm=400)

    response = planned(coordinating, design, home=home.code)

    assert response.status_code == 422
    assert "the largest that fits into Wren" in text_of(response)
    assert planned(coordinating, design, home=home.code, anyway="on").status_code == 302


def test_a_builder_reads_the_first_name_and_the_area_and_no_more(
    building, builder, make_home, text_of
):
    home = make_home("Wren", area="North Quay", notes="The key is under the pot.")
    HomeContact.objects.create(
        home=home, full_name="Wren Bexley", phone="0300 41", address="4 Tallow Row"
    )
    build = make_build("Nook", state="building", people=[builder], home=home)
    step = steps_of(build)[0].key

    for address in ("/builds/", f"/builds/{build.code}/", f"/builds/{build.code}/steps/{step}/"):
        page = text_of(building.get(address))
        assert "Wren, North Quay" in page
        assert not any(word in page for word in ("Bexley", "0300 41", "Tallow", "pot"))


def test_a_builder_meets_no_animals_on_a_build(
    building, builder, make_home, make_enclosure, make_animal, make_group, text_of
):
    home = make_home("Wren")
    make_group(make_animal("Pip"), enclosure=make_enclosure("North wall", home))
    build = make_build("Nook", state="building", people=[builder], home=home)

    assert "Pip" not in text_of(building.get(f"/builds/{build.code}/"))


def test_what_a_build_is_for_may_change_until_it_is_handed_over(coordinating, under_way, make_home):
    wren, lark = make_home("Wren"), make_home("Lark")
    edit = f"/builds/{under_way.code}/edit/"

    coordinating.post(edit, {"name": "Nook", "home": wren.code})
    for state in (BuildState.INSPECTED, BuildState.HANDED_OVER):
        under_way.set_state(state, under_way.made_at.date(), by=under_way.made_by)
    coordinating.post(edit, {"name": "Corner", "home": lark.code})

    under_way.refresh_from_db()
    assert under_way.name == "Corner"
    assert under_way.home == wren


def test_somebody_who_is_no_builder_any_more_stays_on_the_build(coordinating, under_way, builder):
    builder.roles = "foster"
    builder.save()

    page = coordinating.get(f"/builds/{under_way.code}/edit/")

    assert list(page.context["form"]["people"].value()) == [builder.pk]
    assert builder in page.context["form"].fields["people"].queryset


def test_a_coordinator_stops_a_build_and_takes_it_up_again(coordinating, under_way, text_of):
    address = f"/builds/{under_way.code}/say/"

    coordinating.post(address, {"state": "stopped", "day": "2027-03-09", "note": "no room"})
    stopped = text_of(coordinating.get(f"/builds/{under_way.code}/"))
    coordinating.post(address, {"state": "building", "day": "2027-03-10"})

    assert "Stopped: no room" in stopped
    assert under_way.state_now() == BuildState.BUILDING


@pytest.mark.parametrize(
    ("state", "sentence"),
    [
        ("inspected", "It cannot become “inspected” now"),
        ("handed over", "It cannot become “handed over” now"),
        ("planned", "It cannot become “planned” now"),
    ],
)
def test_a_state_that_has_a_page_of_its_own_is_not_just_said(
    coordinating, under_way, text_of, state, sentence
):
    response = coordinating.post(
        f"/builds/{under_way.code}/say/", {"state": state, "day": "2027-03-10"}
    )

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert under_way.state_now() == BuildState.BUILDING


def test_a_builder_does_not_stop_a_build(building, under_way, text_of):
    response = building.post(
        f"/builds/{under_way.code}/say/", {"state": "stopped", "day": "2027-03-10"}
    )

    assert response.status_code == 422
    assert under_way.state_now() == BuildState.BUILDING


def test_the_short_link_opens_the_build_also_in_small_letters(building, under_way):
    response = building.get(f"/b/{under_way.code.lower()}/")

    assert response.url == f"/builds/{under_way.code}/"


def test_the_packet_of_a_build_is_of_the_design_as_it_was_planned(
    building, under_way, coordinator, text_of
):
    design = under_way.plans.get().revision.design
    design.change(make_design(name="Far larger", plan=["########"]), by=coordinator)

    page = text_of(building.get(f"/builds/{under_way.code}/packet/"))

    assert f"Build {under_way.code}: scan this" in page
    assert f"/b/{under_way.code}/" in page
    assert "Far larger" not in page


def test_there_is_no_page_of_a_build_that_is_none(coordinating):
    for address in ("/builds/NONE22/", "/b/NONE22/", "/builds/NONE22/steps/abc/"):
        assert coordinating.get(address).status_code == 404


# --- Somebody's tick came late ---


@pytest.fixture
def late_tick(under_way, builder, coordinator):
    """The builder's tick of the first step came after the coordinator had opened it again."""
    key = steps_of(under_way)[0].key
    stands = under_way.ticks.create(step_key=key, is_done=False, at=NOON, made_by=coordinator)
    late = under_way.ticks.create(step_key=key, at=NOON, made_by=builder)
    return Overtaken.objects.create(tick=late, stands=stands, made_by=builder)


@pytest.mark.parametrize("page", ["build", "build_step"])
def test_whose_word_stands_is_told_of_a_late_one(
    page, coordinating, building, under_way, late_tick, text_of
):
    key = [late_tick.tick.step_key] if page == "build_step" else []
    address = reverse(f"builds:{page}", args=[under_way.code, *key])

    assert "Bertil Moss marked it done on" in text_of(coordinating.get(address))
    assert "marked it done on" not in text_of(building.get(address))


def test_who_has_read_of_a_late_tick_is_not_told_again(coordinating, under_way, late_tick, text_of):
    read = reverse("builds:read_overtaken", args=[under_way.code, late_tick.pk])

    answer = coordinating.post(read, follow=True)

    assert "marked it done on" not in text_of(answer)


def test_a_late_tick_of_another_build_is_not_found(coordinating, late_tick):
    other = make_build("Alcove")
    read = reverse("builds:read_overtaken", args=[other.code, late_tick.pk])

    assert coordinating.post(read).status_code == 404


def test_without_a_design_the_way_to_one_is_told(coordinating, text_of):
    page = text_of(coordinating.get("/builds/new/"))

    assert "there is none yet that can be made." in page
    assert "Choose starter design" in page
