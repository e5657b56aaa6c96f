"""Where somebody arrives after logging in."""

import pytest
from django.urls import reverse


@pytest.mark.parametrize(
    ("role", "page"),
    [
        ("coordinator", "today"),
        ("foster", "today"),
        ("builder", "builds:arrival"),
        ("laundry", "laundry"),
    ],
)
def test_each_role_arrives_where_its_work_is(client_of, cast, role, page):
    assert client_of(cast[role]).get(reverse("home")).url == reverse(page)
