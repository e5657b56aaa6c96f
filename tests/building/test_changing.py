"""An alteration drawn on what stands: begun with a stroke, kept with the enclosure, planned."""

import uuid
from dataclasses import replace

import pytest
from django.db import IntegrityError, connection, transaction
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from playwright.sync_api import expect

from builds.building.models.altering import outline, plan_alteration
from builds.common.reckonings import _alteration_view, _altered
from builds.designs.forms.all_steps import STEPS
from builds.plans.models.builds import Build
from habitats.designs.models.designs import Design, Superseded
from habitats.enclosures.models.alterations import alter_enclosure
from habitats.enclosures.models.drawings import begin_drawing, end_drawing, open_drawing
from habitats.structure.lattice import Cell
from tests.support.designs import make_design

pytestmark = pytest.mark.django_db


@pytest.fixture
def enclosure(make_enclosure, make_home):
    return make_enclosure(home=make_home(), plan=("####", "####"))


def address(enclosure, step=""):
    board = reverse("builds:change_enclosure", args=[enclosure.code])
    return f"{board}{step}/" if step else board


@pytest.fixture
def take(coordinating, enclosure):
    """A step taken on the board as it stands now, or as ``base`` says."""

    def taken(step, base=None, **given):
        page = coordinating.get(address(enclosure)).context["page"]
        sent = {"once": page.idempotency_key, "base": page.base if base is None else base}
        return coordinating.post(
            address(enclosure, step), {**sent, **given}, HTTP_HX_REQUEST="true"
        )

    return taken


def words_of(answer):
    return " ".join(answer.content.decode().split())


# --- Begun at what stands ---


def test_the_board_opens_with_what_stands_and_keeps_nothing(coordinating, enclosure):
    before = Design.objects.count()
    answer = coordinating.get(address(enclosure))

    assert answer.context["page"].shape.levels == enclosure.shape().levels
    assert "none drawn yet" in words_of(answer)
    assert Design.objects.count() == before


def test_the_first_stroke_begins_a_drawing_that_is_in_no_list(take, coordinating, enclosure):
    assert take("wish", wish="lid").status_code == 200

    drawing = open_drawing(enclosure)
    assert drawing.shape().lid
    assert drawing.begun_from == enclosure.revision
    assert not Design.objects.listed().filter(pk=drawing.pk).exists()
    for page in ("builds:designs", "builds:archived_designs"):
        assert drawing.code not in coordinating.get(reverse(page)).content.decode()
    chosen = reverse("builds:alter_enclosure", args=[enclosure.code])
    assert drawing.code not in coordinating.get(chosen).content.decode()


def test_the_first_stroke_sent_twice_draws_once(coordinating, enclosure):
    page = coordinating.get(address(enclosure)).context["page"]
    sent = {"once": page.idempotency_key, "base": page.base, "wish": "longer-E"}
    for _ in range(2):
        assert coordinating.post(address(enclosure, "wish"), sent).status_code == 302

    drawing = open_drawing(enclosure)
    assert drawing.revisions.count() == 2
    assert drawing.shape().cols == 5


def test_undo_leads_back_to_what_stands(take, enclosure):
    take("wish", wish="lid")
    take("undo")

    assert open_drawing(enclosure).shape().levels == enclosure.shape().levels
    assert not open_drawing(enclosure).shape().lid


def test_no_step_has_the_address_of_another_page(enclosure):
    pages = {"wishes", "view", "again", "undo", "redo"}

    assert not pages & STEPS.keys()


@pytest.mark.parametrize("step", ["panel", "about", "turn", "mirror"])
def test_what_makes_another_enclosure_of_it_is_no_step_here(take, step):
    assert take(step).status_code == 404


def test_an_enclosure_has_one_open_drawing(enclosure, coordinator):
    def draw():
        return Design.objects.draw(
            make_design(), by=coordinator, enclosure=enclosure, begun_from=enclosure.revision
        )

    first = draw()
    with pytest.raises(IntegrityError), transaction.atomic():
        draw()
    assert end_drawing(enclosure) == first
    assert draw() == open_drawing(enclosure)


def test_a_drawing_of_an_enclosure_says_what_stood(enclosure, coordinator):
    with pytest.raises(IntegrityError), transaction.atomic():
        Design.objects.draw(make_design(), by=coordinator, enclosure=enclosure)


# --- Two at once, and what happened meanwhile ---


def test_a_stroke_on_what_stood_is_told_where_another_drew_meanwhile(take, enclosure):
    stood = -enclosure.revision_id
    take("wish", wish="lid")
    answer = take("wish", base=stood, wish="longer-E")

    assert answer.status_code == 422
    assert "was changed in another window meanwhile" in words_of(answer)
    assert open_drawing(enclosure).shape().cols == 4


