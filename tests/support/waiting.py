"""Waiting for a page in a browser."""

from playwright.sync_api import Page

from tests.conftest import PATIENCE_MS

TRIED_EVERY_MS = 50


def until(page: Page, what: str) -> None:
    """Wait until it is so; the policy of our pages lets Playwright not wait for it by itself."""
    page.wait_for_load_state("load")  # its scripts are there
    for _ in range(PATIENCE_MS // TRIED_EVERY_MS):
        if page.evaluate(what):
            return
        page.wait_for_timeout(TRIED_EVERY_MS)
    raise AssertionError(f"{what} is not so after {PATIENCE_MS // 1000} seconds")


def log_out(phone: Page) -> None:
    """On a phone the button lies behind what the bar has no room for."""
    button = phone.get_by_role("button", name="Log out")
    while not button.is_visible():  # a page that came meanwhile has it closed again
        phone.wait_for_load_state("load")
        phone.locator(".more:not([open]) > summary").tap()
    button.tap()
