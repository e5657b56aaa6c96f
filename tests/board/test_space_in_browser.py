"""Space in a browser: on a phone, by readers aloud, without script."""

import pytest

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("answering")]


@pytest.fixture
def some_homes(settle, this_day):
    settle("Wren", ["Ash", "Elm", "Oak"], plan=("##", "##"))
    settle("Avocet", ["Pip", "Moss"], area="Fen End")
    settle("Teal", plan=("#########",))


@pytest.mark.parametrize("view", ["", "?view=table"])
def test_readers_aloud_find_no_fault(view, some_homes, phone, axe):
    phone.goto(f"/space/{view}")

    axe(phone)


def test_on_a_phone_only_a_wide_floor_moves_and_never_the_page(some_homes, phone):
    phone.goto("/space/")

    assert phone.evaluate("document.documentElement.scrollWidth") == 360
    wide = phone.locator(".picture[tabindex]")
    assert wide.evaluate("box => box.scrollWidth > box.clientWidth")


def test_pictures_have_one_scale_on_every_screen(some_homes, phone, desktop):
    def widths(page):
        page.goto("/space/?order=name")
        return page.locator(".floors .drawing").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().width)"
        )

    assert widths(phone) == widths(desktop)


def test_the_page_narrows_without_script(some_homes, open_page, coordinator):
    page = open_page(coordinator, script=False)
    page.goto("/space/")

    page.select_option("select[name=space]", "short")
    page.click("text=Show")

    assert page.locator(".place h2").all_inner_texts() == ["Wren"]


def test_on_paper_what_is_lacking_differs_by_its_pattern(some_homes, desktop):
    desktop.goto("/space/?space=short")
    desktop.emulate_media(media="print")

    assert not desktop.locator(".space-finder").is_visible()
    assert desktop.locator(".drawing-residence path[stroke-dasharray]").count() > 0
