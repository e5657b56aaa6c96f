"""Pages of the started server in a real browser, which says nothing on its console."""

import re
from collections.abc import Iterator

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from tests.conftest import BY_NIGHT, DAY
from tests.installed.conftest import PEOPLE


def without_objects(
    resolver: URLResolver | None = None, namespace: str = ""
) -> Iterator[tuple[str, str]]:
    """Name and path of every address that names no home, animal, build or the like."""
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            inner = f"{namespace}{entry.namespace}:" if entry.namespace else namespace
            yield from without_objects(entry, inner)
        elif isinstance(entry, URLPattern) and entry.name and not entry.pattern.regex.groups:
            yield entry.name, reverse(namespace + entry.name)


ADDRESSES = sorted(set(without_objects()))


@pytest.mark.spread(days=2)
@pytest.mark.parametrize("role", PEOPLE)
@pytest.mark.parametrize("screen", ["phone", "desktop"])
def test_the_first_page_of_each_role_opens(come_in, role, screen):
    page = come_in(role, screen)

    answer = page.goto("/")

    assert answer is not None
    assert answer.status == 200
    assert page.get_by_role("heading", level=1).count() == 1


def test_every_address_without_an_object_opens_for_a_coordinator(come_in):
    """By day a third of the pages in the browser, too; by night all."""
    page = come_in("coordinator")
    faults = []
    for number, (name, path) in enumerate(ADDRESSES, DAY):
        # The only answers to a page that is opened: the page, another one, or "this is posted".
        answer = page.request.get(path, max_redirects=0)
        if answer.status not in (200, 301, 302, 405):
            faults.append(f"{name}: {path} answers {answer.status}")
            continue
        is_page = answer.status == 200 and "text/html" in answer.headers["content-type"]
        if is_page and (BY_NIGHT or number % 3 == 0):
            page.goto(path)

    assert faults == []
    assert len(ADDRESSES) > 60


@pytest.mark.spread(days=3)
@pytest.mark.parametrize("role", [role for role in PEOPLE if role != "coordinator"])
def test_no_address_without_an_object_is_a_fault_for_others(come_in, role):
    page = come_in(role)

    found = {path: page.request.get(path, max_redirects=0).status for _, path in ADDRESSES}

    assert {p: s for p, s in found.items() if s not in (200, 301, 302, 403, 404, 405)} == {}


def test_someone_who_is_not_logged_in_is_led_to_the_log_in_page(come_in):
    page = come_in()

    page.goto("/homes/")

    assert "/log-in/" in page.url


def test_logging_out_ends_the_session(come_in):
    page = come_in("builder")

    page.get_by_role("button", name="Log out").click()
    page.wait_for_url("**/log-in/")
    page.goto(reverse("builds:builds"))

    assert "/log-in/" in page.url


def test_styles_and_scripts_have_names_that_change_with_their_content(come_in):
    page = come_in("coordinator")

    loaded = page.locator("link[rel=stylesheet], script[src]").evaluate_all(
        "all => all.map(one => one.href || one.src)"
    )

    assert loaded
    assert all(
        re.search(r"\.[0-9a-f]{12}\.(css|js)$|/words/.*\?[0-9a-f]{12}$", address)
        for address in loaded
    ), loaded
