"""The pages of a place on a phone: the one you are on is in view."""

import pytest


@pytest.mark.parametrize("address", ["/wishes/", "/adoptions/", "/animals/"])
def test_the_page_you_are_on_is_in_view(phone, address):
    phone.goto(address)
    tab = phone.locator(".in-place a[aria-current]").bounding_box()

    assert tab["x"] >= 0
    assert tab["x"] + tab["width"] <= 360


def test_from_adoptions_the_waiting_list_is_seen(phone):
    phone.goto("/adoptions/")

    assert phone.locator(".in-place a", has_text="Waiting list").bounding_box()["x"] <= 360 - 48