def test_two_who_begin_at_once_take_turns(enclosure, coordinator):
    key = uuid.uuid4()
    drawing = begin_drawing(enclosure, by=coordinator, idempotency_key=key)

    assert begin_drawing(enclosure, by=coordinator, idempotency_key=key) == drawing
    with pytest.raises(Superseded):
        begin_drawing(enclosure, by=coordinator, idempotency_key=uuid.uuid4())


def test_an_enclosure_altered_meanwhile_is_told_and_nothing_is_lost(
    take, coordinating, enclosure, coordinator, today
):
    take("wish", wish="lid")
    other = Design.objects.draw(make_design(("####", "####", "####")), by=coordinator)
    alter_enclosure(enclosure, other.current, today, by=coordinator)

    answer = coordinating.get(address(enclosure))
    assert "was altered since this drawing was begun" in words_of(answer)
    assert open_drawing(enclosure).shape().lid

    drawn = open_drawing(enclosure)
    coordinating.post(address(enclosure, "again"))
    assert coordinating.get(address(enclosure)).context["page"].shape.rows == 3
    assert coordinating.get(reverse("builds:design", args=[drawn.code])).status_code == 200


def test_a_drawing_ends_where_the_enclosure_stands_so(take, enclosure, coordinator, today):
    take("wish", wish="lid")
    drawing = open_drawing(enclosure)
    alter_enclosure(enclosure, drawing.current, today, by=coordinator)

    assert open_drawing(enclosure) is None
    assert enclosure.revision.design == drawing


# --- What it takes ---


def test_what_is_drawn_stays_where_it_was_drawn(take, enclosure):
    """Both ends are equal work; the row goes on where it was drawn, though the lattice moved."""
    take("wish", wish="longer-W")
    drawing = open_drawing(enclosure)

    alteration = outline(enclosure, drawing).alteration
    west = {place.col for place in alteration.stands.places}
    assert min(west) == 1, "what stands lies one cell east on the lattice of the drawing"
    assert alteration.laying.cols == -1


def test_the_board_tells_what_goes_on_and_comes_off(take):
    told = words_of(take("wish", wish="upper-E"))

    assert "Goes on</dt><dd>13 panels, 9 connectors, 2 pieces of sheet" in told
    assert "Turned</dt><dd>5 connectors" in told
    assert "Comes off" not in told
    assert "no prices yet" in told


def test_a_draft_is_compared_with_nothing(take):
    answer = take("add-level")

    assert answer.context["page"].change is None
    assert "Goes on" not in words_of(answer)


def test_each_wish_has_a_preview_or_a_reason(coordinating, enclosure):
    told = words_of(coordinating.get(address(enclosure, "wishes")))

    for code in ("upper-W", "upper-E", "longer-W", "longer-E", "lid"):
        assert f'value="{code}"' in told
    assert "There is no ramp, so no guard is needed." in told
    assert told.count("<svg") >= 5


def test_a_front_door_in_the_place_of_a_wall_is_a_change(take, coordinating, enclosure):
    take("wish", wish="upper-E")
    told = words_of(coordinating.get(address(enclosure, "wishes")))

    assert 'value="door"' in told


def test_what_was_worked_out_for_previews_is_not_worked_out_again(coordinating, enclosure):
    coordinating.get(address(enclosure, "wishes"))
    known = [(_altered, _altered.cache_info()), (_alteration_view, _alteration_view.cache_info())]

    coordinating.get(address(enclosure, "wishes"))

    for cache, before in known:
        assert cache.cache_info().misses == before.misses
        assert cache.cache_info().hits > before.hits


def test_previews_are_seen_from_where_the_board_is(coordinating, enclosure):
    pages = [
        coordinating.get(address(enclosure, "wishes"), {"corner": corner}).context["page"]
        for corner in ("SE", "NW")
    ]

    south_east, north_west = ([one.picture for one in page.wish_cards] for page in pages)
    assert all(one != other for one, other in zip(south_east, north_west, strict=True) if one)


def test_a_wish_that_changes_nothing_says_so(take, coordinating, enclosure):
    take("wish", wish="upper-E")
    take("guards", guards="none")
    take("supports", supports="none")
    told = words_of(coordinating.get(address(enclosure, "wishes")))

    assert 'value="guards"' in told
    assert "Supports under the upper levels</strong>: Nothing would change." in told


