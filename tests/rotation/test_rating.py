"""Ratings: kilograms of dry cotton, Regulation (EU) 1061/2010, Article 2(8); less of synthetics."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.rotation.cloth import mass_g
from habitats.rotation.goods import FLEECE, GOODS, TERRY
from habitats.rotation.rating import (
    RATING_SOURCE,
    SYNTHETIC_SOURCE,
    DrumLinen,
    cotton_g,
    load_g,
    overload,
)
from habitats.source import Known

TOWEL = DrumLinen(490)
FLEECE_LINER = DrumLinen(588, is_synthetic=True)

weighed = st.builds(DrumLinen, st.integers(1, 3000), st.booleans())


def test_16_terry_towels_go_into_8_kg_and_17_do_not():
    # Worked value: 16 × 490 g = 7.84 kg; 17 are 8.33 kg.
    assert overload([TOWEL] * 16, 8000) is None
    assert overload([TOWEL] * 17, 8000) is not None


def test_what_is_just_as_heavy_as_the_rating_goes_in():
    assert overload([DrumLinen(4000), DrumLinen(4000)], 8000) is None
    assert overload([DrumLinen(4000), DrumLinen(4001)], 8000) is not None


def test_at_a_share_of_a_half_synthetics_count_double():
    assert cotton_g(FLEECE_LINER, 50) == 1176
    assert overload([FLEECE_LINER] * 6, 8000, 50) is None
    assert overload([FLEECE_LINER] * 7, 8000, 50) is not None


def test_a_mixed_load_is_held_against_one_rating():
    # 8 × 490 g of cotton are 3.92 kg; 3 × 588 g of fleece at 50 % count as 3.528 kg.
    mixed = [TOWEL] * 8 + [FLEECE_LINER] * 3

    assert load_g(mixed, 50) == 3920 + 3528
    assert overload(mixed, 7448, 50) is None
    assert overload(mixed, 7447, 50) is not None


@given(st.lists(weighed), st.integers(10, 100))
def test_no_linen_counts_for_less_than_it_weighs_or_for_too_little_cotton(linens, percent):
    counted = load_g(linens, percent)

    assert counted >= sum(one.grams for one in linens)
    share = sum(one.grams if one.is_synthetic else 0 for one in linens)
    cotton = sum(0 if one.is_synthetic else one.grams for one in linens)
    assert 0 <= (counted - cotton) * percent - share * 100 < percent * max(1, len(linens))


def test_what_is_too_much_is_told_with_what_to_take_out():
    sentence = overload([TOWEL] * 17, 8000).replace("\N{NO-BREAK SPACE}", " ")

    assert sentence == (
        "This load counts as 8.33 kg of dry cotton; the machine is rated for 8 kg. "
        "Take out 0.33 kg: nothing gets clean in a drum that is too full."
    )


@pytest.mark.parametrize("percent", [-1, 0, 9, 101])
def test_a_share_that_is_none_is_refused(percent):
    with pytest.raises(ValueError, match="10 to 100 %"):
        cotton_g(FLEECE_LINER, percent)


def test_the_share_of_synthetics_is_marked_as_from_memory():
    assert RATING_SOURCE.known is Known.PRIMARY
    assert SYNTHETIC_SOURCE.known is Known.MEMORY
    assert "manual" in SYNTHETIC_SOURCE.text


def test_what_goods_shrink_by_is_marked_as_from_memory_until_it_is_measured():
    assert all(one.shrinkage_source.known is Known.MEMORY for one in GOODS)
    assert all(one.shrinkage.pieces == 0 for one in GOODS)


def test_the_usual_terry_is_that_of_the_worked_values():
    assert mass_g(700, 1400, 1, TERRY.grams_per_m2) == 490
    assert not TERRY.is_synthetic
    assert FLEECE.is_synthetic
