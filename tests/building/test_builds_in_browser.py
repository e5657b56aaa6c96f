"""Pages of builds in Chromium: readable for all, usable with a thumb, light on a poor signal."""

import gzip

import pytest

from builds.plans.models.build_acts import BuildNote, BuildPhoto, Shortage, Start, Tick
from builds.plans.models.builds import BuildState
from builds.plans.models.progress import Progress
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure
from tests.support.builds import (
    NOON,
    make_build,
    make_photo,
    make_repair,
    steps_of,
    tick_all,
)
from tests.support.designs import make_design
from tests.support.reading import fits

# What a step may weigh on its way to a phone with poor signal.
MOST_BYTES = 100_000


@pytest.fixture
def full(builder, coordinator, make_home, photo, this_day):
    """A build of which everything can be said that its overview has to say."""
    home = make_home("Wren", area="North Quay")
    drawn = Design.objects.draw(
        make_design(["####", "####"], upper=["##..", "##.."], name="With a loft"), by=coordinator
    )
    build = make_build(
        "Long wall for the back room",
        state="building",
        design=drawn,
        people=[builder],
        home=home,
        planned_on=this_day,
        notes="The door is narrow.",
    )
    steps = steps_of(build)
    on = {"step_key": steps[0].key, "at": NOON, "made_by": builder}
    build.ticks.create(**on)
    build.buildnotes.create(text="Count the connectors again.", **on)
    build.shortages.create(kind="damaged", what="cable-tie", count=2, note="bent", **on)
    build.starts.create(**{**on, "step_key": steps[1].key})
    build.strays.create(
        payload={"kind": "note", "text": "Late"}, why="It was stopped.", made_by=builder
    )
    build.ticks.create(step_key="planned-away", at=NOON, made_by=coordinator)
    make_photo(build, photo, note="the seam")
    make_repair(build)
    return build


@pytest.fixture
def places(full):
    here = f"/builds/{full.code}/"
    steps = steps_of(full)
    return [
        "/builds/",
        "/builds/?whose=mine&state=stopped",
        "/builds/new/",
        here,
        f"{here}edit/",
        f"{here}inspect/",
        f"{here}replan/",
        f"{here}hand-over/",
        f"{here}note/",
        f"{here}photo/",
        f"{here}shortage/?step={steps[1].key}",
        f"{here}repairs/{full.repairs.get().pk}/mended/",
        *(f"{here}steps/{step.key}/" for step in (steps[0], steps[1], steps[5], steps[-1])),
    ]


def test_every_full_page_is_accessible_and_fits_a_phone(phone_in_german, places, axe):
    for address in places:
        assert phone_in_german.goto(address).ok, address
        for fold in phone_in_german.locator("main summary").all():
            fold.tap()
        assert fits(phone_in_german), address
        axe(phone_in_german)


@pytest.mark.nightly
def test_every_full_page_fits_a_desk(desktop, places):
    for address in places:
        assert desktop.goto(address).ok, address
        assert fits(desktop), address


def test_the_empty_list_is_accessible_and_fits_a_phone(phone, axe):
    phone.goto("/builds/")

    assert fits(phone)
    axe(phone)


def test_a_whole_inspection_form_is_accessible_on_a_phone(phone, full, axe):
    full.repairs.get().mend(NOON.date(), by=full.made_by)
    tick_all(full)

    phone.goto(f"/builds/{full.code}/inspect/")
    phone.get_by_role("button", name="Sign inspection").tap()

    assert fits(phone)
    axe(phone)


def test_a_change_that_is_ahead_is_accessible_on_a_phone(phone, full, axe, coordinator):
    full.plans.get().revision.design.change(make_design(plan=["######"]), by=coordinator)

    phone.goto(f"/builds/{full.code}/replan/")
    phone.get_by_role("button", name="Re-plan").wait_for()

    assert fits(phone)
    axe(phone)


@pytest.mark.parametrize("script", [True, False])
def test_a_builder_goes_from_step_to_step_with_a_thumb(open_page, builder, script, this_day):
    build = make_build("Nook", people=[builder])
    phone = open_page(builder, screen="phone", script=script)
    first, second = steps_of(build)[:2]

    phone.goto("/")
    phone.get_by_text("Nook").wait_for()
    phone.get_by_role("link", name="Workshop").tap()
    phone.get_by_role("link", name="Nook").tap()
    phone.get_by_role("link", name="Start with step 1").tap()
    phone.get_by_role("button", name="Start step").tap()
    phone.get_by_text("You started at").wait_for()
    phone.get_by_role("button", name="Step 1 is done").tap()
    phone.get_by_role("heading", name=second.card_in("metric")["title"]).wait_for()

    assert Start.objects.get().step_key == first.key
    assert Tick.objects.get().step_key == first.key
    assert build.state_now() == BuildState.BUILDING


