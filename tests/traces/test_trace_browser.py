"""The sheet of a trace in Debian's Chromium: a thumb, no script, both themes."""

import pytest

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.mark.parametrize("screen", ["phone", "desktop"])
def test_nothing_stands_in_the_way_of_anybody(
    open_page, axe, coordinator, start, clover, spread, this_day, screen
):
    page = open_page(coordinator, screen=screen)
    page.goto(f"/traces/{start(clover).code}/")
    axe(page)
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_a_thumb_ticks_a_box_without_script(open_page, foster, start, clover, spread, this_day):
    trace = start(clover)
    page = open_page(foster, screen="phone", script=False)
    page.goto(f"/traces/{trace.code}/")
    button = page.locator(f"#watch-group-{clover.code} button")
    assert button.bounding_box()["height"] >= 48
    button.click()
    page.locator(f"#watch-group-{clover.code} .by", has_text="Done by").wait_for()
    assert trace.ticked().keys() == {f"watch group {clover.code}"}
