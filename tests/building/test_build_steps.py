"""One step a screen: what it shows, what it waits for, and what is done on it with one tap."""

import gzip
import json
import uuid

import pytest

from builds.building.models.replanning import compare
from builds.plans.models.build_acts import StrayAct, Tick
from builds.plans.models.build_plans import BuildPlan
from builds.plans.models.builds import BuildState
from builds.plans.models.progress import Progress
from habitats.designs.models.designs import Design
from habitats.structure.lattice import Side
from tests.support.builds import NOON, make_build, planner, steps_of, tick_all
from tests.support.designs import make_design, ramp_from
from tests.support.pseudo import CODE, OPEN, SHUT, data_of_all_rows, spoken, unsaid

pytestmark = pytest.mark.django_db


def at(build, step, what=""):
    return f"/builds/{build.code}/steps/{step.key}/" + (f"{what}/" if what else "")


def a_loft():
    """Two cells over one end, with a ramp down the long side."""
    return make_design(["####", "####"], upper=["#...", "#..."], ramps=(ramp_from(1, 0, Side.E),))


def test_a_step_shows_picture_words_parts_and_cautions(building, under_way, text_of):
    for step in steps_of(under_way):
        page = text_of(building.get(at(under_way, step)))
        card = step.card_in("metric")
        assert "<svg" in page
        assert all(f"<b>{one['count']}</b> × {one['name']}" in page for one in card["adds"])
        for words in (*card["instructions"], *card["cautions"]):
            assert words.replace("\xa0", " ") in page


def test_a_step_is_told_in_the_units_of_its_reader(client_of, make_person, this_day, text_of):
    build = make_build(state="building")
    step = next(
        one for one in steps_of(build) if "mm" in str(one.card_in("metric")["instructions"])
    )
    reader = client_of(make_person("uma", role="builder", units="inches"))

    page = text_of(reader.get(at(build, step)))

    assert step.card_in("inches")["instructions"][0].replace("\xa0", " ").split(" ")[0] in page
    assert step.picture("inches")[:2000] in reader.get(at(build, step)).text


def test_work_that_comes_again_is_told_once_and_referred_to(building, this_day, text_of):
    ramps = (ramp_from(0, 0, Side.E, panels=3), ramp_from(1, 6, Side.W, panels=3))
    upper = [*["#.....#"] * 2, "#######"]
    drawn = make_design(["#######"] * 3, upper=upper, ramps=ramps)
    build = make_build(state="building", design=Design.objects.draw(drawn, by=planner()))
    first, second = (one for one in steps_of(build) if one.card["id"].startswith("bend-ramp"))

    told, again = (text_of(building.get(at(build, one))) for one in (first, second))

    assert f"Do this twice: here and in step {second.number}." in told
    assert f'<a href="{at(build, first)}">Do the same as in step {first.number}.</a>' in again
    assert "Full instructions" in again


def test_a_step_says_by_number_and_title_what_it_waits_for(building, under_way, text_of):
    waiting = next(one for one in Progress(under_way, "metric").steps if one.waits_for)

    page = text_of(building.get(at(under_way, waiting.step)))

    for one in waiting.waits_for:
        assert f"step {one.number}, {one.title}" in page
    assert "data-waits hidden" not in page
    assert ">Mark as done anyway</button>" in page


def test_a_step_whose_needs_are_ticked_waits_for_nothing(building, under_way, text_of):
    tick_all(under_way, but=1)
    steps = steps_of(under_way)

    assert "data-waits hidden" in text_of(building.get(at(under_way, steps[-2])))


def test_a_tick_goes_on_to_the_next_step_that_can_be_done(building, under_way):
    first = steps_of(under_way)[0]

    response = building.post(at(under_way, first, "tick"))

    following = Progress(under_way, "metric").next
    assert response.url == at(under_way, following.step)
    assert Tick.objects.get().is_done


def test_the_same_tick_sent_twice_is_one_tick(building, under_way):
    first, once = steps_of(under_way)[0], uuid.uuid4()
    for _ in range(2):
        building.post(at(under_way, first, "tick"), {"once": once})

    assert Tick.objects.count() == 1


def test_two_who_tick_the_same_step_agree(building, coordinating, under_way, text_of):
    first = steps_of(under_way)[0]
    building.post(at(under_way, first, "tick"))
    coordinating.post(at(under_way, first, "tick"))

    page = text_of(building.get(at(under_way, first)))

    assert "Done:" in page
    assert "Bertil Moss" in page
    assert "Cora, " in page


