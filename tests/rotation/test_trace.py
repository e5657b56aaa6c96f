"""Plain cases of a trace: invented homes, with days of March 2027."""

from datetime import date

import pytest

from habitats.rotation.infection import Suspicion, WashRun
from habitats.rotation.trace import HomeMet, Meeting, Neighbour, trace
from habitats.rotation.trace_facts import (
    ContactKind,
    Facts,
    LivingSpan,
    LyingSpan,
    StandingSpan,
    StaySpan,
    Thing,
    ThingKind,
    Washing,
)

EVERYDAY = WashRun("Everyday", 40, 30)
HOT = WashRun("Hot", 60, 20)
DRYER = WashRun("Dryer", 80, 60, is_dry=True)


def march(day):
    return date(2027, 3, day)


def group(key):
    return Thing(ThingKind.GROUP, key)


def linen(key):
    return Thing(ThingKind.LINEN, key)


def enclosure(key):
    return Thing(ThingKind.ENCLOSURE, key)


def stay(who, where, first, until=None):
    return StaySpan(who, where, march(first), until and march(until))


def lie(what, where, first, until=None):
    return LyingSpan(what, where, "ground", march(first), until and march(until))


def live(who, where, first, until=None):
    return LivingSpan(who, where, march(first), until and march(until))


def stand(what, where, first, until=None):
    return StandingSpan(what, where, march(first), until and march(until))


def wash(first, *linens, programme=EVERYDAY):
    return Washing(f"load of {first}", linens, march(first), programme)


def traced(suspect, since=3, suspicion=Suspicion.RINGWORM, today=20, **facts):
    return trace(suspect, march(since), suspicion, Facts(**facts), march(today))


def contacts_of(found):
    return {one.thing: one for one in found.contacts}


def test_a_linen_that_lay_under_the_group_met_it_directly_on_their_common_days():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1)],
        lyings=[lie("K3F7H", "north", 2, 10)],
    )
    contact = contacts_of(found)[linen("K3F7H")]
    assert (contact.first, contact.steps) == (march(3), 1)
    assert contact.chain == (
        Meeting(group("clover"), ContactKind.LAY_UNDER, "north", march(3), march(9)),
    )


def test_the_suspect_itself_comes_first():
    found = traced(group("clover"), stayings=[stay("clover", "north", 1)])
    assert found.suspect.thing == group("clover")
    assert (found.suspect.steps, found.suspect.chain) == (0, ())


def test_what_lay_there_only_before_the_suspicion_is_no_contact():
    found = traced(
        group("clover"), stayings=[stay("clover", "north", 1)], lyings=[lie("K3F7H", "north", 1, 3)]
    )
    assert linen("K3F7H") not in contacts_of(found)


def test_a_group_that_moves_on_carries_it_into_its_next_enclosure():
    found = traced(
        group("clover"), stayings=[stay("clover", "north", 1, 8), stay("clover", "east", 8)]
    )
    assert contacts_of(found)[enclosure("east")].first == march(8)


def test_who_lived_in_the_next_enclosure_before_is_no_contact():
    found = traced(
        group("clover"),
        stayings=[
            stay("thyme", "east", 1, 8),
            stay("clover", "north", 1, 8),
            stay("clover", "east", 8),
        ],
    )
    assert group("thyme") not in contacts_of(found)


def test_who_comes_into_the_enclosure_after_the_suspect_met_it_through_the_enclosure():
    found = traced(
        group("clover"), stayings=[stay("clover", "north", 1, 8), stay("thyme", "north", 12)]
    )
    contact = contacts_of(found)[group("thyme")]
    assert (contact.first, contact.steps) == (march(12), 2)
    assert [meeting.met for meeting in contact.chain] == [enclosure("north"), group("clover")]


def test_a_linen_carries_it_from_one_enclosure_to_the_next():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1), stay("thyme", "east", 1)],
        lyings=[lie("K3F7H", "north", 2, 6), lie("K3F7H", "east", 9, 12)],
    )
    contact = contacts_of(found)[group("thyme")]
    assert (contact.first, contact.steps) == (march(9), 2)
    assert contact.chain[0] == Meeting(
        linen("K3F7H"), ContactKind.LAY_UNDER, "east", march(9), march(11)
    )


# Two washes of 60 °C release from ringworm: habitats/rotation/infection.py has the sources.


def test_a_linen_that_was_washed_free_carries_nothing_on():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1), stay("thyme", "east", 1)],
        lyings=[lie("K3F7H", "north", 2, 6), lie("K3F7H", "east", 9, 12)],
        washings=[wash(6, "K3F7H", programme=HOT), wash(7, "K3F7H", programme=HOT)],
    )
    assert group("thyme") not in contacts_of(found)
    freed = contacts_of(found)[linen("K3F7H")]
    assert (freed.washes, freed.free_on) == (0, march(7))


