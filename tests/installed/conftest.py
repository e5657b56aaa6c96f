"""One server for all tests here, started as README.md says, and people who log in to it."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from tests.conftest import PATIENCE_MS, SCREENS
from tests.support.server import Server, started

DEMO_PASSWORD = "hay-before-breakfast"
PEOPLE = {
    "coordinator": "odile",
    "builder": "marek",
    "foster": "ines",
    "laundry": "tobi",
}


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with started(tmp_path_factory.mktemp("rescue")) as running:
        yield running


@pytest.fixture
def said() -> list[str]:
    """What the browser's console said, failed loads included: nothing here is to fail."""
    return []


@pytest.fixture
def come_in(chromium: Browser, server: Server, said: list[str]) -> Iterator[Callable[..., Page]]:
    """`come_in("builder")`: a page with that person of the demo logged in, by the log-in page.

    None comes in without. Nothing may have been said on the console by the end of the test.
    """
    contexts: list[BrowserContext] = []

    def come(role: str | None = None, screen: str = "desktop") -> Page:
        context = chromium.new_context(base_url=server.url, **SCREENS[screen])
        contexts.append(context)
        page = listened_to(context.new_page(), said)
        if role is not None:
            log_in(page, PEOPLE[role])
        return page

    yield come
    for context in contexts:
        context.close()
    assert not said, f"The browser's console says: {said}"


def listened_to(page: Page, said: list[str]) -> Page:
    """The page, with errors and warnings of its console, and its scripts' faults, put in `said`."""
    page.set_default_timeout(PATIENCE_MS)
    page.on(
        "console",
        lambda one: said.append(one.text) if one.type in ("error", "warning") else None,
    )
    page.on("pageerror", lambda fault: said.append(str(fault)))
    return page


def log_in(page: Page, username: str) -> None:
    page.goto("/log-in/")
    page.get_by_label("Log-in name").fill(username)
    page.get_by_label("Password").fill(DEMO_PASSWORD)
    page.get_by_role("button", name="Log in").click()
    page.wait_for_url(lambda url: "/log-in/" not in url)
