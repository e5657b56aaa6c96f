"""Weights that cannot be, that fall, that are missing; days of a life that cannot be."""

from dataclasses import replace

import pytest

from habitats.structure.design import Species
from habitats.welfare.companion import (
    BirthSpan,
    Castration,
    DatedWeight,
    MaleContact,
    QuarantineSpan,
)
from habitats.welfare.life import life_fault, life_faults
from habitats.welfare.limits import WelfareLimits
from habitats.welfare.values import Sex
from habitats.welfare.weights import alarm, change_percent, falls, weigh_by, weight_fault
from tests.support.companions import TODAY, days_ago, days_ahead, make_pig, make_pup

# Crowder and Hand 1990, animal 1, study weeks 5 and 6: 504 g, then 436 g, which is -13.5 %.
CROWDER_HAND = (DatedWeight(days_ago(7), 504), DatedWeight(TODAY, 436))


def test_the_weights_of_crowder_and_hand_are_a_fall_of_13_5_per_cent() -> None:
    assert round(change_percent(*CROWDER_HAND), 1) == -13.5


def test_the_weights_of_crowder_and_hand_call_for_a_vet() -> None:
    fall = alarm(CROWDER_HAND)

    assert (fall.before.grams, fall.after.grams) == (504, 436)
    assert "call a vet" in fall.sentence
    assert "−13.5 %" in fall.sentence


def test_the_threshold_is_for_the_rescue_to_set() -> None:
    assert alarm(CROWDER_HAND, WelfareLimits(fall_percent=13.4)) is not None
    assert alarm(CROWDER_HAND, WelfareLimits(fall_percent=13.6)) is None


def test_a_slow_fall_over_several_weighings_is_seen() -> None:
    # 6 %, 6 % and 4 % are each below the 10 % of common practice; 1 000 to 850 g is not.
    slow = [
        DatedWeight(days_ago(21), 1000),
        DatedWeight(days_ago(14), 940),
        DatedWeight(days_ago(7), 885),
        DatedWeight(TODAY, 850),
    ]

    assert falls(slow) == ()
    assert alarm(slow).before.grams == 1000


def test_a_weight_of_long_ago_is_not_compared_with() -> None:
    assert alarm([DatedWeight(days_ago(29), 1000), DatedWeight(TODAY, 800)]) is None


def test_an_animal_that_recovered_is_no_alarm_any_more() -> None:
    weighings = [
        DatedWeight(days_ago(9), 900),
        DatedWeight(days_ago(5), 780),
        DatedWeight(TODAY, 880),
    ]

    assert alarm(weighings) is None
    assert [fall.after.grams for fall in falls(weighings)] == [780]


def test_of_one_day_the_weighing_taken_last_counts_and_not_the_heaviest() -> None:
    first_then_again = [
        DatedWeight(days_ago(7), 1000),
        DatedWeight(TODAY, 1000),
        DatedWeight(TODAY, 820),
    ]

    assert alarm(first_then_again).after.grams == 820
    assert make_pig(weighings=tuple(first_then_again)).weighed_by(TODAY).grams == 820


def test_weighed_again_on_the_same_day_it_is_compared_with_the_day_before() -> None:
    # The scales slipped first: a second weighing of the day is no fall from the first.
    slipped = [DatedWeight(days_ago(7), 900), DatedWeight(TODAY, 1010), DatedWeight(TODAY, 890)]

    assert alarm(slipped) is None
    assert falls(slipped) == ()


def test_two_weighings_of_one_day_alone_have_nothing_to_be_compared_with() -> None:
    assert alarm([DatedWeight(TODAY, 1000), DatedWeight(TODAY, 800)]) is None


@pytest.mark.parametrize("weighings", [[], [DatedWeight(TODAY, 800)]])
def test_without_two_weighings_nothing_falls(weighings: list[DatedWeight]) -> None:
    assert alarm(weighings) is None
    assert falls(weighings) == ()


