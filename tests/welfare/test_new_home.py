"""Animals at a new home and those that join them: the same as if all were a group of ours.

The second reckoning is `company` itself, asked of the animals as a group with everything recorded.
"""

import random
from datetime import date, timedelta

import pytest

from habitats.welfare.companion import BirthSpan, Castration, Companion
from habitats.welfare.company import company
from habitats.welfare.new_home import CompanyAtHome, against_company
from habitats.welfare.objection import Severity
from habitats.welfare.values import Sex, Species

DAY = date(2027, 3, 10)
GROWN = BirthSpan.on(DAY - timedelta(days=900))
F, M = Sex.FEMALE, Sex.MALE


def animal(name, sex=None, *, cut=None, species=Species.GUINEA_PIG, born=GROWN):
    """``cut``: days since its castration."""
    done = None if cut is None else Castration(DAY - timedelta(days=cut))
    return Companion(name, name, species, sex=sex, castration=done, born=born)


def codes(*going, **at_home):
    return [one.code for one in against_company(going, CompanyAtHome(**at_home), DAY)]


@pytest.mark.parametrize(
    ("going", "at_home", "told"),
    [
        (animal("Sow", F), {"males": 1}, ["home_entire_male"]),
        (animal("Boar", M), {"females": 2}, ["home_entire_male"]),
        (animal("Boar", M), {"spayed": 1}, []),
        (animal("Boar", M, cut=41), {"females": 1}, ["home_castration_wait"]),
        (animal("Boar", M, cut=42), {"females": 1}, []),
        (animal("Boar", M), {"males": 1}, ["home_two_males"]),
        (animal("Boar", M), {"castrated": 3}, []),
        (animal("Sow", F), {"females": 3, "castrated": 1}, []),
        (animal("Sow", F), {"unsexed": 1}, ["home_sex_unknown"]),
        (animal("Pip"), {"females": 1, "males": 1}, ["home_sex_unknown"]),
        (animal("Sow", F), {"others": 1}, ["home_two_species"]),
        (animal("Sow", F), {}, []),
    ],
)
def test_what_speaks_against_one_that_joins_them(going, at_home, told):
    assert codes(going, **at_home) == told


def test_each_that_goes_is_told_by_itself_and_nobody_at_the_home_is_named():
    found = against_company(
        [animal("Sow", F), animal("Sal", F)], CompanyAtHome(males=2, unsexed=1), DAY
    )

    assert [one.animals for one in found] == [("Sow",), ("Sow",), ("Sal",), ("Sal",)]
    assert all("males" not in str(one.sentence).split() for one in found)


def test_a_breeding_pair_is_nobodys_to_override():
    (found,) = against_company([animal("Sow", F)], CompanyAtHome(males=1), DAY)

    assert found.severity is Severity.BLOCK
    assert "He counts as entire for 42 days after castration" in str(found.sentence)


def test_random_homes_are_blocked_as_the_same_group_would_be():
    chance = random.Random(17)
    for _again in range(300):
        going = [
            animal(f"G{at}", chance.choice([F, M, None]), cut=chance.choice([None, None, 10, 90]))
            for at in range(chance.randint(1, 3))
        ]
        at_home = CompanyAtHome(*(chance.choice([0, 0, 1, 2]) for _kind in range(5)))
        there = [
            *[animal(f"f{at}", F) for at in range(at_home.females)],
            *[animal(f"s{at}", F, cut=90) for at in range(at_home.spayed)],
            *[animal(f"m{at}", M) for at in range(at_home.males)],
            *[animal(f"c{at}", M, cut=90) for at in range(at_home.castrated)],
            *[animal(f"u{at}") for at in range(at_home.unsexed)],
        ]
        names = {one.ref for one in going}

        said = {
            (one.code.removeprefix("home_"), *one.animals)
            for one in against_company(going, at_home, DAY)
        }
        expected = {
            (one.code, ref)
            for one in company([*going, *there], DAY)
            for ref in one.animals
            if len(one.animals) == 2 and len(names & set(one.animals)) == 1 and ref in names
        }
        assert said == expected
