"""Pulls in Chromium: a thumb's width, readable for all, and usable without script."""

import uuid

from builds.pulls.models.pulling import take
from builds.pulls.models.pulls import Pull
from builds.store.models import movements
from tests.support.builds import make_build, planner
from tests.support.pulls import begun, stock_up
from tests.support.reading import fits
from tests.support.sheets import make_place
from tests.support.store import make_item


def test_pages_of_pulls_are_accessible_and_fit_a_phone(phone, axe):
    items = stock_up(panel=5)
    movements.take_in(make_item(name="Black panel"), make_place("Loft"), 9, by=planner())
    pull, ahead = begun(name="Begun"), make_build("Ahead")
    picks = {(items["connector"], make_place("Rack")): 4}
    take([pull], picks, by=planner(), idempotency_key=uuid.uuid4())
    here = f"/builds/{pull.build.code}/pull/"

    for address in (
        "/pulls/",
        here,
        f"/builds/{ahead.code}/pull/",
        f"{here}back/",
        f"{here}short/?item={items['panel'].pk}",
        "/store/buying/",
    ):
        phone.goto(address)
        assert fits(phone), address
        axe(phone)


def test_a_builder_pulls_everything_with_a_thumb_and_without_script(open_page, builder):
    stock_up()
    build = make_build()
    page = open_page(builder, screen="phone", script=False)

    page.goto(f"/builds/{build.code}/")
    page.get_by_role("link", name="Pull", exact=True).tap()
    page.get_by_role("button", name="Start pull").tap()
    first = page.locator("input[inputmode=numeric]").first
    assert first.bounding_box()["height"] >= 48
    first.fill("2")
    page.get_by_role("button", name="Take from").tap()
    page.get_by_role("button", name="Take all listed").tap()
    page.get_by_role("button", name="Close pull").tap()

    page.get_by_text("Complete:", exact=True).wait_for()
    assert Pull.objects.get().end.how == "complete"
    assert build.state_now() == "pulled"
