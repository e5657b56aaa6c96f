"""What people meet where PostgreSQL ended their page, so that another could go on."""

import pytest
from django.db import OperationalError
from django.http import HttpRequest, HttpResponse
from django.test import Client
from django.urls import include, path
from psycopg.errors import DeadlockDetected

from habitats.common.refused import server_fault

pytestmark = [pytest.mark.urls(__name__), pytest.mark.django_db(transaction=True)]


class Shelf:
    """Its page is ended so many times, and then answers."""

    ended = 0

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if not self.ended:
            return HttpResponse("Three bales")
        self.ended -= 1
        raise OperationalError("deadlock detected") from DeadlockDetected("deadlock detected")


shelf = Shelf()
handler500 = server_fault
urlpatterns = [path("shelf/", shelf), path("", include("habitats.urls"))]


@pytest.fixture
def visitor(coordinator) -> Client:
    client = Client(raise_request_exception=False, headers={"Accept-Language": "en-GB"})
    client.force_login(coordinator, backend="django.contrib.auth.backends.ModelBackend")
    return client


def test_a_page_that_was_ended_once_is_made_once_more(visitor):
    shelf.ended = 1
    assert visitor.get("/shelf/").content.decode() == "Three bales"


def test_a_page_that_is_ended_again_says_to_try_later(visitor, text_of):
    shelf.ended = 2
    answer = visitor.get("/shelf/")
    assert answer.status_code == 503
    assert "The server is busy with other changes." in text_of(answer)


def test_a_form_that_was_ended_is_not_done_again(visitor, text_of):
    shelf.ended = 1
    answer = visitor.post("/shelf/")
    assert answer.status_code == 503
    assert "Nothing was saved. Try again in a minute." in text_of(answer)
