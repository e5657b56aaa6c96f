"""An animal's way through the rescue, on a phone: intake, quarantine, bonding, foster, adoption,
return. A coordinator and a foster go it together."""

from datetime import date, timedelta

import pytest

from habitats.adoptions.models.adoptions import Adoption
from habitats.animals.models.animals import Animal
from habitats.animals.models.bonding import BondingAttempt
from tests.walks.conftest import Hand, ways

CAME = date(2027, 3, 8)
# Quarantine is advised for 21 days.
CLEARED, MET, WENT, BACK = (CAME + timedelta(days=days) for days in (21, 24, 30, 40))
# From the page of an animal: record an attempt, with whom, how it went, save.
TO_RECORD_AN_ATTEMPT = 4


@pytest.fixture
def homes(make_home, make_enclosure, make_animal, make_group, foster, answer_to):
    """A free enclosure in the depot; at the foster's another, and Dot in hers."""
    answer_to("ch-tschv")
    depot = make_home("Depot", isolation_places=1, most_enclosures=5)
    wren = make_home("Wren", people=[foster], most_enclosures=5)
    since = CAME - timedelta(days=60)
    make_enclosure("Isolation", depot, since=since)
    make_enclosure("Alcove", wren, since=since)
    corner = make_enclosure("Corner", wren, plan=("####", "####"), since=since)
    make_group(make_animal("Dot", grams=900), enclosure=corner, since=since)


@pytest.mark.parametrize("way", ways(by_day=("phone", "light")))
@pytest.mark.django_db(transaction=True)
def test_from_intake_to_adoption_and_back(way, homes, hand_of, coordinator, foster, calendar):
    calendar(CAME)
    hand = hand_of(way, "adoption, coordinator", coordinator)
    pip = _taken_in(hand)

    calendar(CLEARED)
    _moved(hand, pip, "Alcove")

    calendar(MET)
    _bonded(hand_of(way, "adoption, foster", foster), pip)
    _joined(hand, pip)

    calendar(WENT)
    _adopted(hand, pip)
    pip.refresh_from_db()
    assert (pip.left_on, pip.left_why) == (WENT, "adopted")

    calendar(BACK)
    _returned(hand)
    pip.refresh_from_db()
    assert pip.is_here
    assert pip.quarantines.order_by("-pk")[0].since == BACK
    assert pip.memberships.open().get().group.memberships.open().count() == 2


def _taken_in(hand: Hand) -> Animal:
    page = hand.page
    page.goto("/intake/")
    hand.look("New intake")
    page.locator("[name=species][value=guinea_pig]").check()
    page.locator("[name=place]").select_option(label=_option(hand, "place", "Isolation"))
    page.locator("[name=a1-name]").fill("Pip")
    page.locator("[name=a1-grams]").fill("880")
    page.locator("[name=a1-sex][value=F]").check()
    if not page.locator("[name=is_apart]").is_checked():
        page.locator("[name=is_apart]").check()
    hand.click("button", "Save intake")
    hand.look("Taken in")
    return Animal.objects.get(name="Pip")


def _option(hand: Hand, name: str, begins: str) -> str:
    """The words of the option that begins so."""
    options = hand.page.locator(f"[name={name}] option").all_inner_texts()
    return next(one for one in options if begins in one)


def _moved(hand: Hand, animal: Animal, where: str) -> None:
    group = animal.memberships.open().get().group
    hand.page.goto(f"/groups/{group.code}/move/")
    hand.click("link", where, exact=False)
    # One alone is never enough by that standard; she goes there to meet Dot.
    hand.page.locator("[name=confirmed]").check()
    hand.page.locator("main form button[type=submit]").last.click()
    hand.page.get_by_text(f"They live in {where} now.").wait_for()


def _bonded(hand: Hand, animal: Animal) -> None:
    hand.page.goto(f"/animals/{animal.code}/")
    hand.look("Bonding")
    before = hand.clicks
    hand.click("link", "Record bonding attempt")
    hand.look("Bonding of Pip")
    hand.press(hand.page.get_by_label("Dot"))
    hand.press(hand.page.get_by_label("Bonded", exact=False))
    hand.click("button", "Record attempt")
    hand.page.get_by_text("Bonding attempt of").wait_for()
    assert hand.clicks - before == TO_RECORD_AN_ATTEMPT
    assert BondingAttempt.objects.get().outcome == "bonded"


def _joined(hand: Hand, animal: Animal) -> None:
    group = Animal.objects.get(name="Dot").memberships.open().get().group
    hand.page.goto(f"/groups/{group.code}/admit/?animal={animal.code}")
    hand.look("Bonding so far")
    hand.click("button", "Add Pip")
    hand.page.get_by_text("Pip lives in this group now.").wait_for()


def _adopted(hand: Hand, animal: Animal) -> None:
    page = hand.page
    page.goto(f"/animals/{animal.code}/")
    hand.click("link", "Reserve")
    hand.look("Reserve animals")
    hand.write("Name of a new adopter", "Rue Marlow")
    hand.click("button", "Reserve")
    page.get_by_text("Reserved. Check the enclosure").wait_for()
    hand.click("link", "Check enclosure")
    hand.look("Enclosure at the new home")
    hand.write("Width of the floor, inside", "120 cm")
    hand.write("Depth of the floor, inside", "60 cm")
    hand.write("Height", "50 cm")
    hand.click("button", "Check enclosure")
    page.get_by_text("Enclosure saved. The result is below.").wait_for()
    hand.look("Enclosure at the new home")
    hand.click("link", "Record adoption")
    hand.look("Adoption")
    hand.click("button", "Record adoption")
    page.get_by_text("Adoption recorded.").wait_for()


def _returned(hand: Hand) -> None:
    page = hand.page
    page.goto("/adoptions/?shown=adopted")
    hand.look("Adoptions")
    hand.click("link", str(Adoption.objects.get()))
    hand.click("link", "Record return")
    hand.look("End of an adoption")
    hand.write("Reason", "An allergy")
    hand.click("button", "Save")
    page.get_by_text("They are back in our care.").wait_for()
