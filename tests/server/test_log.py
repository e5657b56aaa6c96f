"""What is logged of a request, and how a person's question finds its line."""

import json
import logging

import pytest
from django.urls import reverse

from habitats.logs import JsonLines, RefusalsInOneLine, WithoutSecrets, WithRequestId


@pytest.fixture
def lines(caplog):
    """What would be written of each record, as JSON."""
    made = JsonLines()
    caplog.handler.addFilter(WithRequestId())
    caplog.handler.addFilter(RefusalsInOneLine())
    caplog.handler.addFilter(WithoutSecrets())
    yield lambda: [json.loads(made.format(record)) for record in caplog.records]
    caplog.handler.filters.clear()


@pytest.fixture
def heard(caplog):
    """Django's logger hands nothing on by itself."""
    logger = logging.getLogger("django")
    logger.addHandler(caplog.handler)
    yield
    logger.removeHandler(caplog.handler)


def test_a_refusal_is_one_line_with_its_number_and_who_was_refused(fostering, foster, lines, heard):
    answer = fostering.get(reverse("people"), {"q": "private"})

    (line,) = [one for one in lines() if one["logger"] == "django.request"]
    assert line["request_id"] == answer.headers["X-Request-ID"]
    assert (line["status"], line["method"], line["path"]) == (403, "GET", "/people/")
    assert line["person"] == foster.pk
    assert "traceback" not in line
    assert "private" not in json.dumps(line)


def test_no_line_tells_an_address_that_opens_a_page_without_a_log_in(client, db, lines, heard):
    opened = reverse("calendar_feed", kwargs={"secret": "known-to-one-phone"})
    assert client.get(opened).status_code == 404

    (line,) = [one for one in lines() if one["logger"] == "django.request"]
    assert "known-to-one-phone" not in json.dumps(line)
    assert line["path"] == "/calendar/….ics"


def test_each_request_has_a_number_of_its_own(client, db):
    first, second = (client.get(reverse("login")).headers["X-Request-ID"] for _ in range(2))
    assert first != second


@pytest.mark.parametrize(
    ("behind_proxy", "given", "is_taken"),
    [
        (True, "abc-123456", True),
        (False, "abc-123456", False),
        (True, "two words, and more", False),
        (True, "x" * 65, False),
    ],
)
def test_only_a_proxy_gives_a_number(client, db, settings, behind_proxy, given, is_taken):
    settings.BEHIND_PROXY = behind_proxy
    answer = client.get(reverse("login"), headers={"X-Request-ID": given})
    assert (answer.headers["X-Request-ID"] == given) is is_taken


def test_a_line_from_outside_a_request_says_so(lines, caplog):
    logging.getLogger("habitats").warning("Backup written.")
    assert lines()[-1]["message"] == "Backup written."