def test_one_hot_wash_and_a_dryer_do_not_free_it():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1), stay("thyme", "east", 1)],
        lyings=[lie("K3F7H", "north", 2, 6), lie("K3F7H", "east", 9, 12)],
        washings=[wash(6, "K3F7H", programme=HOT), wash(7, "K3F7H", programme=DRYER)],
    )
    assert contacts_of(found)[group("thyme")].first == march(9)


def test_washes_before_it_met_the_infection_again_do_not_count():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1)],
        lyings=[lie("K3F7H", "north", 2, 6), lie("K3F7H", "north", 8, 10)],
        washings=[wash(6, "K3F7H", programme=HOT), wash(10, "K3F7H", programme=HOT)],
    )
    assert contacts_of(found)[linen("K3F7H")].washes == 1


def test_linens_that_shared_a_load_which_did_not_release_are_contacts():
    found = traced(linen("K3F7H"), washings=[wash(5, "K3F7H", "M2CD9"), wash(9, "M2CD9", "P4RTX")])
    assert contacts_of(found)[linen("P4RTX")].chain == (
        Meeting(linen("M2CD9"), ContactKind.WASHED, "load of 9", march(9), march(9)),
        Meeting(linen("K3F7H"), ContactKind.WASHED, "load of 5", march(5), march(5)),
    )


def test_linens_that_shared_a_load_which_released_all_in_it_are_none():
    found = traced(
        linen("K3F7H"),
        suspicion=Suspicion.OTHER,
        washings=[wash(5, "K3F7H", "M2CD9", programme=WashRun("Boil", 71, 3))],
    )
    assert linen("M2CD9") not in contacts_of(found)


def test_in_one_drum_all_are_as_far_from_free_as_the_one_that_was_furthest():
    found = traced(
        linen("K3F7H"),
        washings=[
            wash(4, "K3F7H", "M2CD9", programme=HOT),
            wash(5, "K3F7H", programme=EVERYDAY),
            wash(6, "M2CD9", programme=HOT),
            wash(7, "K3F7H", "M2CD9", programme=EVERYDAY),
        ],
    )
    washes = {one.thing.key: one.washes for one in found.of(ThingKind.LINEN)}
    assert washes == {"K3F7H": 1, "M2CD9": 1}


def test_an_animal_that_joined_another_group_carries_it_there():
    found = traced(
        group("clover"),
        livings=[live("pip", "clover", 1, 7), live("pip", "thyme", 7), live("sage", "thyme", 1)],
    )
    assert contacts_of(found)[group("thyme")].first == march(7)
    assert contacts_of(found)[Thing(ThingKind.ANIMAL, "sage")].steps == 3


def test_an_animal_that_left_before_the_suspicion_is_no_contact():
    found = traced(group("clover"), livings=[live("pip", "clover", 1, 3)])
    assert Thing(ThingKind.ANIMAL, "pip") not in contacts_of(found)


def test_what_is_written_down_for_days_to_come_is_no_contact_yet():
    found = traced(group("clover"), stayings=[stay("clover", "north", 21)], today=20)
    assert found.contacts == (found.suspect,)


def test_a_span_that_ends_where_it_begins_was_a_slip():
    found = traced(group("clover"), stayings=[stay("clover", "north", 5, 5)])
    assert enclosure("north") not in contacts_of(found)


def test_other_enclosures_of_the_home_are_told_apart_from_contacts():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1), stay("thyme", "east", 1)],
        standings=[
            stand("north", "wren", 1),
            stand("east", "wren", 1, 12),
            stand("west", "ada", 1),
        ],
    )
    assert found.homes == (HomeMet("wren", march(3), ("north",)),)
    assert found.neighbours == (Neighbour("east", "wren", march(3), march(11)),)
    assert enclosure("east") not in contacts_of(found)


def test_a_home_is_met_from_the_day_its_enclosure_was():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1, 8), stay("clover", "east", 8)],
        standings=[stand("north", "wren", 1), stand("east", "ada", 1)],
    )
    assert [(one.home, one.first) for one in found.homes] == [("wren", march(3)), ("ada", march(8))]


def test_a_nearer_way_that_comes_later_is_the_one_that_is_told():
    found = traced(
        group("clover"),
        stayings=[stay("clover", "north", 1, 9), stay("clover", "east", 9)],
        lyings=[lie("K3F7H", "north", 2, 6), lie("K3F7H", "east", 7, 9)],
    )
    contact = contacts_of(found)[enclosure("east")]
    assert (contact.first, contact.steps) == (march(7), 1)
    assert contact.chain[0].first == march(9)


def test_nothing_is_traced_from_a_day_to_come():
    with pytest.raises(ValueError, match="2027-03-03 is after 2027-03-02"):
        traced(group("clover"), since=3, today=2)