def test_a_tick_is_taken_back_and_the_step_is_open(building, under_way):
    first = steps_of(under_way)[0]
    building.post(at(under_way, first, "tick"))

    building.post(at(under_way, first, "untick"))

    assert Progress(under_way, "metric").done == 0
    assert Tick.objects.count() == 2


def test_the_first_tick_of_a_planned_build_says_that_it_is_building(building):
    build = make_build()

    building.post(at(build, steps_of(build)[0], "tick"))

    assert build.state_now() == BuildState.BUILDING


def test_who_is_on_a_step_is_seen_by_others_until_it_is_ticked(
    building, coordinating, under_way, text_of
):
    first = steps_of(under_way)[0]
    building.post(at(under_way, first, "start"))
    seen = text_of(coordinating.get(at(under_way, first)))
    listed = text_of(coordinating.get(f"/builds/{under_way.code}/"))
    coordinating.post(at(under_way, first, "tick"))
    after = text_of(coordinating.get(at(under_way, first)))

    assert "Bertil Moss has been on it since" in seen
    assert "Bertil Moss is on step 1," in listed
    assert "on it since" not in after


def test_the_next_step_for_somebody_is_one_that_nobody_is_on(builder, under_way):
    tick_all(under_way, but=len(steps_of(under_way)) - 3)
    first, second, *_more = (one for one in Progress(under_way, "metric").steps if one.is_ready)
    under_way.starts.create(step_key=first.step.key, at=NOON, made_by=builder)

    assert Progress(under_way, "metric").next.step == second.step


def test_the_overview_leads_each_builder_to_the_step_that_they_began(
    client_of, builder, coordinator, building, under_way, text_of
):
    tick_all(under_way, but=len(steps_of(under_way)) - 3)
    first, second, *_more = (one for one in Progress(under_way, "metric").steps if one.is_ready)
    under_way.starts.create(step_key=first.step.key, at=NOON, made_by=builder)
    overview = f"/builds/{under_way.code}/"

    assert f"Continue with step {first.step.number}" in text_of(building.get(overview))
    others = text_of(client_of(coordinator).get(overview))
    assert f"Continue with step {second.step.number}" in others


def test_who_is_on_a_step_continues_with_it_whatever_they_note_on_the_way(
    building, under_way, text_of
):
    tick_all(under_way, but=len(steps_of(under_way)) - 3)
    _first, second, *_more = (one for one in Progress(under_way, "metric").steps if one.is_ready)
    building.post(at(under_way, second.step, "start"))
    note = {"text": "The floor slopes.", "step": second.step.key}
    building.post(f"/builds/{under_way.code}/note/", note)

    page = text_of(building.get(f"/builds/{under_way.code}/"))

    assert under_way.buildnotes.count() == 1
    assert f"Continue with step {second.step.number} </a>" in page
    assert "data-began" in text_of(building.get(at(under_way, second.step)))


def test_who_ticks_another_step_is_on_the_one_before_no_more(building, builder, under_way):
    tick_all(under_way, but=len(steps_of(under_way)) - 3)
    first, second, *_more = (one for one in Progress(under_way, "metric").steps if one.is_ready)
    building.post(at(under_way, second.step, "start"))
    building.post(at(under_way, first.step, "tick"))

    assert not any(one.on_it for one in Progress(under_way, "metric").steps)


def test_the_clock_of_ones_own_step_says_its_minutes_without_script(building, under_way, text_of):
    first = steps_of(under_way)[0]
    building.post(at(under_way, first, "start"))

    page = text_of(building.get(at(under_way, first)))

    assert f'data-seconds="{first.card["minutes"] * 60}"' in page
    assert f"it takes about {first.card['minutes']} min" in page


def test_the_last_step_leads_to_the_inspection_and_is_not_ticked_by_hand(
    building, under_way, text_of
):
    tick_all(under_way)

    page = text_of(building.get(at(under_way, steps_of(under_way)[-1])))

    assert f"/builds/{under_way.code}/inspect/" in page
    assert "/tick/" not in page


def test_a_stopped_build_is_read_and_not_ticked(building, text_of):
    build = make_build(state="stopped")
    first = steps_of(build)[0]

    page = text_of(building.get(at(build, first)))
    response = building.post(at(build, first, "tick"), follow=True)

    assert "This build is stopped" in page
    assert "you can add nothing more to it. It is saved with the build." in text_of(response)
    assert StrayAct.objects.get().payload["step"] == first.key
    assert not Tick.objects.exists()


