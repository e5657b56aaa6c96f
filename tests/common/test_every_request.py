"""What every request goes through is done once where it cannot be another the next time."""

from datetime import timedelta

import pytest
from django.contrib.sessions.backends.db import SessionStore as DatabaseStore
from django.contrib.sessions.models import Session
from django.test import RequestFactory
from django.urls import Resolver404
from django.utils import timezone

from habitats.common.handler import Handler
from habitats.common.sessions import SessionStore


def found_for(address: str):
    return Handler().resolve_request(RequestFactory().get(address))


def test_an_address_has_the_same_view_each_time_it_is_asked_for():
    first, again, other = (found_for(f"/homes/{code}/") for code in ("ABC", "ABC", "XYZ"))

    assert first.url_name == again.url_name == other.url_name
    assert [one.kwargs["code"] for one in (first, again, other)] == ["ABC", "ABC", "XYZ"]


def test_the_view_that_was_found_stands_on_the_request():
    request = RequestFactory().get("/today/")

    Handler().resolve_request(request)

    assert request.resolver_match.url_name == "today"


def test_an_address_without_a_page_has_none_the_second_time_either():
    for _time in range(2):
        with pytest.raises(Resolver404):
            found_for("/no-such-page/")


@pytest.mark.django_db
def test_a_log_in_that_django_stored_is_read():
    theirs = DatabaseStore()
    theirs["seen"] = "today"
    theirs.save()

    assert SessionStore(theirs.session_key)["seen"] == "today"


@pytest.mark.django_db
def test_a_session_that_has_ended_is_empty_and_has_no_key():
    ours = SessionStore()
    ours["seen"] = "today"
    ours.save()
    Session.objects.update(expire_date=timezone.now() - timedelta(seconds=1))

    later = SessionStore(ours.session_key)

    assert (later.get("seen"), later.session_key) == (None, None)
