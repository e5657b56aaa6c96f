"""Cloth: cut sizes, dimensional change as ISO 5077 gives it, mass; by the worked values."""

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from habitats.rotation.cloth import (
    EXPECTED,
    LEAST_SHRINKAGE,
    MOST_SHRINKAGE,
    BadMeasure,
    Measurement,
    Shrinkage,
    change_words,
    cut_mm,
    cut_size,
    dimensional_change,
    mass_g,
    measure_fault,
    oversize_by,
    shrinkage_from,
)

shrinkages = st.integers(LEAST_SHRINKAGE, MOST_SHRINKAGE)
lengths = st.integers(50, 10_000)


def left_of(cut_mm: int, shrinkage: int) -> Fraction:
    """By the definition of shrinkage, in exact numbers."""
    return cut_mm * (1 - Fraction(shrinkage, 1000))


def one_piece(before: tuple[int, int], after: tuple[int, int]) -> Measurement:
    return Measurement(before, after)


# --- Cutting ---


def test_to_finish_1400_mm_at_5_percent_1474_mm_are_cut():
    # Worked value: 1 400 / 0.95 = 1 473.7.
    assert cut_size((700, 1400), Shrinkage(width=0, length=50)) == (700, 1474)


def test_where_nothing_is_known_5_percent_are_reckoned_with():
    assert cut_size((700, 1400)) == cut_size((700, 1400), EXPECTED) == (737, 1474)


@given(lengths, shrinkages)
def test_after_shrinking_at_least_the_finished_size_is_left_and_not_a_millimetre_is_wasted(
    finished, shrinkage
):
    cut = cut_mm(finished, shrinkage)

    assert left_of(cut, shrinkage) >= finished
    assert left_of(cut - 1, shrinkage) < finished


def test_cloth_that_grows_is_cut_smaller():
    # 1 000 / 1.02 = 980.4.
    assert cut_mm(1000, -20) == 981


@pytest.mark.parametrize("shrinkage", [LEAST_SHRINKAGE - 1, MOST_SHRINKAGE + 1, 1000, 2000])
def test_a_shrinkage_that_no_goods_have_is_refused(shrinkage):
    with pytest.raises(BadMeasure, match=r"Allowed are −30\.0.% to \+10\.0.%"):
        cut_mm(1000, shrinkage)


def test_a_new_linen_is_oversize_by_what_it_will_lose():
    assert oversize_by((700, 1400), (737, 1474)) == (37, 74)


# --- Measuring ---


@pytest.mark.parametrize(
    ("before", "after", "change"),
    [
        (1474, 1400, -50),  # −74 / 1 474 = −5.02 %
        (500, 475, -50),
        (500, 505, 10),
        (350, 350, 0),
        (2000, 1999, -1),  # −0.05 %: halves away from 0
        (2000, 2001, 1),
        (2001, 2000, 0),  # −0.04998 %
    ],
)
def test_dimensional_change_is_a_percentage_of_the_length_before(before, after, change):
    # ISO 5077: (after − before) / before × 100.
    assert dimensional_change(before, after) == change


@pytest.mark.parametrize(
    ("change", "words"), [(-50, "−5.0 %"), (12, "+1.2 %"), (0, "0.0 %"), (-3, "−0.3 %")]
)
def test_a_change_is_told_with_its_sign(change, words):
    assert change_words(change).replace("\N{NO-BREAK SPACE}", " ") == words


def test_length_and_width_shrink_each_by_their_own_mean():
    pieces = [one_piece((500, 500), (490, 475)), one_piece((500, 500), (480, 465))]

    # Width 2 % and 4 %, length 5 % and 7 %.
    assert shrinkage_from(pieces) == Shrinkage(width=30, length=60, pieces=2)


def test_the_mean_is_of_the_pieces_and_not_of_their_millimetres():
    # ISO 5077 averages specimens: 10 % of a short piece and 0 % of a long one are 5 %.
    pieces = [one_piece((500, 100), (500, 90)), one_piece((500, 2000), (500, 2000))]

    assert shrinkage_from(pieces).length == 50


def test_cloth_that_grew_has_a_shrinkage_below_0():
    assert shrinkage_from([one_piece((500, 500), (505, 500))]).width == -10


@given(lengths, shrinkages, lengths)
def test_cloth_that_shrinks_as_the_measured_piece_did_comes_out_large_enough(
    before, shrinkage, finished
):
    after = int(before * (1 - Fraction(shrinkage, 1000)))
    assume(measure_fault(before, after) is None)
    measured = shrinkage_from([one_piece((before, before), (after, after))])
    assume(measured.length <= MOST_SHRINKAGE)

    cut = cut_mm(finished, measured.length)

    assert cut * Fraction(after, before) >= finished


@pytest.mark.parametrize(
    ("pieces", "words"),
    [
        (0, "typical of such cloth, not measured: measure your own"),
        (1, "1 measured; 3 tell more (ISO 5077)"),
        (3, "mean of 3 measured (ISO 5077)"),
    ],
)
def test_it_is_said_of_how_many_pieces_a_shrinkage_is_known(pieces, words):
    # ISO 5077:2007, 6.2: three specimens where possible, one or two may be used.
    assert Shrinkage(50, 50, pieces).basis == words


@pytest.mark.parametrize(
    ("before", "after", "said"),
    [
        (1400, 700, "A change of −50.0\u00a0% is more than cloth for linens shows in a wash"),
        (700, 1400, "A change of +100.0\u00a0%"),
        (0, 700, "0\u00a0mm is not a length of cloth"),
        (700, -3, "-3\u00a0mm is not a length of cloth"),
    ],
)
def test_what_no_cloth_measures_is_told_in_a_sentence(before, after, said):
    assert measure_fault(before, after).startswith(said)
    with pytest.raises(BadMeasure):
        shrinkage_from([one_piece((500, before), (500, after))])


@pytest.mark.parametrize(("before", "after"), [(1000, 700), (1000, 1100), (1000, 1000)])
def test_what_is_just_within_bounds_is_taken(before, after):
    assert measure_fault(before, after) is None


def test_a_shrinkage_needs_a_piece():
    with pytest.raises(BadMeasure, match="Measure at least one"):
        shrinkage_from([])


# --- Mass ---


def test_a_terry_towel_of_700_by_1400_mm_weighs_490_g():
    # Worked value: 500 g/m².
    assert mass_g(700, 1400, 1, 500) == 490


def test_two_layers_of_fleece_of_700_by_1400_mm_weigh_588_g():
    # Worked value: 300 g/m² a layer.
    assert mass_g(700, 1400, 2, 300) == 588


def test_no_linen_weighs_nothing():
    assert mass_g(50, 50, 1, 20) == 1
