"""Space in a browser: on a phone, by readers aloud, without script."""

import pytest

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("answering")]


@pytest.fixture
def some_homes(settle, this_day):
    settle("Wren", ["Ash", "Elm", "Oak"], plan=("##", "##"))
    settle("Avocet", ["Pip", "Moss"], area="Fen End")
    settle("Teal", plan=("##################",))


@pytest.mark.parametrize("view", ["", "?view=table", "?room=1&animals=sows"])
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

    page.click("text=Filter and sort")
    page.select_option("select[name=space]", "short")
    page.click("text=Show")

    page.wait_for_url("**space=short**")
    assert page.locator(".place h2").all_inner_texts() == ["Wren"]


def test_on_paper_what_is_lacking_differs_by_its_pattern(some_homes, desktop):
    desktop.goto("/space/?space=short")
    desktop.emulate_media(media="print")

    assert not desktop.locator(".space-finder").is_visible()
    assert desktop.locator(".drawing-residence path[stroke-dasharray]").count() > 0


def test_dozens_of_enclosures_come_on_two_screens(settle, make_enclosure, desktop):
    # Twelve homes of three, all with two animals and a word about each: like a real rescue's.
    shapes = [("####", "####"), ("######", "######"), ("####", "##..", "##..")]
    for number in range(12):
        home = settle(f"Home {number:02}", ["Pip", "Moss"], plan=shapes[number % 3])
        make_enclosure(f"Second of {number}", home, plan=shapes[(number + 1) % 3])
        make_enclosure(f"Third of {number}", home, plan=shapes[(number + 2) % 3])

    desktop.goto("/space/")
    cards = desktop.locator(".floors > li")

    assert cards.count() == 36
    bottoms = cards.evaluate_all("all => all.map(one => one.getBoundingClientRect().bottom)")
    assert max(bottoms) <= 2 * 900


@pytest.mark.parametrize("asked", ["", "?room=2&animals=sows"])
def test_on_a_phone_the_first_drawing_lies_in_the_first_screen(asked, some_homes, phone):
    phone.goto(f"/space/{asked}")

    box = phone.locator(".floors .drawing").first.bounding_box()

    assert box["y"] + box["height"] <= 740


def test_room_is_searched_without_script(some_homes, open_page, coordinator, axe):
    page = open_page(coordinator, script=False)
    page.goto("/space/")

    page.fill("input[name=room]", "2")
    page.select_option("select[name=animals]", "sows")
    page.locator("form:has(input[name=room]) button").first.click()

    page.wait_for_url("**room=2&animals=sows**")
    assert page.locator(".takes").first.inner_text().startswith("takes ")
