"""Where somebody arrives after logging in."""

import pytest
from django.urls import reverse


@pytest.mark.parametrize("role", ["coordinator", "foster", "builder", "laundry"])
def test_every_role_arrives_at_today(client_of, cast, role):
    assert client_of(cast[role]).get(reverse("home")).url == reverse("today")
