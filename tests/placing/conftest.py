"""A chain of two moves, placings that are worked out beside their page, and how often it asks."""

import pytest

from builds.placing import tasks
from tests.support.placing_runs import SearchHere

SMALL, LARGE = ("##", "##"), ("####", "####")


@pytest.fixture
def chain(lives, make_animal, make_group, make_home, make_enclosure, answer_to, this_day):
    """Four wait; their only place is where two live, for whom a small one is free."""
    answer_to("ch-tschv")
    home = make_home("Wren", most_enclosures=2)
    two, _animals, large = lives("Ida", "Una", home=home, plan=LARGE, grams=900)
    small = make_enclosure("Snug", home, plan=SMALL)
    four = make_group(*(make_animal(one, grams=900) for one in ("Fern", "Moss", "Nut", "Pip")))
    return two, four, large, small


@pytest.fixture
def all_is_large(monkeypatch):
    """However small a placing is, it is worked out beside its page."""
    monkeypatch.setattr("builds.placing.pages.at_hand.MOST_AT_ONCE", 0)
    monkeypatch.setattr(tasks, "PlacingSearch", SearchHere)


@pytest.fixture
def asks_as_often_of(lives, make_home, answer_to, this_day):
    """`asks_as_often_of(homes, ask)`: whether `ask()` counts as many with these as with three."""
    answer_to("ch-tschv")

    def fill(first: int, last: int) -> None:
        for number in range(first, last):
            home = make_home(f"H{number}")
            lives(f"A{number}", f"B{number}", home=home, plan=SMALL, grams=900)

    def compare(homes: int, ask) -> bool:
        fill(0, 3)
        few = ask()
        fill(3, homes)
        return ask() == few

    return compare
