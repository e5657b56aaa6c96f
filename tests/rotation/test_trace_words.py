from datetime import date

import pytest

from habitats.rotation.infection import Suspicion
from habitats.rotation.trace import trace
from habitats.rotation.trace_actions import (
    Verb,
    actions_for,
    in_no_group,
    of_home,
    of_neighbour,
    sources_for,
    washing_words,
)
from habitats.rotation.trace_facts import (
    Facts,
    LivingSpan,
    LyingSpan,
    StandingSpan,
    StaySpan,
    Thing,
    ThingKind,
)
from habitats.rotation.trace_words import days_words, how_words

CLOVER, BASIL = Thing(ThingKind.GROUP, "clover"), Thing(ThingKind.GROUP, "basil")
NORTH, EAST = Thing(ThingKind.ENCLOSURE, "n"), Thing(ThingKind.ENCLOSURE, "e")
K3F7H, PIP = Thing(ThingKind.LINEN, "K3F7H"), Thing(ThingKind.ANIMAL, "pip")
NAMES = {
    CLOVER: "Clover and Thyme",
    BASIL: "Basil",
    NORTH: "North wall",
    EAST: "East wall",
    K3F7H: "K3F7-H",
    PIP: "Pip",
}


def march(day):
    return date(2027, 3, day)


@pytest.fixture
def found():
    facts = Facts(
        livings=[LivingSpan("pip", "clover", march(1), march(7))],
        stayings=[
            StaySpan("clover", "n", march(1), march(8)),
            StaySpan("basil", "e", march(1), None),
        ],
        lyings=[
            LyingSpan("K3F7H", "n", "ground", march(2), march(6)),
            LyingSpan("K3F7H", "e", "ground", march(9), None),
        ],
        standings=[
            StandingSpan("n", "wren", march(1), None),
            StandingSpan("west", "wren", march(1), None),
        ],
    )
    return trace(CLOVER, march(3), Suspicion.RINGWORM, facts, march(20))


def told(found, thing):
    return next(how_words(one, NAMES) for one in found.contacts if one.thing == thing)


def contact(found, thing):
    return next(one for one in found.contacts if one.thing == thing)


@pytest.mark.parametrize(
    ("first", "last", "words"),
    [
        (march(3), march(3), "on 3 March 2027"),
        (march(3), march(9), "3 to 9 March 2027"),
        (date(2027, 2, 28), march(3), "28 February to 3 March 2027"),
        (date(2026, 12, 30), march(3), "30 December 2026 to 3 March 2027"),
        (march(3), None, "since 3 March 2027"),
    ],
)
def test_days_are_told_as_short_as_they_are_clear(first, last, words):
    assert days_words(first, last) == words


def test_of_the_suspect_itself_nothing_is_told(found):
    assert told(found, CLOVER) == ""


def test_a_direct_contact_is_told_with_place_and_days(found):
    assert told(found, K3F7H) == "Lay under Clover and Thyme in North wall 3 to 5 March 2027"


def test_an_enclosure_is_told_by_what_came_into_it(found):
    assert told(found, NORTH) == "Clover and Thyme lived in it 3 to 7 March 2027"


def test_a_way_through_a_linen_is_told_back_to_the_suspect(found):
    assert told(found, BASIL) == (
        "Have lived on K3F7-H in East wall since 9 March 2027, "
        "after K3F7-H lay under Clover and Thyme in North wall 3 to 5 March 2027"
    )


def test_what_happened_on_common_days_is_told_with_while():
    facts = Facts(
        stayings=[StaySpan("clover", "n", march(1), None)],
        livings=[LivingSpan("pip", "clover", march(4), None)],
    )
    found = trace(NORTH, march(3), Suspicion.OTHER, facts, march(9))
    assert told(found, PIP) == (
        "Has lived with Clover and Thyme since 4 March 2027, "
        "while Clover and Thyme have lived in North wall since 3 March 2027"
    )


def test_a_group_stays_and_is_watched(found):
    actions = actions_for(contact(found, BASIL), Suspicion.RINGWORM)
    assert [one.key for one in actions] == ["stay group basil", "watch group basil"]


def test_an_enclosure_is_cleaned_as_the_label_says(found):
    cleaning, _stay = actions_for(contact(found, NORTH), Suspicion.RINGWORM)
    assert cleaning.verb is Verb.CLEAN
    assert "as the product’s label says" in cleaning.words


# The cautious rule of two washes, each >= 60 °C and >= 14 min, and its sources: infection.py.


def test_a_linen_is_set_aside_and_washed_as_the_infection_asks(found):
    aside, wash = actions_for(contact(found, K3F7H), Suspicion.RINGWORM)
    assert aside.key == "set-aside linen K3F7H"
    assert "2 washes, each at 60 °C or more for at least 14 min" in wash.words
    assert "18:457 (2016)" in sources_for(Suspicion.RINGWORM)[0].text


def test_an_unknown_infection_asks_for_what_each_rule_asks():
    assert "65 °C" in washing_words(Suspicion.UNKNOWN)
    assert "2 washes" in washing_words(Suspicion.UNKNOWN)


def test_a_linen_with_one_wash_to_go_says_so(found):
    washed = contact(found, K3F7H)._replace(washes=1)
    assert "1 of them still missing" in actions_for(washed, Suspicion.RINGWORM)[1].words


def test_nothing_is_left_to_do_about_a_linen_that_was_released(found):
    freed = contact(found, K3F7H)._replace(washes=0, free_on=march(12))
    assert actions_for(freed, Suspicion.RINGWORM) == ()


def test_an_animal_that_lives_in_no_group_is_told_of(found):
    livings = [LivingSpan("pip", "clover", march(1), march(7))]
    assert [one.thing for one in in_no_group(found, livings, march(20))] == [PIP]
    assert in_no_group(found, livings, march(6)) == ()


def test_people_of_the_home_are_told_and_its_other_enclosures_watched(found):
    assert of_home(found.homes[0]).key == "inform home wren"
    assert of_neighbour(found.neighbours[0]).key == "watch enclosure west"