def test_a_builder_reports_without_script(open_page, builder, photo, tmp_path, this_day):
    build = make_build("Nook", state="building", people=[builder])
    step = next(one for one in steps_of(build) if one.card["adds"])
    phone = open_page(builder, screen="phone", script=False)
    phone.goto(f"/builds/{build.code}/steps/{step.key}/")
    (tmp_path / "seam.jpg").write_bytes(photo)

    phone.get_by_role("button", name="Damaged").first.tap()
    phone.get_by_text("Reported as").wait_for()
    phone.get_by_text("Add note").tap()
    phone.get_by_label("Note", exact=True).fill("The tape is old")
    phone.get_by_role("button", name="Save note").tap()
    phone.get_by_text("Note saved.").wait_for()
    phone.get_by_text("Add photo").tap()
    phone.get_by_label("Photo", exact=True).set_input_files(tmp_path / "seam.jpg")
    phone.get_by_role("button", name="Save photo").tap()
    phone.get_by_text("Photo saved").wait_for()

    assert Shortage.objects.get().what == step.card["adds"][0]["what"]
    assert BuildNote.objects.get().text == "The tape is old"
    assert BuildPhoto.objects.get().step_key == step.key


def test_from_the_design_to_the_home_without_script(
    open_page, coordinator, builder, make_home, this_day
):
    drawn = Design.objects.draw(make_design(name="Bay"), by=coordinator)
    make_home("Wren")
    page = open_page(coordinator, screen="phone", script=False)

    page.goto(f"/designs/{drawn.code}/")
    page.get_by_role("link", name="Plan build").tap()
    page.get_by_label("Home").fill("Wren")
    page.get_by_label("Bertil Moss").check()
    page.get_by_role("button", name="Plan build").tap()
    page.get_by_role("heading", name="Bay").wait_for()
    build = builder.builds.get()
    build.set_state(BuildState.BUILDING, this_day, by=coordinator)
    tick_all(build)
    page.reload()
    page.get_by_role("link", name="Inspect and sign", exact=True).first.tap()
    page.get_by_role("heading", name="Inspect Bay").wait_for()
    for answer in page.get_by_label("Yes", exact=True).all():
        answer.check()
    page.get_by_role("button", name="Sign inspection").tap()
    page.get_by_role("link", name="Hand over").tap()
    page.get_by_role("button", name="Hand over").tap()
    page.get_by_text("Handed over to Wren").wait_for()

    assert Enclosure.objects.get().standings.open().exists()


def test_with_script_the_clock_counts_down(open_page, builder):
    build = make_build("Nook", state="building", people=[builder])
    step = steps_of(build)[0]
    build.starts.create(step_key=step.key, at=NOON, made_by=builder)
    phone = open_page(builder, screen="phone")

    phone.goto(f"/builds/{build.code}/steps/{step.key}/")

    phone.get_by_text(f"about {step.card['minutes']} min left").wait_for()
    assert phone.get_by_role("progressbar", name="Time for this step").is_visible()


def test_targets_of_a_step_are_as_large_as_a_thumb_and_the_tick_stays_in_view(
    open_page, builder, full
):
    phone = open_page(builder, screen="phone")
    tick_all(full, but=8)
    step = next(one for one in Progress(full, "metric").steps if one.is_ready and one.card["adds"])
    phone.goto(f"/builds/{full.code}/steps/{step.step.key}/")
    tick = phone.get_by_role("button", name=f"Step {step.step.number} is done").bounding_box()

    assert phone.locator(".around").bounding_box()["y"] > 740
    assert tick["y"] + tick["height"] <= 740
    for target in phone.locator("main a.button, main button, main summary, main input").all():
        if target.is_visible():
            assert target.bounding_box()["height"] >= 44


def test_the_picture_stands_above_the_tick_and_is_as_wide_as_the_phone_allows(
    open_page, builder, full
):
    phone = open_page(builder, screen="phone")
    for step in steps_of(full):
        phone.goto(f"/builds/{full.code}/steps/{step.key}/")
        box = phone.locator("figure svg").bounding_box()
        assert box["x"] >= 0
        assert 320 <= box["x"] + box["width"] <= 360

    small = phone.locator("figure svg").bounding_box()["width"]
    phone.locator("figure svg").tap()
    assert phone.locator("figure svg").bounding_box()["width"] > 2 * small
    assert phone.locator("figure").bounding_box()["height"] == phone.viewport_size["height"]
    phone.get_by_role("link", name="Close picture").tap()
    assert phone.locator("figure svg").bounding_box()["width"] == small


def test_the_first_view_of_a_step_weighs_little(open_page, builder, coordinator):
    """Bytes on the way: the page as it was sent, files as WhiteNoise sends them (gzip)."""
    drawn = Design.objects.draw(
        make_design(["########", "########"], upper=["####....", "####...."], wall_panels=1),
        by=coordinator,
    )
    build = make_build("Nook", state="building", people=[builder], design=drawn)
    heaviest = max(steps_of(build), key=lambda step: len(step.picture("metric")))
    phone = open_page(builder, screen="phone")
    weights = {}

    def weigh(response):
        if response.request.resource_type == "fetch":
            return  # stored for later, once the page is there
        is_file = "/static/" in response.url
        body = gzip.compress(response.body()) if is_file else b""
        weights[response.url] = len(body) or response.request.sizes()["responseBodySize"]

    phone.on("requestfinished", lambda request: weigh(request.response()))
    phone.goto(f"/builds/{build.code}/steps/{heaviest.key}/", wait_until="networkidle")

    assert any("routed-gothic" in url for url in weights)
    assert sum(weights.values()) < MOST_BYTES, weights
