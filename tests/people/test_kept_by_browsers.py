"""What a browser may keep: nothing about people, and of all else nothing without asking again."""

import pytest
from django.urls import reverse

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "name", ["people", "access_log", "own_settings", "own_devices", "adopters"]
)
def test_pages_about_people_are_not_kept(coordinating, name):
    assert "no-store" in coordinating.get(reverse(name))["Cache-Control"]


@pytest.mark.parametrize("name", ["today", "animals", "builds:builds", "changes"])
def test_pages_of_work_are_asked_for_again(coordinating, name):
    assert coordinating.get(reverse(name))["Cache-Control"] == "private, no-cache"


def test_how_a_home_is_reached_is_not_kept(coordinating, make_home):
    address = reverse("home_contact", args=[make_home("Wren").code])

    assert "no-store" in coordinating.get(address)["Cache-Control"]


def test_what_a_view_says_itself_stands(coordinating):
    assert "no-store" in coordinating.get(reverse("own_second_factor"))["Cache-Control"]
