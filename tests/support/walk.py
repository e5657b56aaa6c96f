"""A browser's page before which a test client's answers are laid, so that it needs no server."""

from mimetypes import guess_type

from django.contrib.staticfiles import finders
from django.http import HttpResponse
from django.test import Client
from playwright.sync_api import Page, Route

# A secure one to browsers; nothing answers there but the route below.
ORIGIN = "http://pages.localhost"
STATIC = "/static/"
TICKS = "/ticks/"


class Walk:
    """One browser's page; ``language`` is what it asks for."""

    def __init__(self, page: Page, language: str = "en-GB") -> None:
        self.page, self.language = page, language
        page.route("**/*", self._answer)

    def open(self, client: Client, address: str) -> HttpResponse:
        self.first = client.get(address, headers={"Accept-Language": self.language})
        self.page.goto(ORIGIN + address)
        return self.first

    def _answer(self, route: Route) -> None:
        address = route.request.url.removeprefix(ORIGIN)
        if address.startswith(STATIC):
            file = finders.find(address.removeprefix(STATIC))
            route.fulfill(path=file, content_type=guess_type(file)[0] or "")
        elif address.endswith(TICKS):
            # It takes a lock, and the test holds the database: as if there was no signal.
            route.abort()
        else:
            is_first = route.request.is_navigation_request()
            # A route sees no rows of the test: what a page asks for later, it asks as nobody.
            response = self.first if is_first else Client().get(address)
            headers = {name: str(value) for name, value in response.headers.items()}
            route.fulfill(status=response.status_code, headers=headers, body=response.getvalue())
