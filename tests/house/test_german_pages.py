"""Every page in German on a phone: longer words than in English, and no less room for them.

Each page is asked of a test client and laid before one browser by its route, so that the walk
needs no server and each page's rows go with its test.
"""

from collections.abc import Iterator

import pytest
from django.http import HttpResponse
from django.urls import reverse
from playwright.sync_api import Browser

from tests.conftest import SCREENS
from tests.house.test_access_by_role import DOORS
from tests.support.pseudo import numbers_written_with
from tests.support.walk import Walk

# A wide screen of 1 280 px at 400 % (WCAG 2.2, 1.4.10), one of 1 400 px at 200 %, and a phone.
WIDTHS = (320, 700, 360)
MOST_TABS = 400
# Marks what has the focus, and whether it shows; false once the round begins again.
REACH = """() => {
  const at = document.activeElement;
  if (at === document.body || at === window.before) return true;  // a day has three parts
  if (at.dataset.reached) return false;
  window.before = at;
  const styles = [null, "::before", "::after"].map(piece => getComputedStyle(at, piece));
  const seen = styles.some(style => style.outlineStyle !== "none");
  at.dataset.reached = seen ? "seen" : "unseen";
  return true;
}"""
# One button of a group of radio buttons has the focus; the arrows go on to the others.
UNREACHED = """() => {
  const in_group = one => one.type === "radio"
    && document.querySelector(`[name="${one.name}"][data-reached]`);
  return [...document.querySelectorAll("a[href], button, input, select, textarea, summary")]
    .filter(one => one.checkVisibility({visibilityProperty: true}) && !one.disabled)
    .filter(one => one.tabIndex >= 0 && one.dataset.reached !== "seen" && !in_group(one))
    .map(one => one.outerHTML.slice(0, 120));
}"""
OTHER_FORMATS = ("_pdf", "_csv", "_zip", "_file", "_photo", "_link")
# What answers with no page: a file, a part of a page, the way to another page.
NO_PAGES = {
    "who",
    "words",
    "health_check",
    "adopter_data",
    "own_data",
    "person_data",
    # These lead elsewhere without a password that was right, or without a second factor.
    "log_in_code",
    "new_recovery_codes",
    "drop_second_factor",
    "import_template",
    "import_faults",
    "calendar_feed",
    "home",
    "space_before",
    "builds:sheet_kind",
    "builds:progress",
    "builds:corner_view",
    "builds:service_worker",
    "builds:manifest",
    "builds:ticks",
    "builds:build_day_entry",
    "adoption_agreement",
    "adoption_receipt",
    # Of no animals it leads to the form.
    "taken_in",
    "builds:adopter_acts",
    "builds:adopter_ticks",
}
PAGES = [
    name
    for name, door in DOORS.items()
    if door.method == "get" and not name.endswith(OTHER_FORMATS) and name not in NO_PAGES
]


@pytest.fixture(scope="session")
def walk(chromium: Browser) -> Iterator[Walk]:
    context = chromium.new_context(service_workers="block", **SCREENS["phone"])
    yield Walk(context.new_page(), language="de")
    context.close()


@pytest.fixture
def in_german(cast, client_of, unprinted, walk):
    """`in_german(name)`: the page behind that address on the phone, and its answer."""

    def open_page(name: str) -> HttpResponse:
        address = reverse(name, kwargs=DOORS[name].make())
        coordinator = cast["coordinator"]
        coordinator.language = "de"
        coordinator.save()
        return walk.open(client_of(None if name == "login" else coordinator), address)

    yield open_page
    # What the page would ask for later must not reach another test's database.
    walk.page.goto("about:blank")


@pytest.mark.spread(days=4)
@pytest.mark.parametrize("name", PAGES)
def test_a_page_in_german_fits_a_phone(name, in_german, walk):
    response = in_german(name)

    assert response.headers["Content-Type"].startswith("text/html"), response
    assert numbers_written_with(".", response.content.decode()) == []
    for width in WIDTHS:
        walk.page.set_viewport_size({"width": width, "height": 740})
        assert walk.page.evaluate("document.scrollingElement.scrollWidth") <= width


# Minutes for all: the pages of each room are judged in English by day, in its own tests.
@pytest.mark.nightly
@pytest.mark.parametrize("name", PAGES)
def test_a_page_in_german_is_accessible(name, in_german, walk, axe):
    in_german(name)

    axe(walk.page)


@pytest.mark.nightly
@pytest.mark.parametrize("name", PAGES)
def test_the_keyboard_alone_reaches_all_that_a_page_offers_and_shows_where_it_is(
    name, in_german, walk
):
    in_german(name)

    for _tab in range(MOST_TABS):
        walk.page.keyboard.press("Tab")
        if not walk.page.evaluate(REACH):
            break

    assert walk.page.evaluate(UNREACHED) == []
