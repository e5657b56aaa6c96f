"""Every page of designs: readable for all in both themes, and never wider than the screen."""

import pytest

from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

PAGES = ["/designs/", "/designs/archived/", "/designs/new/", "/designs/import/"]
OF_A_DESIGN = ["", "name/", "board/", "board/?level=1&tool=ramps", "board/?tool=dividers"]


@pytest.fixture
def balcony(make_drawn):
    return make_drawn(
        ["#####", "####."], upper=["...##", "....."], ramps=(ramp_from(0, 3, Side.W),)
    )


def check(page, axe):
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    axe(page)


@pytest.mark.parametrize("screen", ["phone", "desktop"])
@pytest.mark.parametrize("url", PAGES)
def test_pages_are_accessible_and_fit(
    open_page, coordinator, balcony, make_drawn, axe, url, screen
):
    make_drawn(["#.#"], name="Draft")
    make_drawn(name="Put away").archive()
    page = open_page(coordinator, screen=screen)

    page.goto(url)

    check(page, axe)


@pytest.mark.parametrize("screen", ["phone", "desktop"])
@pytest.mark.parametrize("part", OF_A_DESIGN)
def test_pages_of_a_design_are_accessible_and_fit(
    open_page, coordinator, balcony, axe, part, screen
):
    page = open_page(coordinator, screen=screen)

    page.goto(f"/designs/{balcony.code}/{part}")

    check(page, axe)


@pytest.mark.parametrize("part", ["", "board/"])
def test_pages_of_a_draft_are_accessible_and_fit(phone, make_drawn, axe, part):
    phone.goto(f"/designs/{make_drawn(['#.#']).code}/{part}")

    check(phone, axe)


def test_an_empty_list_is_accessible_and_fits(phone, axe):
    phone.goto("/designs/")

    check(phone, axe)


def test_refused_forms_are_accessible_and_fit(phone, axe):
    phone.goto("/designs/import/")
    phone.get_by_label("Or its text, pasted").fill('{"format": "enclosure-design/1", "x": 1}')
    phone.get_by_role("button", name="Take it in").tap()

    phone.get_by_role("alert").wait_for()

    check(phone, axe)
