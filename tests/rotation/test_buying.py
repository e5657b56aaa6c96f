"""Cloth to buy, against the worked values of the references and a count by hand."""

from hypothesis import given
from hypothesis import strategies as st

from habitats.rotation.buying import Cutting, cloth_for


def test_terry_of_one_layer_weighs_what_was_worked_out():
    """Reference values: terry 700 x 1 400 mm at 500 g/m² is 490 g."""
    assert cloth_for(1, Cutting((700, 1400), 1), 500, 1500).grams == 490


def test_two_layers_of_fleece_weigh_what_was_worked_out():
    """Reference values: two layers of 300 g/m² fleece 700 x 1 400 mm weigh 588 g."""
    assert cloth_for(1, Cutting((700, 1400), 2), 300, 1500).grams == 588


def test_pieces_lie_beside_each_other_across_the_roll():
    # Two of 700 mm go into 1 500 mm: five pieces take three rows.
    assert cloth_for(5, Cutting((700, 1400), 1), 300, 1500).running_mm == 3 * 1400


def test_both_layers_of_a_liner_are_cut():
    assert cloth_for(2, Cutting((700, 1400), 2), 300, 1500).running_mm == 2 * 1400


def test_a_piece_wider_than_the_roll_is_not_cut_from_it():
    found = cloth_for(2, Cutting((1600, 900), 1), 300, 1500)

    assert found.running_mm is None
    assert found.grams > 0


@given(st.integers(1, 200), st.integers(50, 1500), st.integers(50, 3000), st.integers(1, 4))
def test_a_roll_is_never_shorter_than_what_is_cut_from_it(number, width, length, sheets):
    found = cloth_for(number, Cutting((width, length), sheets), 300, 1500)

    assert found.running_mm is not None
    assert found.running_mm * 1500 >= number * sheets * width * length
    assert found.running_mm - length < number * sheets * length