@pytest.mark.parametrize("grams", [0, -5, 29, 2501, 40_000])
def test_a_weight_that_no_guinea_pig_has_is_refused_in_one_sentence(grams: int) -> None:
    assert "30\xa0g to 2\xa0500\xa0g are allowed" in weight_fault(Species.GUINEA_PIG, grams)


@pytest.mark.parametrize("grams", [30, 900, 2500])
def test_the_bounds_of_a_guinea_pigs_weight_are_allowed(grams: int) -> None:
    assert weight_fault(Species.GUINEA_PIG, grams) is None


@pytest.mark.parametrize(("grams", "refused"), [(19, True), (20, False), (12_001, True)])
def test_rabbits_have_bounds_of_their_own(grams: int, refused: bool) -> None:
    assert (weight_fault(Species.RABBIT, grams) is not None) is refused


def test_who_was_never_weighed_is_weighed_today() -> None:
    assert weigh_by(make_pig(), TODAY) == TODAY


def test_the_young_are_weighed_again_after_a_week_and_the_grown_after_four() -> None:
    assert weigh_by(make_pup(30, 300), TODAY) == days_ahead(7)
    assert weigh_by(make_pig(weighings=(DatedWeight(TODAY, 900),)), TODAY) == days_ahead(28)


def test_a_male_pup_near_his_parting_is_weighed_every_day() -> None:
    assert weigh_by(make_pup(14, 180), TODAY) == days_ahead(1)
    sister = replace(make_pup(14, 180), sex=Sex.FEMALE)
    assert weigh_by(sister, TODAY) == days_ahead(7)


# --- Days of a life ---


def test_a_life_as_it_should_be_has_no_fault() -> None:
    animal = make_pig(
        weighings=CROWDER_HAND,
        castration=Castration(TODAY),
        contact=MaleContact(days_ago(9), days_ago(9)),
        gave_birth_on=days_ago(3),
        quarantine=QuarantineSpan(days_ago(20), TODAY),
    )

    assert life_fault(animal, TODAY) is None


@pytest.mark.parametrize(
    ("facts", "field", "words"),
    [
        ({"born": BirthSpan.on(days_ahead(1))}, "born", "in the future"),
        ({"born": BirthSpan(TODAY, days_ago(2))}, "born", "ends before it begins"),
        ({"castration": Castration(days_ago(366))}, "castration", "before its birth"),
        ({"castration": Castration(days_ahead(1))}, "castration", "has not happened yet"),
        ({"weighings": (DatedWeight(days_ago(400), 90),)}, "weighings", "before its birth"),
        ({"gave_birth_on": days_ahead(2)}, "gave_birth_on", "has not happened yet"),
        ({"contact": MaleContact(TODAY, days_ago(1))}, "contact", "ends before it begins"),
        ({"contact": MaleContact(None, days_ahead(1))}, "contact", "has not happened yet"),
        ({"quarantine": QuarantineSpan(TODAY, days_ago(1))}, "quarantine", "ends before it begins"),
        ({"rhd_negative_on": days_ahead(1)}, "rhd_negative_on", "has not happened yet"),
    ],
)
def test_a_day_that_cannot_be_is_named_with_its_field(
    facts: dict[str, object], field: str, words: str
) -> None:
    faults = life_faults(make_pig(**facts), TODAY)

    assert [fault.field for fault in faults] == [field]
    assert words in faults[0].sentence


def test_an_estimated_birth_may_reach_past_today() -> None:
    assert life_fault(make_pig(born=BirthSpan.about(days_ago(1), 3)), TODAY) is None


def test_castrated_on_a_day_on_which_it_may_have_been_born_is_no_fault() -> None:
    guessed = make_pig(
        born=BirthSpan.about(days_ago(300), 30), castration=Castration(days_ago(320))
    )

    assert life_fault(guessed, TODAY) is None
