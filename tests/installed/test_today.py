"""Today of the demo, as a phone shows it: what matters fits on two screens, a foster's on one."""

import pytest

PHONE = 740  # px high, at 360 px wide


@pytest.mark.parametrize(
    ("role", "screens"), [("coordinator", 2), ("foster", 1), ("builder", 2), ("laundry", 2)]
)
def test_today_fits_on_so_many_screens(come_in, role, screens):
    page = come_in(role, "phone")
    page.set_viewport_size({"width": 360, "height": PHONE})
    page.goto("/today/")

    content = page.locator("main").bounding_box()

    assert content is not None
    assert content["height"] <= screens * PHONE
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
