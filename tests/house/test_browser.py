"""The house's own pages in a real browser: narrow and wide, light and dark."""

import pytest
from django.urls import reverse

from tests.support.waiting import log_out

OWN_PAGES = ["login", "own_settings", "own_password", "people", "new_person"]


@pytest.mark.parametrize("name", OWN_PAGES)
def test_a_page_fits_a_desk_and_is_accessible(open_page, coordinator, axe, name):
    """On a phone: `test_german_pages.py`."""
    page = open_page(None if name == "login" else coordinator, screen="desktop")

    page.goto(reverse(name))

    axe(page)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_targets_on_a_phone_are_48_pixels_high(phone):
    phone.goto(reverse("own_settings"))

    heights = phone.eval_on_selector_all(
        "a.button, button, nav a, input:not([type=hidden], [type=radio]), label:has(input)",
        "all => all.map(one => one.getBoundingClientRect().height).filter(height => height > 0)",
    )

    assert len(heights) > 8
    assert min(heights) >= 48


def test_somebody_logs_in_changes_units_and_logs_out(open_page, coordinator):
    page = open_page(screen="phone")

    page.goto(reverse("own_settings"))
    page.get_by_label("Log-in name").fill("cora")
    page.get_by_label("Password").fill("joint-disc-41")
    page.get_by_role("button", name="Log in").tap()
    page.get_by_label("Inches").tap()
    page.get_by_role("button", name="Save").tap()

    page.get_by_role("status").get_by_text("Settings saved.").wait_for()
    coordinator.refresh_from_db()
    assert coordinator.units == "inches"

    log_out(page)

    page.get_by_role("heading", name="Log in").wait_for()


def test_the_pages_work_without_script(open_page, coordinator):
    page = open_page(coordinator, script=False)

    page.goto(reverse("own_settings"))
    page.get_by_label("Letter").check()
    page.get_by_role("button", name="Save").click()

    coordinator.refresh_from_db()
    assert coordinator.paper == "Letter"


def test_the_keyboard_reaches_the_work_first(desktop):
    desktop.goto(reverse("own_settings"))

    desktop.keyboard.press("Tab")
    desktop.keyboard.press("Enter")

    assert desktop.evaluate("document.activeElement.id") == "work"


def test_a_script_that_is_not_ours_does_not_run(open_page, coordinator, said):
    page = open_page(coordinator)
    page.goto(reverse("own_settings"))

    ran = page.evaluate(
        """() => {
            const script = document.createElement("script");
            script.textContent = "window.ran = true";
            document.body.append(script);
            return window.ran === true;
        }"""
    )

    assert not ran
    assert "Content Security Policy" in said.pop()
