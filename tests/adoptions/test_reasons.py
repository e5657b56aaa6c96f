"""What speaks against an adoption: the animals, those left behind, the enclosure at the new home.

Floor: two guinea pigs need 0.5 m² in Switzerland, each further adult 0.2 m² (TSchV, SR 455.1,
Annex 2 Table 1); never singly there.
"""

import pytest

from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.reasons import (
    going_with,
    objections_to_going,
    override_all,
    reasons_against,
)
from habitats.adoptions.models.steps import visit
from habitats.animals.models.quarantines import Quarantine
from habitats.measures import METRIC
from habitats.welfare.new_home import NO_COMPANY, CompanyAtHome
from habitats.welfare.objection import OverrideTerms


@pytest.fixture
def swiss(answer_to):
    return answer_to("ch-tschv")


@pytest.fixture
def measured(coordinator, today):
    """`measured(adoption, 1000, 500)`: the floor at the new home, in millimetres."""

    def make(adoption, width, depth, **more):
        return HomeCheck.objects.create(
            adoption=adoption,
            kind="measured",
            on=today,
            width_mm=width,
            depth_mm=depth,
            made_by=coordinator,
            **{"upper_mm2": 0, **more},
        )

    return make


@pytest.fixture
def codes(today, swiss):
    """`codes(adoption)`: of all that speaks against the next step."""

    def of(adoption, with_home=True):
        found = reasons_against(adoption, today, swiss, METRIC, with_home=with_home)
        return {one.objection.code for one in found}

    return of


@pytest.fixture
def against(today, swiss):
    """`against(pip)`: codes of what speaks against these going together."""

    def of(*animals, **at_home):
        going, company = going_with(animals, today), CompanyAtHome(**at_home)
        return {one.code for one in objections_to_going(going, company, today, swiss)}

    return of


# --- The animals ---


def test_a_whole_pair_has_nothing_against_it(pair, against):
    _group, animals, _enclosure = pair

    assert against(*animals) == set()


def test_one_of_a_pair_splits_it_and_leaves_two_alone(pair, against):
    _group, (pip, _moss), _enclosure = pair

    assert against(pip) == {"split_group", "never_alone"}


def test_one_with_company_at_home_is_not_alone_there(pair, make_animal, against):
    lone = make_animal("Solo")

    assert against(lone) == {"never_alone"}
    assert against(lone, females=1) == set()


def test_one_that_can_conceive_does_not_go_to_an_entire_male(make_animal, against):
    sow = make_animal("Sow")

    assert against(sow, males=1) == {"home_entire_male"}
    assert against(sow, castrated=1) == set()


def test_a_single_without_company_is_nobodys_to_override(make_animal, today, swiss):
    going = going_with([make_animal("Solo")], today)
    (alone,) = objections_to_going(going, NO_COMPANY, today, swiss)

    assert alone.override is OverrideTerms.NEVER


def test_quarantine_age_and_a_possible_litter_are_told(
    make_animal, make_group, coordinator, against, day
):
    young = make_animal("Bean", born=day(-30), mother=None)
    apart = make_animal("Nut")
    Quarantine.objects.create(animal=apart, since=day(-3), made_by=coordinator)
    sow = make_animal("Olive", may_be_pregnant=True, with_male_since=day(-20))
    make_group(young, apart, sow, since=day(-3))

    told = against(young, apart, sow)

    assert {"leaves_too_young", "leaves_quarantine", "leaves_with_litter"} <= told
    assert "possible_litter" not in told


# --- The enclosure at the new home ---


def test_a_home_that_nobody_checked_is_told(pair, make_reserved, codes):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)

    assert codes(adoption) == {"home_unchecked"}
    assert codes(adoption, with_home=False) == set()


@pytest.mark.parametrize(("depth", "told"), [(499, {"home_too_small"}), (500, set())])
def test_two_need_half_a_square_metre(pair, make_reserved, measured, codes, depth, told):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    measured(adoption, 1000, depth, height_mm=600)

    assert codes(adoption) == told


@pytest.mark.parametrize(("depth", "told"), [(699, {"home_too_small"}), (700, set())])
def test_those_who_live_there_already_need_floor_too(
    make_animal, make_reserved, measured, codes, depth, told
):
    """Two come to one: 0.5 m² + 0.2 m²."""
    first, second = make_animal("Pip"), make_animal("Moss")
    adoption = make_reserved(first, second, females=1)
    measured(adoption, 1000, depth, height_mm=600)

    assert codes(adoption) == told


def test_a_shortfall_is_told_with_figures(pair, make_reserved, measured, today, swiss):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    measured(adoption, 1000, 400, height_mm=600)

    (reason,) = reasons_against(adoption, today, swiss, METRIC, with_home=True)

    said = str(reason.objection.sentence).replace("\xa0", " ")
    assert "Floor for 2 guinea pigs" in said
    assert "0.40 m², at least 0.50 m² needed" in said


def test_a_drawn_home_is_judged_as_an_enclosure_of_ours(
    pair, make_reserved, make_drawn, coordinator, today, codes
):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    small, large = make_drawn(["#"]), make_drawn(["####", "####"])

    def check(design):
        HomeCheck.objects.create(
            adoption=adoption,
            kind="drawn",
            on=today,
            revision=design.current,
            made_by=coordinator,
        )

    check(small)
    assert codes(adoption) == {"home_too_small"}
    check(large)
    assert codes(adoption) == set()


def test_a_reason_holds_for_the_enclosure_it_was_given_for(
    pair, make_reserved, measured, coordinator, today, swiss, codes
):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    measured(adoption, 1000, 400, height_mm=600)

    def asked():
        found = reasons_against(adoption, today, swiss, METRIC, with_home=True)
        return [one.objection.code for one in found if one.override is None]

    reasons = reasons_against(adoption, today, swiss, METRIC, with_home=True)
    override_all(adoption, reasons, "A run in the garden", confirmed=False, by=coordinator)
    assert asked() == []

    measured(adoption, 900, 400, height_mm=600)
    assert asked() == ["home_too_small"]


# --- The pre-visit ---


def test_a_home_found_unsuitable_is_told_until_a_later_visit_finds_otherwise(
    pair, make_reserved, measured, step, codes
):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    measured(adoption, 1000, 500, height_mm=600)

    visit(adoption, "unsuitable", step(-5))
    assert codes(adoption) == {"visit_unsuitable"}

    visit(adoption, "changes", step(-2))
    assert codes(adoption) == set()


def test_what_is_overridden_twice_is_recorded_once(pair, make_reserved, coordinator, today, swiss):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    reasons = reasons_against(adoption, today, swiss, METRIC, with_home=True)

    for _sent in range(2):
        override_all(adoption, reasons, "Seen by a friend", confirmed=False, by=coordinator)

    assert adoption.overrides.count() == len(reasons) == 1
