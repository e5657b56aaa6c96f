"""Today of the demo, as a phone shows it: all that matters on a few screens."""

import pytest

PHONE = 740  # px high, at 360 px wide


@pytest.mark.spread(days=2)
@pytest.mark.parametrize(
    ("role", "screens", "language"),
    [
        ("coordinator", 2.2, "en-gb"),
        ("coordinator", 2.2, "de"),
        ("foster", 1.2, "en-gb"),
        ("builder", 2, "en-gb"),
        ("laundry", 2, "en-gb"),
    ],
)
def test_today_fits_on_so_many_screens(come_in, role, screens, language):
    page = come_in(role, "phone")
    page.set_viewport_size({"width": 360, "height": PHONE})
    page.set_extra_http_headers({"Accept-Language": language})
    page.goto("/today/")

    assert page.locator("html").get_attribute("lang") == language
    content = page.locator("main").bounding_box()

    assert content is not None
    assert content["height"] <= screens * PHONE
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
