"""What a phone without signal can do on any page, in Debian's Chromium, the network cut."""

from datetime import timedelta

import pytest
from django.contrib.sessions.models import Session
from django.urls import reverse
from django.utils import timezone
from PIL import Image
from playwright.sync_api import Page, expect

from builds.plans.models.build_acts import Tick
from tests.building.test_phone import tick, unsent, with_the_build_stored
from tests.conftest import PASSWORD
from tests.support.builds import make_build, steps_of, tick_all
from tests.support.waiting import log_out, until

pytestmark = pytest.mark.django_db(transaction=True)


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


def head(page):
    """The count in the header."""
    return page.locator("[data-unsent-head]")


def step_page(build, number=1):
    return reverse("builds:build_step", args=[build.code, steps_of(build)[number - 1].key])


def tick_here(page):
    """Tap the tick of the step on the screen, whatever it waits for, and wait for the next one."""
    tap_and_go_on(page.locator("[data-tick-bar] button"))


def tap_and_go_on(button):
    """Tap what leads to another page, and wait for that: one asked for meanwhile is aborted."""
    at = button.page.url
    button.tap()
    button.page.wait_for_url(lambda url: url != at)


# --- Logging out ---


def test_logging_out_without_signal_is_refused_in_words_and_forgets_nothing(phone, overview):
    phone.context.set_offline(True)
    phone.goto(overview)

    log_out(phone)

    expect(phone.get_by_role("alert")).to_contain_text("this phone is offline")
    phone.reload()
    expect(phone.locator("[data-far]")).to_be_visible()
    phone.context.set_offline(False)
    log_out(phone)
    expect(phone.get_by_role("heading", name="Log in")).to_be_visible()
    assert phone.evaluate("actQueue.pages().then((pages) => pages.keys())") == []


def test_a_form_of_a_page_that_needs_signal_says_that_nothing_was_sent(phone, build):
    phone.context.set_offline(True)
    phone.goto(reverse("builds:build_packet", args=[build.code]))

    phone.get_by_role("button", name="Open PDF").tap()

    expect(phone.get_by_role("heading", level=1)).to_have_text("Offline")
    expect(phone.get_by_text("nothing was saved")).to_be_visible()


# --- Sent from whatever page ---


def test_what_is_not_sent_is_counted_in_the_header_of_every_page(phone, build, monkeypatch):
    from builds.building.views import acts

    monkeypatch.setattr(acts, "may_send", lambda person, build: False)
    phone.goto(step_page(build))
    tick(phone, 1)

    for place in (reverse("builds:builds"), reverse("own_settings"), reverse("builds:designs")):
        phone.goto(place)
        expect(head(phone)).to_have_text("1 not sent yet")


def test_what_is_not_sent_goes_after_the_log_in_from_whatever_page(phone, build, client_of):
    phone.context.set_offline(True)
    phone.goto(step_page(build))
    tick(phone, 1)
    Session.objects.all().delete()
    phone.context.set_offline(False)

    phone.goto(reverse("own_settings"))
    phone.get_by_label("Log-in name").fill("bertil")
    phone.get_by_label("Password").fill(PASSWORD)
    phone.get_by_role("button", name="Log in").tap()

    expect(phone.get_by_role("heading", level=1)).to_have_text("My settings")
    until(phone, "actQueue.all().then((rows) => rows.length === 0)")
    expect(head(phone)).to_be_hidden()
    assert build.ticks.count() == 1


def test_the_overview_never_falls_back_while_it_is_sent(phone, build, overview):
    """Each number that it shows, from the first tick that is sent to the last."""
    tick_all(build, but=len(steps_of(build)) - 4)
    phone.evaluate("buildNow.update()")
    expect(phone.locator("[data-far]")).to_contain_text("3 of")
    phone.context.set_offline(True)
    phone.goto(step_page(build, 4))
    for _ in range(5):
        tick_here(phone)
    phone.goto(overview)
    expect(phone.locator("[data-far]")).to_contain_text("8 of")
    phone.evaluate(
        """() => {
          self.shown = [];
          const far = document.querySelector("[data-far]");
          const note = () => self.shown.push(Number.parseInt(far.textContent));
          new MutationObserver(note).observe(far, { childList: true, characterData: true,
            subtree: true });
        }"""
    )
    phone.route("**/ticks/", lambda route: (phone.wait_for_timeout(800), route.continue_()))

    phone.context.set_offline(False)

    expect(unsent(phone)).to_be_hidden()
    phone.wait_for_timeout(2_500)
    assert build.ticks.count() == 8
    assert all(number >= 8 for number in phone.evaluate("self.shown"))


# --- Read and withdrawn ---