def test_a_step_that_was_planned_away_is_no_page_and_its_tick_is_shown(
    building, under_way, coordinator, text_of
):
    first = steps_of(under_way)[0]
    under_way.ticks.create(step_key=first.key, at=NOON, made_by=coordinator)
    design = under_way.plans.get().revision.design
    design.change(make_design(plan=["##", "##"]), by=coordinator)
    BuildPlan.objects.work_out(under_way, design.current, by=coordinator)

    page = text_of(building.get(f"/builds/{under_way.code}/"))

    assert building.get(at(under_way, first)).status_code == 404
    assert "Done, then removed from the plan" in page
    assert first.card_in("metric")["title"] in page


def in_another_language(client_of, person):
    person.language = CODE
    person.save()
    return client_of(person)


def test_a_step_planned_in_english_is_told_in_the_language_of_its_reader(
    under_way, builder, client_of
):
    with spoken():
        client = in_another_language(client_of, builder)
        pages = [client.get(at(under_way, one)).content.decode() for one in steps_of(under_way)]

    assert [one for page in pages for one in unsaid(page, data_of_all_rows)] == []


def test_a_phone_is_told_titles_as_text_in_the_language_of_its_reader(
    under_way, builder, client_of
):
    with spoken():
        client = in_another_language(client_of, builder)
        told = client.get(f"/builds/{under_way.code}/ticks/").json()

    titles = [one["title"] for one in told["steps"]]
    assert all(title.startswith(OPEN) and title.endswith(SHUT) for title in titles)


def test_a_step_kept_as_plain_text_is_read_as_it_stands(building, under_way, text_of):
    step = steps_of(under_way)[0]
    card = {**step.card, "tools": step.card_in("metric")["tools"]}
    for name in ("title", "instructions", "cautions"):
        card[name] = {units: step.card_in(units)[name] for units in ("metric", "inches")}
    type(step).objects.filter(pk=step.pk).update(card=card)
    kept = steps_of(under_way)[0]

    assert isinstance(kept.card["title"]["metric"], str)
    assert kept.card_in("metric") == step.card_in("metric")
    assert building.get(at(under_way, kept)).status_code == 200


def test_a_replan_of_a_design_that_did_not_change_finds_no_change(under_way, this_day):
    design = under_way.plans.get().revision.design

    assert compare(Progress(under_way, "metric"), design).changes_nothing


def test_a_tap_shows_the_picture_large_on_the_same_page_so_that_it_works_offline(
    building, under_way
):
    page = building.get(at(under_way, steps_of(under_way)[0])).text
    figure = page.partition('<figure id="picture">')[2].partition("</figure>")[0]

    assert figure.strip().startswith('<a class="larger" href="#picture"><svg')
    assert 'href="#work">Close picture</a>' in figure


def test_what_is_cut_on_the_back_is_seen_turned_over_and_a_ramp_from_its_side(building, builder):
    drawn = Design.objects.draw(a_loft(), by=planner())
    build = make_build("Loft", state="building", people=[builder], design=drawn)
    pages = {one.card["id"]: building.get(at(build, one)).text for one in steps_of(build)}
    seconds = {key: page.partition('<figure id="second"')[2] for key, page in pages.items()}

    # The ground's tray is alike on both sides; the upper one has the flap of its doorway.
    assert [key for key, second in seconds.items() if second] == [
        "cut-blank-level-1-tray",
        "ramp-level-1-r1c0E",
    ]
    assert "Turned over, as in a mirror" in seconds["cut-blank-level-1-tray"]
    assert "25.4°" in seconds["ramp-level-1-r1c0E"]
    assert all(('href="#second"' in pages[key]) == bool(second) for key, second in seconds.items())


def test_a_plan_of_before_second_pictures_is_read_as_it_stands(building, under_way):
    step = steps_of(under_way)[0]
    first = step.picture("metric")
    kept = json.loads(gzip.decompress(step.pictures))
    firsts = {units: kept[units] for units in ("metric", "inches")}
    packed = gzip.compress(json.dumps(firsts).encode())
    type(step).objects.filter(pk=step.pk).update(pictures=packed)

    assert step.seen("metric") == (first, "")
    assert building.get(at(under_way, step)).status_code == 200
