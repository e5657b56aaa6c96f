"""Every page of designs: readable for all in both themes, and never wider than the screen."""

import pytest

from habitats.structure.lattice import Side
from tests.support.designs import ramp_from
from tests.support.reading import fits

PAGES = ["", "archived/", "new/", "import/"]
OF_A_DESIGN = ["", "name/", "board/", "board/?level=1&tool=ramps", "board/?tool=dividers"]


@pytest.fixture
def balcony(make_drawn):
    return make_drawn(
        ["#####", "####."], upper=["...##", "....."], ramps=(ramp_from(0, 3, Side.W),)
    )


@pytest.mark.parametrize("page_of", PAGES)
def test_pages_are_accessible_and_fit(phone, make_drawn, balcony, axe, page_of):
    make_drawn(["#.#"], name="Draft")
    make_drawn(name="Put away").archive()

    phone.goto(f"/designs/{page_of}")

    assert fits(phone)
    axe(phone)


@pytest.mark.parametrize("part", OF_A_DESIGN)
def test_pages_of_a_design_are_accessible_and_fit(phone, balcony, axe, part):
    phone.goto(f"/designs/{balcony.code}/{part}")

    assert fits(phone)
    axe(phone)


@pytest.mark.nightly
@pytest.mark.parametrize("part", ["", "board/"])
def test_the_large_pages_are_accessible_and_fit_a_desk(desktop, balcony, axe, part):
    desktop.goto(f"/designs/{balcony.code}/{part}")

    assert fits(desktop)
    axe(desktop)


@pytest.mark.parametrize("part", ["", "board/"])
def test_pages_of_a_draft_are_accessible_and_fit(phone, make_drawn, axe, part):
    phone.goto(f"/designs/{make_drawn(['#.#']).code}/{part}")

    assert fits(phone)
    axe(phone)


def test_an_empty_list_is_accessible_and_fits(phone, axe):
    phone.goto("/designs/")

    assert fits(phone)
    axe(phone)


def test_refused_forms_are_accessible_and_fit(phone, axe):
    phone.goto("/designs/import/")
    phone.get_by_label("Or its text, pasted").fill('{"format": "enclosure-design/1", "x": 1}')
    phone.get_by_role("button", name="Import design").tap()

    phone.get_by_role("alert").wait_for()

    assert fits(phone)
    axe(phone)