def test_what_is_not_sent_is_read_and_withdrawn(phone, build, tmp_path, axe):

    Image.new("RGB", (400, 300), "tan").save(tmp_path / "photo.jpg")
    phone.context.set_offline(True)
    phone.goto(reverse("builds:note_build", args=[build.code]))
    phone.get_by_label("Note").fill("The floor slopes to the door.")
    tap_and_go_on(phone.get_by_role("button", name="Save note"))
    expect(head(phone)).to_have_text("1 not sent yet")
    phone.goto(reverse("builds:photo_build", args=[build.code]))
    phone.get_by_label("Photo", exact=True).set_input_files(tmp_path / "photo.jpg")
    tap_and_go_on(phone.get_by_role("button", name="Save photo"))
    expect(head(phone)).to_have_text("2 not sent yet")

    head(phone).tap()
    rows = phone.locator("[data-unsent-list] li")
    expect(rows).to_have_count(2)
    expect(rows.first).to_contain_text("The floor slopes to the door.")
    expect(rows.first).to_contain_text(build.name)
    assert (
        rows.nth(1).locator("img").evaluate("one => one.decode().then(() => one.naturalWidth)")
        == 400
    )
    axe(phone)
    phone.once("dialog", lambda one: one.accept())
    rows.first.get_by_role("button", name="Withdraw").tap()
    expect(rows).to_have_count(1)

    phone.context.set_offline(False)
    phone.goto(reverse("builds:builds"))
    until(phone, "actQueue.all().then((rows) => rows.length === 0)")
    assert not build.buildnotes.exists()
    assert build.buildphotos.count() == 1


def test_what_was_sent_in_the_meantime_is_not_said_to_be_withdrawn(phone):
    told = phone.evaluate("actSending.withdraw({ seq: 4711 })")

    assert told is False


# --- A newer word ---


def test_both_are_told_where_a_newer_word_stands(phone, build, overview, open_page, coordinator):
    first = steps_of(build)[0]
    ticked = timezone.now() - timedelta(days=1)
    build.ticks.create(step_key=first.key, at=ticked, made_by=coordinator, made_at=ticked)
    phone.context.set_offline(True)
    phone.goto(step_page(build, 2))
    tick_here(phone)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    second = steps_of(build)[1]
    build.ticks.create(step_key=second.key, is_done=False, at=timezone.now(), made_by=coordinator)

    phone.context.set_offline(False)

    phone.goto(overview)
    expect(phone.locator("[data-odd]")).to_contain_text("Cora marked it not done later")
    expect(phone.locator("[data-far]")).to_contain_text("1 of")
    other = open_page(coordinator, screen="phone")
    other.goto(overview)
    expect(other.get_by_text("Bertil Moss marked it done on")).to_be_visible()
    other.get_by_role("button", name="Got it").tap()
    expect(other.get_by_role("heading", level=1)).to_contain_text(build.name)
    expect(other.get_by_text("Bertil Moss marked it done on")).to_have_count(0)


AHEAD = """
const Real = Date;
const off = 3 * 86_400_000;
self.Date = class extends Real {
  constructor(...given) { given.length ? super(...given) : super(Real.now() + off); }
  static now() { return Real.now() + off; }
};
"""


def test_a_clock_three_days_ahead_leaves_no_day_to_come_in_the_record(phone, build, overview):
    phone.add_init_script(AHEAD)
    phone.context.set_offline(True)
    phone.goto(step_page(build))
    tick_here(phone)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")

    phone.context.set_offline(False)

    expect(unsent(phone)).to_be_hidden()
    assert abs(Tick.objects.get().at - timezone.now()) < timedelta(minutes=2)
    phone.goto(overview)
    expect(phone.locator("[data-odd]")).to_contain_text("about 3 days ahead")


# --- Opened ahead ---


def test_pull_list_packet_and_inspection_are_read_without_signal(phone, build):
    phone.context.set_offline(True)

    for name, words in {
        "pull_build": "Pull for",
        "build_packet": "Packet:",
        "inspect_build": "Inspect",
    }.items():
        phone.goto(reverse(f"builds:{name}", args=[build.code]))
        expect(phone.get_by_role("heading", level=1)).to_contain_text(words)
        styles = phone.evaluate("[...document.styleSheets].map((one) => one.cssRules.length)")
        assert all(styles)


def test_an_inspection_is_signed_without_signal_once_all_is_ticked_here(phone, build, overview):
    tick_all(build, but=1)
    phone.evaluate("buildNow.update()")
    inspect = reverse("builds:inspect_build", args=[build.code])
    phone.context.set_offline(True)
    phone.goto(inspect)
    expect(phone.get_by_text("Not done yet")).to_be_visible()
    expect(phone.get_by_role("button", name="Sign inspection")).to_be_hidden()

    phone.goto(step_page(build, len(steps_of(build)) - 1))
    tick_here(phone)
    expect(unsent(phone)).to_contain_text("1 not sent yet.")
    phone.goto(reverse("builds:build_link", args=[build.code]))  # as the packet has it
    tap_and_go_on(phone.get_by_role("link", name="Inspect and sign", exact=True).first)
    for yes in phone.get_by_label("Yes").all():
        yes.check()
    phone.get_by_role("button", name="Sign inspection").tap()
    expect(head(phone)).to_have_text("2 not sent yet")
    assert not build.inspections.exists()

    phone.context.set_offline(False)
    until(phone, "actQueue.all().then((rows) => rows.length === 0)")
    assert build.inspections.get().has_passed
    assert build.state_now() == "inspected"


# --- No room left ---


def test_a_phone_without_room_loses_nothing_of_a_form(phone, build):
    phone.context.set_offline(True)
    phone.goto(reverse("builds:note_build", args=[build.code]))
    phone.evaluate("() => { actQueue.add = () => Promise.reject(new Error('full')); }")
    phone.get_by_label("Note").fill("The floor slopes to the door.")

    phone.get_by_role("button", name="Save note").tap()

    expect(phone.get_by_role("alert")).to_contain_text("this phone has no room left")
    expect(phone.get_by_label("Note")).to_have_value("The floor slopes to the door.")
