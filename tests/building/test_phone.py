"""A build on a phone in Debian's Chromium: the network cut, the tab killed, the browser closed."""

import pytest
from django.contrib.sessions.models import Session
from django.urls import reverse
from playwright.sync_api import Page, expect

from builds.building.models.intake import may_send
from builds.building.views import acts
from builds.plans.models.build_acts import Tick
from tests.conftest import CHROMIUM, NO_BACKGROUND_SYNC, PASSWORD, QUIET_CHROMIUM, SCREENS
from tests.support.builds import DAY, make_build, planner, steps_of
from tests.support.waiting import log_out, until

pytestmark = pytest.mark.django_db(transaction=True)

STORED = "Stored on this phone: works offline."


@pytest.fixture
def build(builder):
    return make_build(state="building", people=[builder])


@pytest.fixture
def overview(build):
    return reverse("builds:build", args=[build.code])


@pytest.fixture
def phone(open_page, builder, overview) -> Page:
    """The builder's phone, with the build stored on it."""
    return with_the_build_stored(open_page(builder, screen="phone"), overview)


def with_the_build_stored(page, overview):
    page.goto(overview)
    expect(page.locator("[data-stored]")).to_have_text(STORED)
    until(page, "navigator.serviceWorker.controller !== null")
    return page


def tick(page, number):
    """Tap the tick of the step that is on the screen, and wait for another screen."""
    done = page.get_by_role("button", name=f"Step {number} is done")
    done.wait_for()  # the address is the step's own only from here on
    at = page.url
    done.tap()
    page.wait_for_url(lambda url: url != at)


def unsent(page):
    return page.locator("[data-unsent]")


@pytest.fixture
def takes_nothing(monkeypatch):
    """From now on the server refuses what phones send."""
    return lambda: monkeypatch.setattr(acts, "may_send", lambda person, build: False)


@pytest.fixture
def takes_all(monkeypatch):
    return lambda: monkeypatch.setattr(acts, "may_send", may_send)


def test_what_is_done_without_signal_is_kept_shown_and_sent_in_order(phone, build, overview, axe):
    keys = [step.key for step in steps_of(build)]
    phone.context.set_offline(True)
    phone.goto(overview)
    phone.get_by_role("link", name="Start with step 1").tap()
    for number in (1, 2, 3):
        tick(phone, number)
    expect(unsent(phone)).to_contain_text("3 not sent yet.")
    axe(phone)

    phone.close()
    again = phone.context.new_page()
    again.goto(overview)
    expect(again.locator(f'li[data-step="{keys[1]}"]')).to_contain_text("not sent yet")
    expect(again.locator("[data-far]")).to_have_text(f"3 of {len(keys)}")
    assert not build.ticks.exists()

    again.context.set_offline(False)
    expect(unsent(again)).to_be_hidden()
    ticks = build.ticks.order_by("pk")
    assert [one.step_key for one in ticks] == keys[:3]
    assert [one.at for one in ticks] == sorted(one.at for one in ticks)
    expect(again.locator(f'li[data-step="{keys[1]}"]')).to_contain_text("Done: Bertil Moss")


def test_notes_photos_and_shortages_are_kept_without_signal(phone, build, tmp_path):
    step = next(one for one in steps_of(build) if one.card["adds"])
    phone.context.set_offline(True)
    phone.goto(reverse("builds:build_step", args=[build.code, step.key]))

    phone.get_by_text("Add note").tap()
    phone.get_by_label("Note").fill("The floor slopes to the door.")
    phone.get_by_role("button", name="Save note").tap()
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    phone.get_by_role("button", name="Damaged").first.tap()
    expect(unsent(phone)).to_contain_text("2 not sent yet.")
    phone.get_by_text("Add photo").tap()
    phone.get_by_label("Photo", exact=True).set_input_files(a_large_photo(tmp_path))
    phone.get_by_role("button", name="Save photo").tap()
    expect(unsent(phone)).to_contain_text("3 not sent yet.")
    here = phone.locator("[data-kept-here] li")
    expect(here).to_have_count(3)
    expect(here.locator("img")).to_be_visible()

    phone.context.set_offline(False)
    expect(unsent(phone)).to_be_hidden()
    assert build.buildnotes.get().text == "The floor slopes to the door."
    assert build.shortages.get().kind == "damaged"
    assert build.buildphotos.get().step_key == step.key


def a_large_photo(folder):
    from PIL import Image

    path = folder / "photo.jpg"
    Image.new("RGB", (4000, 3000), "tan").save(path)
    return path


def test_an_svg_named_jpg_is_refused_on_the_phone_with_a_sentence(phone, build, tmp_path):
    path = tmp_path / "photo.jpg"
    path.write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
    phone.goto(reverse("builds:photo_build", args=[build.code]))
    photo = phone.get_by_label("Photo", exact=True)

    photo.set_input_files(path)
    phone.get_by_role("button", name="Save photo").tap()

    until(phone, "!document.querySelector('[name=photo]').validity.valid")
    assert "This phone cannot read this photo" in photo.evaluate("one => one.validationMessage")
    assert not build.buildphotos.exists()


