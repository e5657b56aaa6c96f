"""Likely slips of a digit between the scales and the page, and what is none.

The kinds of slip are those of Damerau, "A technique for computer detection and correction of
spelling errors", Communications of the ACM 7 (1964): one sign left out, one too many, one wrong,
two neighbours exchanged (from memory).
"""

import pytest

from habitats.structure.design import Species
from habitats.welfare.companion import BirthSpan, Companion, DatedWeight, MaleContact
from habitats.welfare.growth import guide_g
from habitats.welfare.slips import likely_slip
from tests.support.companions import TODAY, days_ago, make_pig, make_pup, make_rabbit


def grown(grams: int, days: int = 7, **facts: object) -> Companion:
    return make_pig(weighings=(DatedWeight(days_ago(days), grams),), **facts)


@pytest.mark.parametrize(
    ("before", "typed"),
    [
        (1150, 115),  # one left out
        (1150, 150),
        (1002, 102),
        (1150, 1510),  # neighbours exchanged
        (912, 192),
        (870, 780),  # exchanged too, and a fall that would send to a vet
        (1150, 2150),  # one wrong
        (980, 480),
        (98, 980),  # one too many, for an animal that does not grow any more
    ],
)
def test_a_digit_that_went_wrong_is_asked_about(before: int, typed: int) -> None:
    slip = likely_slip(grown(before), DatedWeight(TODAY, typed))

    assert slip is not None
    assert (slip.before.grams, slip.now.grams) == (before, typed)


def test_one_digit_too_many_is_asked_about_where_the_species_may_weigh_that() -> None:
    rabbit = make_rabbit(weighings=(DatedWeight(days_ago(7), 1150),))

    assert likely_slip(rabbit, DatedWeight(TODAY, 11_500)) is not None


def test_the_question_names_both_figures_and_both_days() -> None:
    slip = likely_slip(grown(1150), DatedWeight(TODAY, 115))

    assert "115\xa0g" in slip.question
    assert "1\xa0150\xa0g on 22\xa0February 2026" in slip.question


@pytest.mark.parametrize(
    ("before", "typed"),
    [
        (504, 436),  # Crowder and Hand 1990, animal 1, study weeks 5 and 6: a real fall
        (1150, 1105),  # digits exchanged, and as likely a real change
        (900, 780),
        (900, 1010),
        (1000, 720),  # a grave fall, and no question stands between it and the vet
    ],
)
def test_a_change_that_animals_go_through_is_not_asked_about(before: int, typed: int) -> None:
    assert likely_slip(grown(before), DatedWeight(TODAY, typed)) is None


def test_what_no_slip_of_one_digit_explains_is_not_asked_about() -> None:
    # A fall by more than a third that no digit left out, added, exchanged or wrong makes.
    assert likely_slip(grown(1200), DatedWeight(TODAY, 690)) is None


def test_who_was_never_weighed_is_not_asked_about() -> None:
    assert likely_slip(make_pig(), DatedWeight(TODAY, 115)) is None


@pytest.mark.parametrize("every", [1, 7, 28, 91])
def test_a_pup_that_grows_along_the_guide_is_never_taken_for_a_slip(every: int) -> None:
    # Tapie et al., as in habitats/welfare/growth.py; pets grow more slowly than these.
    for age in range(every, 366, every):
        then, now = (round(guide_g(Species.GUINEA_PIG, day)) for day in (age - every, age))
        born = BirthSpan.on(days_ago(age))
        pup = make_pup(age, born=born, weighings=(DatedWeight(days_ago(every), then),))

        assert likely_slip(pup, DatedWeight(TODAY, now)) is None, (age, then, now)


def test_a_light_pup_that_catches_up_is_not_taken_for_a_slip() -> None:
    # 60 g at birth and 260 g at four weeks. Common practice, no source.
    pup = make_pup(28, weighings=(DatedWeight(days_ago(28), 60),))

    assert likely_slip(pup, DatedWeight(TODAY, 260)) is None


def test_a_pup_with_a_digit_too_many_is_asked_about() -> None:
    pup = make_pup(21, weighings=(DatedWeight(days_ago(7), 180),))

    assert likely_slip(pup, DatedWeight(TODAY, 2100)) is not None


def test_a_growing_rabbit_is_not_taken_for_a_slip() -> None:
    # A kit of a large breed: 80 g at birth, 1 000 g at four weeks. Common practice, no source.
    kit = make_rabbit(born=BirthSpan.on(days_ago(28)), weighings=(DatedWeight(days_ago(28), 80),))

    assert likely_slip(kit, DatedWeight(TODAY, 1000)) is None


def test_a_sow_that_carried_and_bore_a_litter_is_not_taken_for_a_slip() -> None:
    carrying = grown(900, 28, contact=MaleContact(days_ago(60), days_ago(50)))
    assert likely_slip(carrying, DatedWeight(TODAY, 1400)) is None

    bore = grown(1400, 3, gave_birth_on=days_ago(1))
    assert likely_slip(bore, DatedWeight(TODAY, 900)) is None


def test_it_is_compared_with_the_day_before_and_with_the_same_day_only_where_there_is_no_other():
    again = make_pig(weighings=(DatedWeight(days_ago(7), 1150), DatedWeight(TODAY, 115)))
    assert likely_slip(again, DatedWeight(TODAY, 1150)) is None

    at_first = make_pig(weighings=(DatedWeight(TODAY, 1150),))
    assert likely_slip(at_first, DatedWeight(TODAY, 115)) is not None


def test_a_weighing_of_an_earlier_day_is_not_compared_with_later_ones() -> None:
    assert likely_slip(grown(1150, 7), DatedWeight(days_ago(300), 115)) is None
