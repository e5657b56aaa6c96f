"""Every page in German on a phone: longer words than in English, and no less room for them.

Each page is asked of a test client and laid before one browser by its route, so that the walk
needs no server and each page's rows go with its test. Half of them are seen in the dark.
"""

from collections.abc import Iterator
from mimetypes import guess_type

import pytest
from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from playwright.sync_api import Browser, Page, Route

from tests.conftest import SCREENS
from tests.house.test_access_by_role import DOORS
from tests.support.pseudo import numbers_written_with

THEMES = ("light", "dark")
ORIGIN = (
    "http://pages.localhost"  # a secure one to browsers; nothing answers there but the route below
)
STATIC = "/static/"
OTHER_FORMATS = ("_pdf", "_csv", "_zip", "_file", "_photo", "_link")
# What answers with no page: a file, a part of a page, the way to another page.
NO_PAGES = {
    "who",
    "words",
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
}
PAGES = [
    name
    for name, door in DOORS.items()
    if door.method == "get" and not name.endswith(OTHER_FORMATS) and name not in NO_PAGES
]


class Walk:
    """One browser's page, before which a client's answers are laid."""

    def __init__(self, page: Page) -> None:
        self.page = page
        page.route("**/*", self._answer)

    def open(self, client: Client, address: str) -> HttpResponse:
        self.client = client
        self.first = client.get(address, headers={"Accept-Language": "de"})
        self.page.goto(ORIGIN + address)
        return self.first

    def _answer(self, route: Route) -> None:
        address = route.request.url.removeprefix(ORIGIN)
        if address.startswith(STATIC):
            file = finders.find(address.removeprefix(STATIC))
            route.fulfill(path=file, content_type=guess_type(file)[0] or "")
        else:
            is_first = route.request.is_navigation_request()
            response = self.first if is_first else self.client.get(address)
            headers = {name: str(value) for name, value in response.headers.items()}
            route.fulfill(status=response.status_code, headers=headers, body=response.getvalue())


@pytest.fixture(scope="session")
def walk(chromium: Browser) -> Iterator[Walk]:
    context = chromium.new_context(service_workers="block", **SCREENS["phone"])
    yield Walk(context.new_page())
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

    return open_page


@pytest.mark.parametrize("name", PAGES)
def test_a_page_in_german_fits_a_phone(name, in_german, walk):
    response = in_german(name)

    assert response.headers["Content-Type"].startswith("text/html"), response
    assert numbers_written_with(".", response.content.decode()) == []
    assert walk.page.evaluate("document.scrollingElement.scrollWidth") <= 360


# Two minutes for all: the pages of each room are judged in English by day, in its own tests.
@pytest.mark.nightly
@pytest.mark.parametrize("name", PAGES)
def test_a_page_in_german_is_accessible(name, in_german, walk, axe):
    in_german(name)

    axe(walk.page, themes=(THEMES[PAGES.index(name) % 2],))
