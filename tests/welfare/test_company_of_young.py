"""Who may live with young, and with what may yet be born. Figures: guidance, beside each check."""

import pytest

from habitats.welfare.companion import (
    BirthSpan,
    Castration,
    DatedWeight,
    MaleContact,
)
from habitats.welfare.company import company
from habitats.welfare.objection import OverrideTerms, Severity
from tests.support.companions import (
    TODAY,
    days_ago,
    days_ahead,
    make_boar,
    make_buck,
    make_pig,
    make_pup,
    make_rabbit,
)
from tests.support.company import blocked, castrated_days_ago, codes, the

# --- Pups: 21 days or 250 g, whichever comes first (guidance for keepers, second-hand) ---


def test_a_male_pup_of_20_days_and_240_g_stays_with_its_mother_with_a_warning() -> None:
    objection = the("young_male", make_pup(20, 240), make_pig())

    assert objection.severity is Severity.WARNING
    assert objection.override is OverrideTerms.REASON
    assert (objection.changes_on, objection.becomes) == (days_ahead(1), Severity.BLOCK)
    assert not blocked(make_pup(20, 240), make_pig())


@pytest.mark.parametrize(("age", "weight"), [(21, 240), (20, 250)])
def test_a_male_pup_of_21_days_or_250_g_is_blocked(age: int, weight: int) -> None:
    objection = the("entire_male", make_pup(age, weight), make_pig())

    assert objection.severity is Severity.BLOCK
    assert objection.changes_on is None


def test_a_pup_near_250_g_is_blocked_from_the_day_on_which_it_may_reach_them() -> None:
    # Guide of Tapie et al.: 276, 283 and 289 g at 16 to 18 d, so 240 g may be 247 and 253 g.
    assert the("young_male", make_pup(16, 240), make_pig()).changes_on == days_ahead(2)


def test_a_spaying_to_come_ends_the_block() -> None:
    spayed = make_pig(castration=Castration(days_ahead(9)))

    assert the("entire_male", make_boar(), spayed).changes_on == days_ahead(9)


def test_a_castrated_male_is_kept_from_a_birth_that_begins_within_his_wait() -> None:
    # Shortest gestation 59 days: from the third day from now she may give birth.
    due = make_pig(contact=MaleContact(days_ago(56), days_ago(50)))

    assert "birth_with_male" not in codes(castrated_days_ago(1), due, today=days_ahead(2))
    assert "birth_with_male" in codes(castrated_days_ago(1), due, today=days_ahead(3))


def test_a_pup_once_at_250_g_stays_blocked_when_it_weighs_less_again() -> None:
    weighings = (DatedWeight(days_ago(2), 252), DatedWeight(TODAY, 244))

    assert blocked(make_pup(18, weighings=weighings), make_pig())


def test_a_weaned_pup_that_was_never_weighed_is_warned_of_until_age_alone_decides() -> None:
    warned = the("young_male", make_pup(14), make_pig())

    assert warned.severity is Severity.WARNING
    assert "He was never weighed: weigh him now" in warned.sentence
    assert (warned.changes_on, warned.becomes) == (days_ahead(7), Severity.BLOCK)
    assert "entire_male" in codes(make_pup(21), make_pig())


def test_a_pup_weighed_some_days_ago_counts_with_the_gain_of_the_upper_guide() -> None:
    # Guide of Tapie et al.: 283 g at 17 d, 303 g at 20 d, so 20 g more; 232 g may be 252 g.
    old_news = make_pup(20, weighings=(DatedWeight(days_ago(3), 232),))

    assert "weigh him again" in the("entire_male", old_news, make_pig()).sentence


def test_a_pup_of_a_few_days_needs_no_warning() -> None:
    assert codes(make_pup(5, 120), make_pig()) == set()


def test_an_estimated_birth_takes_the_oldest_age_for_leaving() -> None:
    guessed = make_pup(18, 200, born=BirthSpan.about(days_ago(18), 3))

    assert "may be 21 days old" in the("entire_male", guessed, make_pig()).sentence


