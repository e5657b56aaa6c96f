"""Where somebody arrives after logging in."""

import pytest
from django.urls import reverse


@pytest.mark.parametrize(
    ("role", "page"),
    [("coordinator", "today"), ("foster", "today"), ("builder", "builds:arrival")],
)
def test_each_role_arrives_where_its_work_is(client_of, cast, role, page):
    assert client_of(cast[role]).get(reverse("home")).url == reverse(page)


def test_a_role_without_pages_of_its_own_arrives_at_one_that_says_so(client_of, laundry):
    response = client_of(laundry).get(reverse("home"))

    assert "Good to have you" in response.text
    assert reverse("builds:designs") not in response.text
