"""Weights ahead. The guide: Tapie et al., Tropical and Subtropical Agroecosystems, article 5179."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.structure.design import Species
from habitats.welfare.companion import BirthSpan, Companion, DatedWeight
from habitats.welfare.growth import Method, guide_g, weight_ahead
from tests.support.companions import (
    TODAY,
    companions,
    days_ago,
    days_ahead,
    make_pig,
    make_pup,
    make_rabbit,
)


@pytest.mark.parametrize(("age", "grams"), [(28, 362), (56, 618), (84, 902)])
def test_the_guide_gives_the_values_of_its_curve(age: int, grams: int) -> None:
    assert round(guide_g(Species.GUINEA_PIG, age)) == grams


def test_rabbits_have_no_sourced_curve() -> None:
    assert guide_g(Species.RABBIT, 56) is None


def test_the_day_of_a_weighing_has_its_weight() -> None:
    ahead = weight_ahead(make_pup(40, 433), TODAY)

    assert ahead == (433, Method.WEIGHED)
    assert not ahead.upper_guide


def test_an_animal_never_weighed_follows_the_guide() -> None:
    assert weight_ahead(make_pup(28), TODAY) == (362, Method.GUIDE)


def test_an_animal_of_unknown_age_and_weight_has_no_weight_ahead() -> None:
    assert weight_ahead(make_pig(born=None), TODAY) is None


def test_from_four_weeks_on_the_guide_is_scaled_through_the_last_weight() -> None:
    # At 28 d the guide has 362 g; half of it, and so half of the guide's 902 g at 84 d.
    ahead = weight_ahead(make_pup(28, 181), days_ahead(56))

    assert ahead == (451, Method.SCALED)
    assert ahead.upper_guide


def test_a_pup_weighed_younger_gains_what_the_guide_gains() -> None:
    # 100 g at birth, when the guide has 187 g; 362 g at 28 d: 175 g gained.
    assert weight_ahead(make_pup(0, 100), days_ahead(28)) == (275, Method.GAINED)


def test_an_animal_of_unknown_age_grows_from_where_the_guide_has_its_weight() -> None:
    # 362 g is the guide at 28 d; four weeks on it has 618 g.
    unknown = make_pig(born=None, weighings=(DatedWeight(TODAY, 362),))

    grams, method = weight_ahead(unknown, days_ahead(28))

    assert method is Method.MATCHED
    assert grams == pytest.approx(618, abs=1)


def test_a_heavy_animal_of_unknown_age_keeps_its_weight() -> None:
    unknown = make_pig(born=None, weighings=(DatedWeight(TODAY, 1500),))

    assert weight_ahead(unknown, days_ahead(90)).grams == 1500


def test_a_grown_animal_keeps_its_weight_to_the_gram() -> None:
    # So that 700 g exactly does not slip into the class above 700 g by itself.
    grown = make_pig(born=BirthSpan.on(days_ago(700)), weighings=(DatedWeight(TODAY, 700),))

    assert weight_ahead(grown, days_ahead(300)).grams == 700


def test_an_estimated_birth_takes_the_age_that_grows_most() -> None:
    sure = make_pup(56, 500)
    guessed = make_pup(56, 500, born=BirthSpan.about(days_ago(56), 14))

    assert weight_ahead(guessed, days_ahead(30)).grams > weight_ahead(sure, days_ahead(30)).grams


def test_a_rabbit_goes_on_gaining_as_it_did_up_to_its_adult_weight() -> None:
    # 600 g in 20 days: 30 g a day.
    young = make_rabbit(
        weighings=(DatedWeight(days_ago(20), 900), DatedWeight(TODAY, 1500)), adult_weight_g=2400
    )

    assert weight_ahead(young, days_ahead(10)) == (1800, Method.OWN_GAIN)
    assert weight_ahead(young, days_ahead(100)) == (2400, Method.OWN_GAIN)


def test_a_rabbit_weighed_once_counts_as_grown_from_the_next_day() -> None:
    young = make_rabbit(weighings=(DatedWeight(TODAY, 1500),), adult_weight_g=2400)

    assert weight_ahead(young, days_ahead(1)) == (2400, Method.ADULT)


def test_a_rabbit_without_an_adult_weight_has_no_forecast() -> None:
    young = make_rabbit(weighings=(DatedWeight(TODAY, 1500),))

    ahead = weight_ahead(young, days_ahead(60))

    assert ahead == (1500, Method.KEPT)
    assert not ahead.upper_guide


@given(companions("a"), st.integers(0, 200))
def test_weights_ahead_never_fall(animal: Companion, days: int) -> None:
    day = TODAY + timedelta(days=days)
    now, later = weight_ahead(animal, day), weight_ahead(animal, day + timedelta(days=1))

    assert (now is None) == (later is None)
    assert now is None or now.grams <= later.grams


@given(companions("a"), st.integers(0, 300))
def test_a_weight_ahead_is_no_less_than_the_last_weighing(animal: Companion, days: int) -> None:
    last = animal.weighed_by(TODAY)

    assert last is None or weight_ahead(animal, days_ahead(days)).grams >= last.grams
