"""When a pup set is asked for. The age is common practice, no source (42 days)."""

from datetime import date, timedelta

import pytest

from habitats.structure.design import PanelSize
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from habitats.welfare.companion import BirthSpan, Companion, MaleContact
from habitats.welfare.pups import PUT_ON, TAKE_OFF, pup_set_advice
from habitats.welfare.rooms import room_of
from habitats.welfare.values import Sex, Species
from tests.support.designs import make_design, ramp_from, replace

TODAY = date(2027, 3, 10)
BARE = make_design(["####", "####"])  # squares of 39 mm
WITH_SET = replace(BARE, pup_set=True)
SOW = Companion("wren", "Wren", Species.GUINEA_PIG, Sex.FEMALE)


def aged(days, name="Pip"):
    born = BirthSpan.on(TODAY - timedelta(days=days))
    return Companion(name.lower(), name, Species.GUINEA_PIG, born=born)


def wish(design, *animals):
    advice = pup_set_advice(design, animals, TODAY)
    return advice.wish if advice else None


@pytest.mark.parametrize(("days", "found"), [(0, PUT_ON), (41, PUT_ON), (42, None), (400, None)])
def test_young_ask_for_it_up_to_six_weeks(days, found):
    assert wish(BARE, SOW, aged(days)) == found


def test_a_litter_that_may_come_asks_for_it():
    expecting = replace(SOW, contact=MaleContact(None, TODAY - timedelta(days=10)))

    assert wish(BARE, expecting) == PUT_ON
    assert "Wren" in pup_set_advice(BARE, [expecting], TODAY).sentence


def test_a_fine_mesh_needs_none():
    assert wish(replace(BARE, panel=PanelSize(350, 14)), aged(3)) is None  # 25 mm


def test_one_that_is_on_stays_on_while_they_are_young():
    assert wish(WITH_SET, SOW, aged(3)) is None


def test_one_that_nobody_needs_any_more_may_come_off():
    assert wish(WITH_SET, SOW, aged(42)) == TAKE_OFF
    assert wish(BARE, SOW) is None


def test_with_the_set_on_an_upper_level_is_no_space():
    loft = make_design(
        ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
    )
    bare, shut = (room_of(raise_structure(replace(loft, pup_set=on))) for on in (False, True))

    assert bare.upper_mm2 > 0
    assert (shut.upper_mm2, shut.raised_mm2) == (0, 0)
    assert shut.ground_mm2 == bare.ground_mm2
