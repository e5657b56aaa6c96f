"""When a female was with a male who could sire, told from who lived with whom."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.welfare import contacts
from habitats.welfare.ahead import DueKind, due
from habitats.welfare.companion import BirthSpan, Castration, Companion, MaleContact
from habitats.welfare.company import company
from habitats.welfare.contacts import LivedWith, contacts_of
from habitats.welfare.litters import litter_span
from habitats.welfare.maturity import siring
from habitats.welfare.values import Sex, Species
from tests.support.companions import TODAY, days_ago, days_ahead

SOW = Companion("sow", "Wren", Species.GUINEA_PIG, Sex.FEMALE)
BOAR = Companion("boar", "Umber", Species.GUINEA_PIG, Sex.MALE)
# Second-hand, as cited in habitats/welfare, written down a second time here: of a male guinea pig
# that nobody weighed, age alone decides.
LEAVES = {Species.GUINEA_PIG: 21, Species.RABBIT: 70}
LONGEST = {Species.GUINEA_PIG: 72, Species.RABBIT: 32}
WAIT = 42


def after(other, since, until=None, sow=SOW):
    """The sow after those days with him; None: they go on."""
    lived = LivedWith(other, days_ago(since), None if until is None else days_ago(until))
    return replace(sow, lived_with=contacts_of(sow, [lived]))


def codes(*animals):
    return {one.code for one in company(animals, TODAY)}


def test_a_sow_that_lived_37_days_with_an_entire_boar_may_have_a_litter():
    sow = after(BOAR, 40, 3)

    said = [str(one.sentence) for one in company([sow], TODAY) if one.code == "possible_litter"]

    assert len(said) == 1
    assert "Wren lived with Umber from" in said[0]
    assert litter_span(sow, TODAY).last == days_ago(3) + timedelta(days=72)
    assert DueKind.LITTER_POSSIBLE in {one.kind for one in due([sow], TODAY, within_days=90)}


@pytest.mark.parametrize(("days", "is_warned"), [(72, True), (73, False)])
def test_the_warning_lasts_to_the_seventy_second_day_after_they_were_parted(days, is_warned):
    assert ("possible_litter" in codes(after(BOAR, 100, days))) is is_warned


@pytest.mark.parametrize(("days", "is_warned"), [(32, True), (33, False)])
def test_a_doe_is_warned_of_for_32_days(days, is_warned):
    doe, buck = (replace(one, species=Species.RABBIT) for one in (SOW, BOAR))

    assert ("possible_litter" in codes(after(buck, 100, days, doe))) is is_warned


def test_a_male_castrated_long_before_is_no_contact():
    assert contacts_of(SOW, [LivedWith(_castrated(90), days_ago(40), None)]) == ()


def test_a_male_castrated_lately_is_one_until_his_wait_is_over():
    (contact,) = contacts_of(SOW, [LivedWith(_castrated(50), days_ago(40), None)])

    assert contact == MaleContact(days_ago(40), days_ago(50 - WAIT + 1), "Umber")


def test_a_young_male_is_one_from_the_day_on_which_he_leaves():
    son = replace(BOAR, born=BirthSpan.on(days_ago(10)))

    (contact,) = contacts_of(SOW, [LivedWith(son, days_ago(10), None)])

    assert contact == MaleContact(days_ahead(11), None, "Umber")


def test_a_young_male_taken_out_before_is_none():
    son = replace(BOAR, born=BirthSpan.on(days_ago(30)))

    assert contacts_of(SOW, [LivedWith(son, days_ago(30), days_ago(10))]) == ()


def test_whose_sex_is_not_recorded_counts_as_a_male():
    assert "possible_litter" in codes(after(replace(BOAR, sex=None), 20, 3))


@pytest.mark.parametrize(
    "other", [replace(BOAR, sex=Sex.FEMALE), replace(BOAR, species=Species.RABBIT)]
)
def test_a_female_or_another_species_is_no_contact(other):
    assert contacts_of(SOW, [LivedWith(other, days_ago(40), None)]) == ()


def test_a_male_has_no_contact_of_his_own():
    assert contacts_of(BOAR, [LivedWith(BOAR, days_ago(40), None)]) == ()


def test_years_with_him_are_not_walked_through_day_by_day(monkeypatch):
    asked = []

    def count(male, day):
        asked.append(day)
        return siring(male, day)

    monkeypatch.setattr(contacts, "siring", count)

    (contact,) = contacts_of(SOW, [LivedWith(_castrated(50), days_ago(2000), None)])

    assert contact == MaleContact(days_ago(2000), days_ago(50 - WAIT + 1), "Umber")
    assert len(asked) < 5


def test_who_lived_with_several_is_warned_of_up_to_the_last():
    lived = [
        LivedWith(replace(BOAR, name=name), days_ago(since), days_ago(until))
        for name, since, until in (("Umber", 60, 50), ("Flint", 20, 5))
    ]
    sow = replace(SOW, lived_with=contacts_of(SOW, lived), contact=MaleContact(None, days_ago(30)))

    span = litter_span(sow, TODAY)

    assert (span.first, span.last) == (None, days_ago(5) + timedelta(days=72))


def test_a_birth_ends_what_came_before_it_only():
    sow = replace(after(BOAR, 90, 60), gave_birth_on=days_ago(10))
    again = replace(after(BOAR, 90, 5), gave_birth_on=days_ago(10))

    assert litter_span(sow, TODAY) is None
    assert litter_span(again, TODAY).last == days_ago(5) + timedelta(days=72)


def _castrated(days):
    return replace(BOAR, castration=Castration(days_ago(days)))


# --- Reckoned a second time, day by day ---


@st.composite
def males(draw):
    castrated = draw(st.none() | st.integers(0, 200))
    age = draw(st.none() | st.integers(0, 300))
    return replace(
        BOAR,
        species=draw(st.sampled_from(Species)),
        born=None if age is None else BirthSpan.on(days_ago(age)),
        castration=None if castrated is None else Castration(days_ago(castrated)),
    )


def could_sire(male, day):
    if male.born and (day - male.born.earliest).days < LEAVES[male.species]:
        return False
    return male.castration is None or (day - male.castration.on).days < WAIT


def could_carry(male, since, until, born, day):
    """Whether on that day a litter may come of one of the days that they shared up to then."""
    end = day if until is None else min(until, day)
    shared = (since + timedelta(days=ahead) for ahead in range((end - since).days + 1))
    return any(
        could_sire(male, one)
        and (day - one).days <= LONGEST[male.species]
        and not (born and one < born <= day)
        for one in shared
    )


@given(
    males(), st.integers(0, 200), st.none() | st.integers(0, 200), st.none() | st.integers(0, 99)
)
def test_a_litter_is_possible_on_just_the_days_that_a_second_reckoning_finds(
    male, since, length, birth
):
    first = days_ago(since)
    until = None if length is None else first + timedelta(days=length)
    born = None if birth is None else days_ago(birth)
    sow = replace(SOW, species=male.species, gave_birth_on=born)
    sow = replace(sow, lived_with=contacts_of(sow, [LivedWith(male, first, until)]))

    for ahead in range(-40, 110, 3):
        day = days_ahead(ahead)
        expected = day >= first and could_carry(male, first, until, born, day)
        assert (litter_span(sow, day) is not None) is expected, day


@given(males(), st.integers(0, 200), st.none() | st.integers(0, 200))
def test_a_contact_begins_and_ends_on_the_days_that_a_second_reckoning_finds(male, since, length):
    first = days_ago(since)
    until = None if length is None else first + timedelta(days=length)
    sow = replace(SOW, species=male.species)

    found = contacts_of(sow, [LivedWith(male, first, until)])

    # Four hundred days on, nothing changes in him any more.
    shared = [
        first + timedelta(days=ahead) for ahead in range(1 + (400 if length is None else length))
    ]
    days = [day for day in shared if could_sire(male, day)]
    assert [one.since for one in found] == days[:1]
    goes_on = until is None and days[-1:] == shared[-1:]
    assert [one.last for one in found] == ([None] if goes_on else days[-1:])
