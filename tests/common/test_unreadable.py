"""A request that cannot be read is refused with a page and 400: never with our own mistake page."""

import pytest
from django.test import Client, RequestFactory
from django.urls import reverse

from habitats.common.handler import Handler

FORM = "application/x-www-form-urlencoded"
MORE_FIELDS_THAN_TAKEN = "&".join(f"field{number}=1" for number in range(1001))
UNREADABLE = {
    "another charset": ("name=Elm", f"{FORM}; charset=utf-16"),
    "a charset that is none of text": ("name=Elm", f"{FORM}; charset=rot13"),
    "too many fields": (MORE_FIELDS_THAN_TAKEN, FORM),
    "too much": ("name=" + "x" * 13_000_000, FORM),
    "parts in another charset": (
        '--x\r\nContent-Disposition: form-data; name="name"\r\n\r\nElm\r\n--x--\r\n',
        "multipart/form-data; boundary=x; charset=rot13",
    ),
    "parts without an end": ("--x", "multipart/form-data; boundary="),
}


@pytest.fixture
def client(coordinator) -> Client:
    """As from a browser: the token is asked for, and what goes wrong becomes a page."""
    client = Client(enforce_csrf_checks=True, raise_request_exception=False)
    client.force_login(coordinator, backend="django.contrib.auth.backends.ModelBackend")
    client.get(reverse("new_home"))
    return client


@pytest.mark.parametrize("how", UNREADABLE)
def test_a_form_that_cannot_be_read_is_refused_with_a_page(how, client):
    body, kind = UNREADABLE[how]

    answer = client.generic("POST", reverse("new_home"), body, content_type=kind)

    assert answer.status_code == 400
    assert "Unreadable request" in answer.content.decode()


def test_an_address_with_too_many_words_is_refused_with_a_page(client):
    answer = client.get(f"{reverse('homes')}?{MORE_FIELDS_THAN_TAKEN}")

    assert answer.status_code == 400
    assert "Unreadable request" in answer.content.decode()


@pytest.mark.parametrize("how", UNREADABLE)
def test_what_cannot_be_read_is_not_found_at_no_address(how, client):
    body, kind = UNREADABLE[how]

    answer = client.generic("POST", "/no/such/page/", body, content_type=kind)

    assert answer.status_code in (400, 404)


@pytest.mark.parametrize("charset", ["hex", "idna", "utf-16", "utf-8"])
def test_a_charset_beside_a_query_is_refused_before_anything_is_read(charset, db):
    """As the server calls us: here Django breaks while it makes the request, before all pages."""
    begun = []
    environ = RequestFactory().get("/log-in/?next=%FF&" + "&" * 2000).environ
    environ |= {"CONTENT_TYPE": f"text/plain; charset={charset}", "HTTP_HOST": "localhost"}
    environ["HTTP_ACCEPT_LANGUAGE"] = "en"

    Handler()(environ, lambda status, headers: begun.append(status))

    assert begun == ["400 Bad Request"]


@pytest.mark.parametrize("name", ["linen_link", "linen_page"])
def test_there_is_no_page_at_an_address_with_a_nul(name, client):
    """PostgreSQL takes a NUL in no text, so it may not even be looked for."""
    answer = client.get(reverse(name, kwargs={"label": "AB\0CD"}))

    assert answer.status_code == 404
