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

MOST_CLICKS = 36
HOMES = ["name,area", *(f"Home {number},Larkrise" for number in range(1, 15))]
NAMES = [["Pip", "Moss", "Fern"], ["Wren", "Ivy", "Clover"]]
ANIMALS = [
    "name,species,sex,born,came_on",
    *(f"{name},guinea pig,F,2024-05-01,2025-01-10" for group in NAMES for name in group),
]


class Hand:
    """Clicks and chooses on a page, and counts it."""

    def __init__(self, page):
        self.page, self.clicks = page, 0

    def click(self, role, name, exact=True):
        self.clicks += 1
        self.page.get_by_role(role, name=name, exact=exact).first.click()
        self.page.wait_for_load_state()

    def tick(self, name, value):
        self.clicks += 1
        self.page.locator(f"[name={name}][value='{value}']").check()

    def choose(self, label, value):
        self.clicks += 1
        self.page.get_by_label(label, exact=True).select_option(value)

    def write(self, label, words):
        self.page.get_by_label(label, exact=True).fill(words)

    def upload(self, name, lines):
        self.clicks += 1
        content = "\n".join(lines).encode()
        self.page.get_by_label("File", exact=True).set_input_files(
            {"name": name, "mimeType": "text/csv", "buffer": content}
        )

    def import_file(self, button, name, lines):
        self.click("link", button)
        self.upload(name, lines)
        self.click("button", "Check file")
        self.click("button", "Import", exact=False)


@pytest.mark.django_db(transaction=True)
def test_the_first_hour_takes_at_most_thirty_six_clicks(open_page, coordinator):
    hand = Hand(open_page(coordinator))
    hand.page.goto("/today/")

    hand.click("link", "Choose space standard")
    hand.tick("guinea_pig_rules", "ch-tschv")
    hand.choose("Currency", "CHF")
    hand.click("button", "Save")
    hand.click("link", "Enter panel size")
    hand.write("One panel, joint to joint", "355")
    hand.click("button", "Save")
    hand.import_file("Import homes", "homes.csv", HOMES)
    hand.click("link", "Choose starter design")
    hand.click("button", "Copy design", exact=False)
    hand.click("link", "Plan build")
    hand.choose("Design", Design.objects.get().code)
    hand.write("Name", "First enclosure")
    hand.write("Home", "Home 1")
    hand.click("button", "Plan build")
    hand.import_file("Import animals", "animals.csv", ANIMALS)
    for number, names in enumerate(NAMES):
        if number:  # the step is done with the first one
            hand.click("link", "Animals")
            hand.click("link", "Groups")
        hand.click("link", "New group", exact=False)
        for name in names:
            hand.click("button", name)
        hand.click("button", "Make group")
    hand.click("link", "New pool")
    hand.write("Name", "Depot cupboard")
    hand.choose("Cupboard in", str(Home.objects.order_by("pk")[0].pk))
    hand.write("Rating of the machine", "8")
    hand.click("button", "Add pool")
    hand.page.get_by_role("heading", name="Depot cupboard").wait_for()

    assert Home.objects.count() == 14
    assert Membership.objects.values("group").distinct().count() == 2
    assert Membership.objects.count() == 6
    assert Build.objects.count() == 1
    assert Pool.objects.count() == 1
    assert progress().next.code == "people"  # the only one left
    assert hand.clicks <= MOST_CLICKS
