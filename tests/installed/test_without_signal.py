"""A builder's phone in a garage without signal, from the started server and back to it."""

from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import Image
from playwright.sync_api import BrowserContext, Page, expect

from tests.conftest import CHROMIUM, NO_BACKGROUND_SYNC, QUIET_CHROMIUM, SCREENS
from tests.installed.conftest import PEOPLE, listened_to, log_in
from tests.support.waiting import until

BUILD = "Long wall for the back room"
NOTE = "The wall behind it is damp."
STORED = "Stored on this phone"


@pytest.fixture
def open_phone(chromium, server, tmp_path):
    """`open_phone()`: the browser of one and the same phone, opened again after it was closed.

    `offline`: from its first moment, since a browser that starts sends what is kept at once.
    """

    def open_(*, offline: bool = False) -> BrowserContext:
        phone = chromium.browser_type.launch_persistent_context(
            tmp_path / "phone",
            executable_path=CHROMIUM,
            args=QUIET_CHROMIUM,
            base_url=server.url,
            offline=offline,
            **SCREENS["phone"],
        )
        phone.add_init_script(NO_BACKGROUND_SYNC)
        return phone

    return open_


def test_a_builders_work_without_signal_outlives_a_closed_browser_and_arrives_once(
    open_phone, server, tmp_path, said
):
    before = counts(server)
    begun = datetime.now(UTC)
    phone = open_phone()
    page = listened_to(phone.new_page(), said)
    log_in(page, PEOPLE["builder"])
    page.goto("/builds/")
    page.get_by_role("link", name=BUILD).first.tap()
    expect(page.locator("[data-stored]")).to_contain_text(STORED)
    overview = page.url
    until(page, "navigator.serviceWorker.controller !== null")
    assert said == []

    phone.set_offline(True)
    page.goto(overview)
    page.locator("[data-next]").tap()
    keys = [tick(page) for _ in range(5)]
    note(page)
    add_photo(page, tmp_path)
    report_missing(page)
    expect(page.locator("[data-unsent]")).to_contain_text("8 ")
    phone.close()

    phone = open_phone(offline=True)
    page = phone.new_page()
    page.goto(overview)
    expect(page.locator("[data-unsent]")).to_contain_text("8 ")
    assert counts(server) == before

    phone.set_offline(False)
    expect(page.locator("[data-unsent]")).to_be_hidden()
    phone.close()

    # Each thing once, in order, and with the time at which it was done.
    assert counts(server) == {
        **before,
        **{
            "builds_tick": before["builds_tick"] + 5,
            "builds_buildnote": before["builds_buildnote"] + 1,
            "builds_buildphoto": before["builds_buildphoto"] + 1,
            "builds_shortage": before["builds_shortage"] + 1,
        },
    }
    ticks = server.rows("SELECT step_key, at FROM builds_tick ORDER BY id DESC LIMIT 5")[::-1]
    assert [key for key, _ in ticks] == keys
    times = [datetime.fromisoformat(at).replace(tzinfo=UTC) for _, at in ticks]
    assert begun < times[0] < times[1] < times[2] < times[3] < times[4] < datetime.now(UTC)
    assert server.rows("SELECT text FROM builds_buildnote ORDER BY id DESC LIMIT 1") == [(NOTE,)]


def test_an_adopters_link_works_without_signal_and_its_ticks_arrive(open_phone, server, said):
    """The kit that is being put up, by the address that its coordinator finds on its page."""
    phone = open_phone()
    page = listened_to(phone.new_page(), said)
    log_in(page, PEOPLE["coordinator"])
    ((code,),) = server.rows("SELECT code FROM builds_build WHERE name = 'Kit for Milo'")
    page.goto(f"/builds/{code}/kit/")
    address = page.locator("input.address").first.input_value()
    before = at_home(server)
    page.context.clear_cookies()

    page.goto(f"/k/{address.split('/k/')[1]}")
    expect(page.locator("[data-stored]")).to_contain_text(STORED)
    overview = page.url
    until(page, "navigator.serviceWorker.controller !== null")
    assert said == []

    phone.set_offline(True)
    page.goto(overview)
    page.locator("[data-next]").tap()
    keys = [tick(page) for _ in range(2)]
    expect(page.locator("[data-unsent]")).to_contain_text("2 ")
    assert at_home(server) == before
    page.goto(f"{overview}care/")
    expect(page.get_by_role("heading", name="Care")).to_be_visible()

    phone.set_offline(False)
    page.goto(overview)
    # A new page says nothing of what is unsent before it has looked.
    until(page, "actQueue.all().then((kept) => !kept.length)")
    expect(page.locator("[data-unsent]")).to_be_hidden()
    phone.close()
    assert at_home(server) == [*before, *keys]


def at_home(server) -> list[str]:
    rows = server.rows("SELECT step_key FROM builds_tick WHERE at_home ORDER BY id")
    return [key for (key,) in rows]


def counts(server) -> dict[str, int]:
    tables = ("builds_tick", "builds_buildnote", "builds_buildphoto", "builds_shortage")
    return {one: server.rows(f"SELECT COUNT(*) FROM {one}")[0][0] for one in tables}


def tick(page: Page) -> str:
    """Tap the tick of the step on the screen, and wait for the next one; the step's key."""
    key = page.locator("[data-step-screen]").get_attribute("data-step-screen")
    at = page.url
    page.locator("[data-act=tick] button").tap()
    page.wait_for_url(lambda url: url != at)
    assert key
    return key


def note(page: Page) -> None:
    page.get_by_text("Add note").tap()
    form = page.locator("[data-act=note]")
    form.get_by_role("textbox").fill(NOTE)
    form.locator("button[type=submit]").tap()
    expect(page.locator("[data-unsent]")).to_contain_text("6 ")


def add_photo(page: Page, folder: Path) -> None:
    Image.new("RGB", (2000, 1500), "tan").save(folder / "photo.jpg")
    page.get_by_text("Add photo").tap()
    form = page.locator("[data-act=photo]")
    form.locator("input[type=file]").set_input_files(folder / "photo.jpg")
    form.locator("button[type=submit]").tap()
    expect(page.locator("[data-unsent]")).to_contain_text("7 ")


def report_missing(page: Page) -> None:
    page.locator("[data-act=shortage] button[value=missing]").first.tap()
    expect(page.locator("[data-unsent]")).to_contain_text("8 ")