def test_ticks_outlive_a_closed_browser(
    chromium, live_server, client_of, builder, build, overview, tmp_path
):
    def open_browser():
        context = chromium.browser_type.launch_persistent_context(
            tmp_path,
            executable_path=CHROMIUM,
            args=QUIET_CHROMIUM,
            base_url=live_server.url,
            **SCREENS["phone"],
        )
        context.add_init_script(NO_BACKGROUND_SYNC)
        session = client_of(builder).cookies["sessionid"].value
        context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
        return context

    before = open_browser()
    page = with_the_build_stored(before.new_page(), overview)
    before.set_offline(True)
    page.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))
    page.get_by_role("button", name="Step 1 is done").tap()
    expect(unsent(page)).to_contain_text("1 not sent yet.")
    before.close()
    assert not build.ticks.exists()

    after = open_browser()
    page = after.new_page()
    page.goto(overview)
    expect(page.locator("[data-far]")).to_have_text(f"1 of {len(steps_of(build))}")
    expect(unsent(page)).to_be_hidden()
    after.close()

    assert build.ticks.get().step_key == steps_of(build)[0].key


def test_logging_out_warns_of_what_is_not_sent_keeps_it_and_forgets_the_rest(
    phone, build, overview, takes_nothing, takes_all
):
    asked = []
    takes_nothing()
    phone.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))
    tick(phone, 1)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")

    phone.once("dialog", lambda one: (asked.append(one.message), one.dismiss()))
    log_out(phone)
    while not asked:  # it is asked once the queue is read; the test's own limit ends the wait
        phone.wait_for_timeout(50)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    phone.once("dialog", lambda one: one.accept())
    log_out(phone)
    phone.get_by_role("heading", name="Log in").wait_for()

    assert "1 entry is not sent yet" in asked[0]
    assert phone.evaluate("actQueue.pages().then((pages) => pages.keys())") == []
    phone.context.set_offline(True)
    phone.goto(overview)
    expect(phone.get_by_role("heading", level=1)).to_have_text("Offline")
    expect(phone.get_by_text("1 not sent yet")).to_be_visible()
    phone.context.set_offline(False)

    takes_all()
    phone.goto(overview)
    phone.get_by_label("Log-in name").fill("bertil")
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Log in").tap()
    expect(phone.locator("[data-stored]")).to_have_text(STORED)
    expect(unsent(phone)).to_be_hidden()
    assert build.ticks.count() == 1


def test_what_somebody_else_left_on_the_phone_is_not_sent_in_anothers_name(
    phone, build, overview, client_of, coordinator, live_server, takes_nothing, takes_all
):
    takes_nothing()
    phone.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))
    tick(phone, 1)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    session = client_of(coordinator).cookies["sessionid"].value
    phone.context.add_cookies([{"name": "sessionid", "value": session, "url": live_server.url}])
    takes_all()

    phone.goto(overview)

    expect(phone.locator("[data-others]")).to_contain_text("1 report of another person")
    expect(phone.locator("[data-stored]")).to_have_text(STORED)
    assert not build.ticks.exists()


def test_a_log_in_that_ended_is_said_with_what_is_kept(phone, build):
    phone.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))
    Session.objects.all().delete()

    phone.context.set_offline(True)
    tick(phone, 1)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    phone.context.set_offline(False)

    expect(unsent(phone)).to_contain_text("Log in again to send it.")
    expect(phone.get_by_role("link", name="Log in")).to_be_visible()


def test_what_comes_too_late_is_told_until_it_is_read(phone, build, overview):
    phone.context.set_offline(True)
    phone.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))
    phone.get_by_role("button", name="Step 1 is done").tap()
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    build.set_state("stopped", DAY, by=planner())

    phone.context.set_offline(False)

    expect(phone.locator("[data-odd]")).to_contain_text("is stopped, so you can add nothing more")
    assert build.strays.count() == 1
    phone.get_by_role("button", name="Mark as read").tap()
    expect(phone.locator("[data-odd] li")).to_have_count(0)


def test_several_people_see_each_others_ticks(phone, build, overview, open_page, coordinator):
    other = open_page(coordinator, screen="phone")
    other.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))
    other.get_by_role("button", name="Step 1 is done").tap()
    other.get_by_role("button", name="Step 2 is done").wait_for()
    assert Tick.objects.get().made_by == coordinator

    phone.evaluate("buildNow.update()")

    line = phone.locator(f'li[data-step="{steps_of(build)[0].key}"]')
    expect(line).to_contain_text("Done: Cora")
    expect(phone.locator("[data-far]")).to_have_text(f"1 of {len(steps_of(build))}")


def test_a_browser_finds_nothing_that_stands_against_installing_it(phone):
    session = phone.context.new_cdp_session(phone)

    found = session.send("Page.getInstallabilityErrors")["installabilityErrors"]
    # Each test has a window of its own, which keeps nothing beyond it.
    assert [one["errorId"] for one in found if one["errorId"] != "in-incognito"] == []
    assert session.send("Page.getAppManifest")["errors"] == []


def test_the_page_says_plainly_where_nothing_can_be_kept_and_works_all_the_same(
    open_page, builder, build
):
    page = open_page(builder, screen="phone")
    page.add_init_script("Object.defineProperty(self, 'isSecureContext', { value: false })")
    page.goto(reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]))

    expect(page.locator("[data-no-store]")).to_contain_text("not opened over HTTPS")
    page.get_by_role("button", name="Step 1 is done").tap()

    expect(page.get_by_role("status")).to_contain_text("Step 1 is done.")


def test_a_page_that_is_not_stored_says_which_builds_are(phone, build):
    phone.context.set_offline(True)

    phone.goto(reverse("builds:designs"))

    expect(phone.get_by_role("heading", level=1)).to_have_text("Offline")
    phone.get_by_role("link", name=build.name).tap()
    expect(phone.get_by_role("heading", level=1)).to_contain_text(build.name)
