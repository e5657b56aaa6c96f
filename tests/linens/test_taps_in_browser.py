"""The tired foster and the laundry volunteer on a phone: how many taps, and what is read."""

import pytest
from django.urls import reverse

from habitats.linens.models.changes import LinenChange, change
from habitats.linens.models.loads import Load
from habitats.linens.models.spots import ChangePlan
from habitats.rotation.states import State
from tests.support.reading import fits


@pytest.fixture
def enclosure(
    make_home,
    make_pool,
    make_enclosure,
    make_group,
    make_animal,
    make_linen,
    foster,
    coordinator,
    day,
    this_day,
):
    """Two places: one due today, the other in three days, and a clean linen for each."""
    home = make_home("Wren", people=[foster])
    pool = make_pool("Wren’s cupboard", home=home)
    enclosure = make_enclosure("Corner", home=home, plan=("####", "##.."))
    ChangePlan.objects.create(enclosure=enclosure, interval_days=5)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=day(-9))
    for spot, ago in zip(enclosure.spots.order_by("pk"), (-5, -2), strict=True):
        change(spot, make_linen(pool, spot.size), day(ago), by=coordinator)
        make_linen(pool, spot.size)
    return enclosure


@pytest.fixture
def pool(enclosure):
    return enclosure.standings.get().home.pool


def test_a_foster_changes_what_is_due_in_two_taps_from_today(enclosure, open_page, foster, axe):
    page = open_page(foster, screen="phone")
    page.goto(reverse("today"))

    page.get_by_role("link", name="Change Corner").tap()
    page.get_by_role("heading", name="Due now").wait_for()
    axe(page)
    assert fits(page)
    page.get_by_role("button", name="Change ticked places").tap()
    page.get_by_text("Changed: Corner.").wait_for()

    assert LinenChange.objects.count() == 3  # the two from before, and the one that was due


def test_and_everything_in_two_taps_too(enclosure, open_page, foster):
    page = open_page(foster, screen="phone")
    page.goto(reverse("today"))

    page.get_by_role("link", name="Change Corner").tap()
    page.get_by_role("button", name="Change all 2 places").tap()
    page.get_by_text("Changed: Corner.").wait_for()

    assert LinenChange.objects.count() == 4


def test_a_volunteer_starts_a_wash_that_releases_what_is_set_aside_in_two_taps(
    enclosure, pool, make_linen, open_page, laundry, coordinator, day, axe
):
    linen = make_linen(pool, enclosure.spots.first().size)
    linen.set_state(State.SET_ASIDE, day(0), by=coordinator, suspicion="ringworm")
    page = open_page(laundry, screen="phone")
    page.goto(reverse("laundry"))

    page.get_by_role("link", name="Wash set-aside linens").tap()
    page.get_by_text("Releases them", exact=True).first.wait_for()
    axe(page)
    assert fits(page)
    page.get_by_role("button", name="Start load").tap()
    page.get_by_role("button", name="Take out after 2 washes").wait_for()
    axe(page)
    assert fits(page)
    for name in ("Take out after 2 washes", "Mark as dry", "Return to cupboard"):
        page.get_by_role("button", name=name).tap()
    page.get_by_text("1 linen is released.").wait_for()

    assert Load.objects.get().in_a_row == 2
    linen.refresh_from_db()
    assert (linen.state, linen.washes) == (State.CLEAN, 2)


def test_what_did_not_come_back_is_read_on_the_phone(
    enclosure, pool, make_linen, open_page, foster, coordinator, day, axe
):
    wet = make_linen(pool, enclosure.spots.first().size, state="soiled", on=day(-3))
    Load.objects.start(pool, [wet], pool.programmes.first(), day(-3), by=coordinator)
    page = open_page(foster, screen="phone")
    page.goto(reverse("today"))

    page.get_by_text("Not back from the wash: 1 liner").wait_for()
    axe(page)
    assert fits(page)
    page.get_by_role("link", name="Open: Not back from the wash").tap()
    page.get_by_role("heading", name="Load of Sunday, 7 March").wait_for()
