"""A coordinator's first hour, in a browser: from nothing to animals, a build and a laundry.

Clicks and choices from a list are counted, keystrokes are not.
"""

import pytest

from builds.plans.models.builds import Build
from habitats.animals.models.groups import Membership
from habitats.board.models.set_up import progress
from habitats.designs.models.designs import Design
from habitats.homes.models.homes import Home
from habitats.linens.models.pools import Pool
from tests.walks.conftest import ways

MOST_CLICKS = 36
HOMES = ["name,area", *(f"Home {number},Larkrise" for number in range(1, 15))]
NAMES = [["Pip", "Moss", "Fern"], ["Wren", "Ivy", "Clover"]]
ANIMALS = [
    "name,species,sex,born,came_on",
    *(f"{name},guinea pig,F,2024-05-01,2025-01-10" for group in NAMES for name in group),
]


def import_file(hand, button, name, lines):
    hand.click("link", button)
    hand.upload(name, lines)
    hand.click("button", "Check file")
    hand.click("button", "Import", exact=False)


@pytest.mark.parametrize("way", ways(by_day=("desktop", "light")))
@pytest.mark.django_db(transaction=True)
def test_the_first_hour_takes_at_most_thirty_six_clicks(way, hand_of, coordinator):
    hand = hand_of(way, "first hour", coordinator)
    hand.page.goto("/today/")
    hand.look("Today")

    hand.click("link", "Choose space standard")
    hand.look("Settings")
    hand.tick("guinea_pig_rules", "ch-tschv")
    hand.choose("Currency", "CHF")
    hand.click("button", "Save", exact=False)
    hand.click("link", "Enter panel size")
    hand.look("Panel size")
    hand.write("One panel, joint to joint", "355")
    hand.click("button", "Save")
    import_file(hand, "Import homes", "homes.csv", HOMES)
    hand.look("homes.csv")
    hand.click("link", "Choose starter design")
    hand.look("Starter designs")
    hand.click("button", "Copy design", exact=False)
    hand.click("link", "Plan build")
    hand.look("New build")
    hand.choose("Design", Design.objects.get().code)
    hand.write("Name", "First enclosure")
    hand.write("Home", "Home 1")
    hand.click("button", "Plan build")
    import_file(hand, "Import animals", "animals.csv", ANIMALS)
    hand.look("animals.csv")
    for number, names in enumerate(NAMES):
        if number:  # the step is done with the first one
            hand.click("link", "Animals")
            hand.click("link", "Groups")
        hand.click("link", "New group" if number else "Make group", exact=False)
        for name in names:
            hand.click("button", name)
        hand.click("button", "Make group")
    hand.click("link", "New pool")
    hand.look("New pool")
    hand.write("Name", "Depot cupboard")
    hand.choose("Cupboard in", str(Home.objects.order_by("pk")[0].pk))
    hand.write("Rating of the machine", "8")
    hand.click("button", "Add pool")
    hand.page.get_by_role("heading", name="Depot cupboard").wait_for()
    hand.look("Depot cupboard")

    assert Home.objects.count() == 14
    assert Membership.objects.values("group").distinct().count() == 2
    assert Membership.objects.count() == 6
    assert Build.objects.count() == 1
    assert Pool.objects.count() == 1
    assert progress().next.code == "people"  # the only one left
    assert hand.clicks <= MOST_CLICKS