def test_where_the_animals_stay_is_told(take, coordinating, enclosure, make_group, make_animal):
    make_group(make_animal("Pip"), make_animal("Nut"), enclosure=enclosure)

    assert "out meanwhile" in words_of(take("wish", wish="longer-E"))
    told = words_of(coordinating.get(reverse("builds:plan_change", args=[enclosure.code])))
    assert "animals live here: Nut and Pip." in told
    assert "They move out" in told


# --- Planned ---


def test_it_is_planned_from_its_drawing_and_keeps_its_name(take, coordinating, enclosure):
    take("wish", wish="upper-E")
    page = reverse("builds:plan_change", args=[enclosure.code])
    assert "Work and parts" in words_of(coordinating.get(page))
    answer = coordinating.post(page, {"once": uuid.uuid4()})

    build = Build.objects.get()
    assert answer.url == reverse("builds:build", args=[build.code])
    assert str(build) == "North wall: alteration"
    assert build.plans.get().revision == open_drawing(enclosure).current


def test_a_build_that_is_behind_its_drawing_is_told_on_the_board(
    take, coordinating, enclosure, coordinator, today
):
    take("wish", wish="lid")
    plan_alteration(enclosure, open_drawing(enclosure), by=coordinator, on=today)
    assert "is at work on this enclosure" in words_of(coordinating.get(address(enclosure)))

    told = words_of(take("undo"))
    assert "planned from this drawing before your last change" in told


def test_with_nothing_drawn_nothing_is_planned(coordinating, enclosure):
    page = reverse("builds:plan_change", args=[enclosure.code])

    assert coordinating.get(page).url == address(enclosure)


def test_what_is_only_planned_is_not_altered(coordinating, make_enclosure):
    planned = make_enclosure(state="planned")

    assert coordinating.get(address(planned)).url == reverse("enclosure", args=[planned.code])


def test_on_one_that_was_retired_meanwhile_nothing_is_drawn(
    coordinating, enclosure, coordinator, today
):
    page = coordinating.get(address(enclosure)).context["page"]
    enclosure.set_state("retired", on=today, by=coordinator)
    sent = {"once": page.idempotency_key, "base": page.base, "wish": "lid"}
    answer = coordinating.post(address(enclosure, "wish"), sent)

    assert answer.status_code == 422
    assert "is retired, so it cannot be altered" in words_of(answer)
    assert open_drawing(enclosure) is None


@pytest.mark.parametrize("step", ["undo", "redo", "again"])
def test_on_one_that_was_retired_meanwhile_nothing_is_moved_along(
    take, coordinating, enclosure, coordinator, today, step
):
    take("wish", wish="lid")
    drawing = open_drawing(enclosure)
    enclosure.set_state("retired", on=today, by=coordinator)

    answer = coordinating.post(address(enclosure, step), {"base": drawing.current.pk})

    assert answer.status_code == 422
    assert "is retired, so it cannot be altered" in words_of(answer)
    assert open_drawing(enclosure).current == drawing.current


# --- As few questions with much as with little ---


def test_a_long_drawing_asks_no_more_questions(take, coordinating, enclosure, coordinator):
    take("wish", wish="lid")
    coordinating.get(address(enclosure))
    coordinating.get(address(enclosure, "wishes"))
    with CaptureQueriesContext(connection) as few:
        coordinating.get(address(enclosure))
        coordinating.get(address(enclosure, "wishes"))
    drawing = open_drawing(enclosure)
    for number in range(12):
        drawing.change(replace(drawing.shape(), lid=bool(number % 2)), by=coordinator)
    with CaptureQueriesContext(connection) as many:
        coordinating.get(address(enclosure))
        coordinating.get(address(enclosure, "wishes"))

    assert len(many) == len(few)


@pytest.mark.browser
def test_from_what_stands_to_the_packet_of_an_upper_level_in_six_taps(enclosure, phone):
    taps = 0

    def tap(what):
        nonlocal taps
        taps += 1
        what.click()

    phone.goto(reverse("enclosure", args=[enclosure.code]))
    tap(phone.get_by_role("link", name="Change this enclosure"))
    tap(phone.get_by_role("button", name="Upper level and ramp at the east end"))
    expect(phone.locator("#facts")).to_contain_text("13 panels")
    tap(phone.get_by_role("link", name="Plan alteration"))
    tap(phone.get_by_role("button", name="Plan alteration"))
    tap(phone.get_by_role("link", name="Packet", exact=True))

    expect(phone.locator("body")).to_contain_text("North wall: alteration")
    plan = Build.objects.get().plans.get().revision.shape()
    assert plan.levels[1].cells == {Cell(0, 3), Cell(1, 3)}
    assert len(plan.ramps) == 1
    assert plan.guards is None
    assert taps <= 6
