"""The coordinator's pages of linens in Chromium: readable for all, by touch, without script."""

import pytest

from habitats.linens.models.changes import change
from habitats.linens.models.linens import Linen
from habitats.linens.models.spots import ChangePlan
from tests.support.reading import fits


@pytest.fixture
def pool(
    make_home,
    make_pool,
    make_enclosure,
    make_group,
    make_animal,
    make_linen,
    make_kind,
    coordinator,
    day,
    this_day,
):
    """A pool with everything that a page may have to say."""
    home = make_home("Wren", area="North Quay")
    pool = make_pool(home=home)
    make_pool("Across the yard", home=make_home("Other"))
    make_kind(shrink_length=50)
    enclosure = make_enclosure("Nook", home, plan=["##"])
    make_group(make_animal("Pip"), make_animal("Moss"), enclosure=enclosure, since=day(-9))
    ChangePlan.objects.create(enclosure=enclosure, interval_days=1)
    spot = enclosure.spots.get()
    change(spot, make_linen(pool, spot.size), day(-1), by=coordinator)
    make_linen(pool, spot.size)
    make_linen(pool, spot.size, state="new", washed=False, cut=(400, 800))
    apart = make_linen(pool, spot.size)
    apart.set_state("set aside", day(-1), by=coordinator, suspicion="ringworm")
    Linen.objects.filter(pk=make_linen(pool, spot.size, state="soiled").pk).update(washes=120)
    return pool


@pytest.fixture
def places(pool):
    at = f"/pools/{pool.code}/"
    kind = pool.linens.first().kind.pk
    return [
        "/pools/",
        "/pools/new/",
        at,
        f"{at}edit/",
        f"{at}homes/",
        f"{at}transfer/",
        "/linens/",
        "/linens/new/",
        "/linens/kinds/",
        "/linens/kinds/new/",
        f"/linens/kinds/{kind}/",
        *(f"/linens/{one.label}/" for one in pool.linens.order_by("pk")[2:4]),
    ]


@pytest.mark.parametrize("screen", ["phone", "desktop"])
def test_no_page_is_wider_than_its_screen_and_all_can_be_read(
    places, screen, open_page, coordinator, axe
):
    page = open_page(coordinator, screen=screen)
    for place in places:
        assert page.goto(place).ok, place
        assert fits(page), place
        axe(page)


def test_the_linen_line_is_drawn_for_the_screen_it_is_seen_on(pool, open_page, coordinator):
    phone = open_page(coordinator, screen="phone")
    phone.goto(f"/pools/{pool.code}/")
    assert phone.locator(".drawing-line-narrow").is_visible()
    assert not phone.locator(".drawing-line").is_visible()

    desk = open_page(coordinator)
    desk.goto(f"/pools/{pool.code}/")
    assert desk.locator(".drawing-line").is_visible()
    assert not desk.locator(".drawing-line-narrow").is_visible()


def test_new_linens_are_made_without_script(pool, open_page, coordinator):
    page = open_page(coordinator, screen="phone", script=False)
    page.goto(f"/linens/new/?pool={pool.code}")
    page.get_by_label("Kind", exact=True).select_option(index=1)
    page.get_by_label("Finished size", exact=True).select_option(index=1)
    page.get_by_label("Number").fill("4")
    page.get_by_role("button", name="Add linens").click()

    page.get_by_text("wash them before use").wait_for()
    assert pool.linens.filter(state="new").count() == 5
