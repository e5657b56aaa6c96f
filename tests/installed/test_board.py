"""The drawing board under the policy that forbids styles inside a page."""

from playwright.sync_api import expect


def test_switching_tools_says_nothing_on_the_console_after_a_box_was_resized(come_in):
    page = come_in("coordinator")
    page.goto("/designs/")
    page.get_by_role("link", name="Bay window").first.click()
    page.goto(page.url + "board/")
    page.locator("#plan-box").wait_for()
    page.locator("#set-plan").evaluate("one => { one.open = true; }")
    widen(page)

    for number in (1, 2, 0):
        page.locator(f"#tool-{number}").click()
        expect(page.locator(f"#tool-{number}")).to_have_attribute("aria-current", "true")
    # Past htmx's settling, in which it gives what is new the attributes of what was there.
    page.wait_for_timeout(200)


def widen(page):
    """As its corner does when it is pulled: the browser writes a style on the box."""
    box = page.locator("textarea").first
    box.evaluate("one => { one.style.height = '12rem'; }")
    assert box.get_attribute("style")
