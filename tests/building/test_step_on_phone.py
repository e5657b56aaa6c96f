"""A step on a phone: what the hands need is seen without scrolling."""

from collections.abc import Iterator
from typing import NamedTuple

import pytest
from playwright.sync_api import Browser

from builds.building.pages.build_page import ENDED
from builds.plans.models.builds import Build
from tests.conftest import SCREENS
from tests.support.builds import NOON, make_build, planner, steps_of
from tests.support.reading import fits
from tests.support.walk import Walk

pytestmark = pytest.mark.django_db

# What bench work says of a blank and a knife is longer than a screen.
SHARE = 83 / 96
SCREEN_PX = SCREENS["phone"]["viewport"]["height"] + 0.5
LEAST_LETTER_PX = 12
LARGEST_PX = 26
# From above: how far the step's screen reaches, and its buttons; how high the smallest letters of
# its picture are (100 px if there are none), and whether all of it comes before the words.
MEASURES = """() => {
  const box = (one) => document.querySelector(one).getBoundingClientRect();
  const picture = document.querySelector(".step figure svg");
  const letters = [...picture.querySelectorAll("text")].map(
    (one) => one.getAttribute("font-size") * picture.getScreenCTM().a);
  return [
    box(".step-screen").bottom + scrollY,
    box(".step .hand").bottom,
    Math.min(100, ...letters),
    box(".step figure").bottom <= box(".step .caution, .step .do").top,
  ];
}"""


class Seen(NamedTuple):
    """A step as a phone shows it once its turn has come."""

    title: str
    bottom_px: float
    buttons_px: float
    letter_px: float
    is_picture_first: bool

    @property
    def is_on_one_screen(self) -> bool:
        return self.bottom_px <= SCREEN_PX

    @property
    def can_be_read_and_ticked(self) -> bool:
        """Without scrolling; the buttons stay at the lower edge where the words go on."""
        return self.letter_px >= LEAST_LETTER_PX - 0.1 and self.buttons_px <= SCREEN_PX


@pytest.fixture(scope="module")
def walk(chromium: Browser) -> Iterator[Walk]:
    context = chromium.new_context(service_workers="block", **SCREENS["phone"])
    yield Walk(context.new_page())
    context.close()


def seen_in_turn(walk: Walk, client, build: Build) -> list[Seen]:
    """Each step before it is ticked, after those before it are."""
    steps = steps_of(build)
    said = {"at": NOON, "made_by": planner()}
    for step in steps:
        build.ticks.create(step_key=step.key, is_done=False, **said)
    seen = []
    for step in steps:
        walk.open(client, f"/builds/{build.code}/steps/{step.key}/")
        title = f"{build}: {step.number}, {step.card_in('metric')['title']}"
        seen.append(Seen(title, *walk.page.evaluate(MEASURES)))
        build.ticks.create(step_key=step.key, **said)
    return seen


def on_one_screen(seen: list[Seen]) -> int:
    return sum(one.is_on_one_screen for one in seen)


def test_the_steps_of_a_floor_are_seen_without_scrolling(walk, building, builder):
    seen = seen_in_turn(walk, building, make_build(state="building", people=[builder]))

    assert on_one_screen(seen) >= SHARE * len(seen)
    assert all(one.can_be_read_and_ticked for one in seen)
    assert all(one.is_picture_first for one in seen)


@pytest.mark.nightly
@pytest.mark.parametrize("language", ["en-GB", "de"])
def test_the_steps_of_all_open_builds_of_the_demo_are_seen_without_scrolling(
    walk, demo, client_of, monkeypatch, language
):
    monkeypatch.setattr(walk, "language", language)
    builds = [one for one in Build.objects.all() if one.state_now() not in ENDED]
    client = client_of(planner())
    seen = [step for build in builds for step in seen_in_turn(walk, client, build)]

    longer = [f"{one.bottom_px:.0f} px: {one.title}" for one in seen if not one.is_on_one_screen]
    assert on_one_screen(seen) >= SHARE * len(seen), "\n".join([f"of {len(seen)}:", *longer])
    assert all(one.can_be_read_and_ticked for one in seen)


def test_the_chosen_text_size_holds_for_other_steps_too(walk, building, builder):
    build = make_build(state="building", people=[builder])
    first, second = (f"/builds/{build.code}/steps/{one.key}/" for one in steps_of(build)[:2])
    text_px = 'parseFloat(getComputedStyle(document.querySelector(".do")).fontSize)'
    walk.open(building, second)
    usual = walk.page.evaluate(text_px)
    walk.open(building, first)

    walk.page.get_by_role("button", name="Largest").tap()
    walk.open(building, second)

    walk.page.get_by_role("button", name="Largest", pressed=True).wait_for()
    assert walk.page.evaluate(text_px) == LARGEST_PX > usual
    assert fits(walk.page)
    walk.page.get_by_role("button", name="Normal").tap()
    assert walk.page.evaluate(text_px) == usual
