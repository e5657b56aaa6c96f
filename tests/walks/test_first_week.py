"""A foster's first week, in a browser: weigh, change linens, wash, check the enclosure, report."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date

import pytest
from playwright.sync_api import expect

from habitats.animals.models.animals import Weighing
from habitats.faults.models.faults import Fault
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.linens.models.changes import LinenChange, change
from habitats.linens.models.loads import Load
from habitats.linens.models.spots import ChangePlan
from tests.conftest import PASSWORD
from tests.walks.conftest import ways

MONDAY, WEDNESDAY, THURSDAY, SUNDAY = (date(2027, 3, on) for on in (8, 10, 11, 14))
# Taps of each chore, counted from Today.
TO_WEIGH_TWO = 4  # Weigh, the first animal, save, save
TO_CHANGE = 2
TO_WASH = 6
TO_CHECK = 5  # besides one a point
TO_REPORT = 6


@pytest.fixture
def enclosure(
    make_home, make_pool, make_enclosure, make_group, make_animal, make_linen, foster, coordinator
):
    """Two sows in one enclosure; its linens were changed on Saturday, and one more set is clean."""
    home = make_home("Wren", people=[foster])
    pool = make_pool("Wren’s cupboard", home=home)
    enclosure = make_enclosure("Corner", home=home, plan=("####", "##.."))
    ChangePlan.objects.create(enclosure=enclosure, interval_days=4)
    make_group(make_animal("Pip"), make_animal("Dot"), enclosure=enclosure, since=date(2027, 3, 1))
    for spot in enclosure.spots.order_by("pk"):
        change(spot, make_linen(pool, spot.size), date(2027, 3, 6), by=coordinator)
        make_linen(pool, spot.size)
    return enclosure


@pytest.mark.parametrize("way", ways(by_day=("phone", "dark")))
@pytest.mark.django_db(transaction=True)
def test_each_chore_of_a_first_week_takes_few_taps(way, enclosure, hand_of, foster, calendar):
    calendar(MONDAY)
    hand = hand_of(way, "first week")
    hand.log_in(foster.username, PASSWORD)
    with chore(hand, TO_WEIGH_TWO):
        hand.click("link", "Weigh")
        hand.look("Weigh")
        hand.click("link", "Dot", exact=False)
        expect(hand.page.get_by_label("Grams")).to_be_focused()
        for name, grams in (("Dot", "870"), ("Pip", "910")):
            hand.look(name)
            hand.page.keyboard.type(grams)
            hand.click("button", "Save", exact=False)
            hand.page.get_by_text(f": {grams}").first.wait_for()
    assert Weighing.objects.count() == 2

    calendar(WEDNESDAY)
    with chore(hand, TO_CHANGE):
        hand.click("link", "Change Corner", exact=False)
        hand.look("Due now")
        hand.click("button", "Change ticked places")
        hand.page.get_by_text("Changed: Corner.").wait_for()
    assert LinenChange.objects.count() == 4

    calendar(THURSDAY)
    with chore(hand, TO_WASH):
        hand.click("link", "Laundry")
        hand.look("Laundry")
        hand.click("link", "New load", exact=False)
        hand.look("New load")
        hand.click("button", "Start load")
        hand.look("In the machine")
        for name in ("Take out", "Mark as dry", "Return to cupboard"):
            hand.click("button", name, exact=False)
    assert Load.objects.count() == 1

    calendar(SUNDAY)
    with chore(hand, TO_REPORT):
        hand.click("link", "My home")
        hand.look("Wren")
        hand.click("link", "Corner", exact=False)
        hand.look("Corner")
        hand.click("link", "Report fault")
        hand.choose("Fault", "Sharp wire end")
        hand.tick("urgency", "soon")
        hand.look("Report fault: Corner")
        hand.click("button", "Report fault")
        hand.page.get_by_text("Reported: ").wait_for()
    assert Fault.objects.count() == 1

    checks = SafetyCheck.objects.count()
    with chore(hand, TO_CHECK):
        hand.click("link", "My home")
        hand.click("link", "Corner", exact=False)
        hand.press(hand.page.get_by_text("More actions"))
        hand.click("link", "Safety check", exact=False)
        hand.look("Safety check: Corner")
        for answer in hand.page.get_by_label("Yes", exact=True).all():
            answer.check()
        hand.click("button", "Save safety check")
        hand.page.get_by_text("The safety check is saved").wait_for()
    assert SafetyCheck.objects.count() == checks + 1


@contextmanager
def chore(hand, most: int) -> Iterator[None]:
    """From Today on, in so many taps."""
    hand.page.goto("/today/")
    hand.look("Today")
    before = hand.clicks
    yield
    assert hand.clicks - before <= most
