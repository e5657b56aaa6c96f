"""Where somebody arrives after logging in."""

import pytest
from django.urls import reverse


@pytest.mark.parametrize("role", ["coordinator", "builder"])
def test_those_who_read_designs_arrive_there(client_of, cast, role):
    assert client_of(cast[role]).get(reverse("home")).url == reverse("builds:designs")


@pytest.mark.parametrize("role", ["foster", "laundry"])
def test_the_others_arrive_at_a_page_for_them(client_of, cast, role):
    response = client_of(cast[role]).get(reverse("home"))

    assert "Good to have you" in response.text
    assert reverse("builds:designs") not in response.text