def test_a_male_without_a_birth_date_counts_as_grown() -> None:
    unknown = make_boar(born=None, weighings=(DatedWeight(TODAY, 180),))

    assert "birth is not recorded" in the("entire_male", unknown, make_pig()).sentence


def test_pups_before_14_days_are_not_parted_from_their_mother() -> None:
    objection = the("without_mother", make_pup(13, 150), make_boar("uncle"))

    assert objection.severity is Severity.WARNING
    assert objection.changes_on == days_ahead(1)
    assert "without_mother" not in codes(make_pup(14, 150), make_boar("uncle"))
    assert "without_mother" not in codes(make_pup(13, 150), make_pig())


def test_an_estimated_birth_takes_the_youngest_age_for_weaning() -> None:
    guessed = make_pup(16, 150, born=BirthSpan.about(days_ago(16), 3))

    assert "without_mother" in codes(guessed, make_boar("uncle"))


# --- Rabbits: entire males apart from 10 weeks (worked out in the guidance) ---


def test_a_buck_leaves_does_at_ten_weeks() -> None:
    def kit(days: int) -> object:
        return make_buck(born=BirthSpan.on(days_ago(days)))

    assert codes(kit(55), make_rabbit()) == set()
    assert codes(kit(69), make_rabbit()) == {"young_male"}
    assert codes(kit(70), make_rabbit()) == {"entire_male"}


# --- Possible litters: 72 days after last contact; rabbits 32 (longest gestation) ---


def test_a_litter_is_possible_72_days_after_contact_and_not_on_the_73rd() -> None:
    def sow(days: int) -> object:
        return make_pig(contact=MaleContact(None, days_ago(days)))

    assert the("possible_litter", sow(72), make_pig("nut")).changes_on == days_ahead(1)
    assert codes(sow(73), make_pig("nut")) == set()


def test_a_doe_may_litter_until_32_days_after_contact() -> None:
    assert "possible_litter" in codes(make_rabbit(contact=MaleContact(None, days_ago(32))))
    assert "possible_litter" not in codes(make_rabbit(contact=MaleContact(None, days_ago(33))))


def test_a_birth_after_the_last_contact_ends_the_possible_litter() -> None:
    delivered = make_pig(contact=MaleContact(None, days_ago(10)), gave_birth_on=days_ago(5))

    assert company([delivered, make_pig("nut")], TODAY) == ()


def test_a_birth_on_the_day_of_contact_does_not_end_it() -> None:
    again = make_pig(contact=MaleContact(None, days_ago(5)), gave_birth_on=days_ago(5))

    assert "possible_litter" in codes(again, make_pig("nut"))


def test_contact_that_goes_on_has_no_end() -> None:
    objection = the(
        "possible_litter", make_pig(contact=MaleContact(days_ago(9), None)), make_pig("n")
    )

    assert objection.changes_on is None


def test_no_male_that_can_sire_is_near_a_birth() -> None:
    just_born = make_pig(gave_birth_on=TODAY)

    assert "birth_with_male" in codes(make_boar(), just_born)
    assert the("birth_with_male", make_boar(), just_born).changes_on == days_ahead(2)
    assert "birth_with_male" in codes(castrated_days_ago(10), just_born)
    assert "birth_with_male" not in codes(castrated_days_ago(60), just_born)


def test_a_male_that_stayed_is_kept_from_the_next_birth_too() -> None:
    with_him = make_pig(gave_birth_on=TODAY, contact=MaleContact(None, None))

    assert "birth_with_male" in codes(make_boar(), with_him)
    assert "birth_with_male" not in codes(make_boar(), with_him, today=days_ahead(2))
    # The shortest gestation is 59 days (second-hand), and she conceived at once.
    assert "birth_with_male" not in codes(make_boar(), with_him, today=days_ahead(58))
    assert "birth_with_male" in codes(make_boar(), with_him, today=days_ahead(59))
