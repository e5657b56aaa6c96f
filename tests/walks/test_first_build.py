"""A volunteer's first build, in a browser: from the log-in to a signed inspection."""

import pytest

from builds.plans.models.builds import Build
from habitats.designs.models.designs import Design
from tests.conftest import PASSWORD
from tests.support.builds import make_build, steps_of
from tests.support.designs import make_design
from tests.support.pulls import stock_up
from tests.walks.conftest import ways

# Log in, open the pull, start it, take all, close it, go to the build, begin; then a tap a step.
BEFORE_THE_STEPS = 7
# Open the inspection, and sign it; one tap a point.
ROUND_THE_POINTS = 2


@pytest.fixture
def build(builder, coordinator, make_home, this_day):
    """Planned for today, for a home; all that it takes is in the store."""
    stock_up()
    drawn = Design.objects.draw(make_design(["##", "##"], name="Small square"), by=coordinator)
    return make_build(
        "Square for Larkrise",
        design=drawn,
        people=[builder],
        home=make_home("Wren"),
        planned_on=this_day,
    )


@pytest.mark.parametrize("way", ways(by_day=("phone", "light")))
@pytest.mark.django_db(transaction=True)
def test_a_first_build_takes_one_tap_a_step_and_ten_more(way, build, hand_of, builder):
    hand = hand_of(way, "first build")
    hand.log_in(builder.username, PASSWORD)
    hand.look("Today")

    hand.click("link", build.name, exact=False)
    hand.look(f"Pull for {build.name}")
    hand.click("button", "Start pull")
    hand.page.get_by_text("Pull started.").wait_for()
    hand.look(f"Pull for {build.name}")
    hand.click("button", "Take all listed", exact=False)
    hand.click("button", "Close pull")
    hand.click("link", "Back to build")
    hand.look(build.name)
    hand.click("link", "Start with step 1")
    steps = steps_of(build)[:-1]
    for step in steps:
        hand.look(step.card_in("metric")["title"])
        hand.click("button", f"Step {step.number} is done", exact=False)
    assert hand.clicks <= BEFORE_THE_STEPS + len(steps)

    hand.look("Inspect and sign")
    hand.press(hand.page.locator(".tick-bar").get_by_role("link", name="Inspect and sign"))
    hand.look(f"Inspect {build.name}")
    points = hand.page.get_by_label("Yes", exact=True).all()
    for answer in points:
        hand.press(answer)
    hand.click("button", "Sign inspection")
    hand.look("Inspected")

    assert Build.objects.get().state_now() == "inspected"
    assert hand.clicks <= BEFORE_THE_STEPS + len(steps) + ROUND_THE_POINTS + len(points)
