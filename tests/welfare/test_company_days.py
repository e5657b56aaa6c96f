"""What objections say of their days, against asking on every single day."""

from datetime import date, timedelta

import pytest
from hypothesis import given

from habitats.welfare.companion import Companion, QuarantineSpan
from habitats.welfare.company import company
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.objection import Severity
from habitats.welfare.quarantine import advised_until, ends_on
from habitats.welfare.values import Species
from tests.support.companions import TODAY, couples, groups

# Longer than any rule runs: a birth estimated 60 days late and a planned castration's wait.
HORIZON = 220
# What is missed, rather than between those who are here: company may end it.
OF_ABSENCE = {"alone", "alone_in_quarantine", "never_alone", "without_mother"}
# It ends with one birth, and comes again with the next.
OF_EACH_LITTER = {"birth_with_male"}
# Rules that pass from one word to another as their facts grow older.
SAME_RULE = [
    {"quarantine", "quarantine_short"},
    {"rhd", "rhd_sampled_early"},
    {"young_male", "entire_male", "castration_wait"},
    {"sex_unknown_young", "sex_unknown"},
    {"alone", "alone_in_quarantine"},
]


Asked = tuple[frozenset[str], tuple[str, ...]]


def rule_of(code: str) -> frozenset[str]:
    return next((frozenset(rule) for rule in SAME_RULE if code in rule), frozenset({code}))


def said_on(animals: list[Companion], day: date) -> dict[Asked, Severity]:
    """What each rule says about whom on that day."""
    return {(rule_of(one.code), one.animals): one.severity for one in company(animals, day)}


@given(groups(most=2) | couples())
def test_an_objection_holds_until_the_day_it_names_and_not_from_then_on(
    animals: list[Companion],
) -> None:
    days = [TODAY + timedelta(days=ahead) for ahead in range(HORIZON)]
    said = {day: said_on(animals, day) for day in days}

    for objection in company(animals, TODAY):
        asked = (rule_of(objection.code), objection.animals)
        other = (day for day in days if said[day].get(asked) is not objection.severity)
        changed = next(other, None)
        assert objection.changes_on == changed, objection
        assert objection.becomes is (said[changed].get(asked) if changed else None), objection


@given(groups(most=2) | couples())
def test_a_block_that_ends_does_not_come_again(animals: list[Companion]) -> None:
    for objection in company(animals, TODAY):
        if objection.severity is not Severity.BLOCK or objection.changes_on is None:
            continue
        if objection.code in OF_EACH_LITTER:
            continue
        asked = (rule_of(objection.code), objection.animals)
        for ahead in range(0, HORIZON, 9):
            day = objection.changes_on + timedelta(days=ahead)
            assert said_on(animals, day).get(asked) is not Severity.BLOCK, (objection, day)


@given(groups(most=4))
def test_an_animal_more_never_removes_an_objection_between_others(
    animals: list[Companion],
) -> None:
    fewer = {one for one in company(animals[:-1], TODAY) if one.code not in OF_ABSENCE}

    assert fewer <= set(company(animals, TODAY))


@given(groups())
def test_the_order_of_the_group_does_not_matter(animals: list[Companion]) -> None:
    assert company(animals, TODAY) == company(animals[::-1], TODAY)


@given(groups())
def test_no_two_objections_share_a_key(animals: list[Companion]) -> None:
    found = company(animals, TODAY)

    assert len({one.key for one in found}) == len(found)


@pytest.mark.parametrize(("species", "days"), [(Species.GUINEA_PIG, 14), (Species.RABBIT, 30)])
def test_a_quarantine_lasts_as_long_as_the_rescue_set_for_the_species(species, days):
    limits = WelfareLimits(guinea_pig_quarantine_days=14, rabbit_quarantine_days=30)
    since = date(2027, 3, 1)
    animal = Companion("A", "Ada", species, quarantine=QuarantineSpan(since))

    assert ends_on(animal, limits) == since + timedelta(days=days)
    assert advised_until(animal, limits) == since + timedelta(days=max(days, 21))
