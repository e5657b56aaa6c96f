"""Labels: their check mark against python-stdnum's ISO 7064, and every slip of a hand.

ISO/IEC 7064's pure systems catch all single errors and all exchanges of neighbours where the
modulus is a prime no smaller than the number of marks; ours is one with modulus 23, radix 2.
"""

import doctest
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2

from habitats.rotation import labels
from habitats.rotation.labels import (
    BODY_LENGTH,
    LABEL_LENGTH,
    LABEL_MARKS,
    NotALabel,
    made_label,
    read_label,
    shown,
)

SAMPLES = [made_label(body) for body in ("2222", "K3F7", "XXXX", "QX9M", "2X2X")]

bodies = st.text(LABEL_MARKS, min_size=BODY_LENGTH, max_size=BODY_LENGTH)


def fault_of(text):
    """The sentence with which it is refused; empty for a label."""
    try:
        read_label(text)
    except NotALabel as fault:
        return str(fault)
    return ""


def is_refused(text):
    return bool(fault_of(text))


@given(bodies)
def test_the_check_mark_is_that_of_iso_7064_with_as_many_marks(body):
    # python-stdnum: its MOD 37-2 is MOD 23-2 with an alphabet of 23 marks.
    assert made_label(body)[-1] == mod_37_2.calc_check_digit(body, alphabet=LABEL_MARKS)


@given(st.text(LABEL_MARKS, min_size=LABEL_LENGTH, max_size=LABEL_LENGTH))
def test_five_marks_are_a_label_just_when_iso_7064_says_so(marks):
    assert is_refused(marks) is not mod_37_2.is_valid(marks, alphabet=LABEL_MARKS)


@pytest.mark.parametrize("label", SAMPLES)
def test_every_mark_that_is_mistyped_is_caught(label):
    slips = [
        label[:at] + mark + label[at + 1 :]
        for at in range(LABEL_LENGTH)
        for mark in LABEL_MARKS
        if mark != label[at]
    ]

    assert len(slips) == 5 * 22
    assert all(map(is_refused, slips))


@given(bodies, st.integers(0, LABEL_LENGTH - 1), st.sampled_from(LABEL_MARKS))
def test_a_mistyped_mark_is_caught_in_any_label(body, at, mark):
    label = made_label(body)
    typed = label[:at] + mark + label[at + 1 :]

    assert is_refused(typed) is (typed != label)


def test_every_two_neighbours_that_are_exchanged_are_caught():
    # All pairs of marks, at all places: the rest of the label does not matter to a sum.
    for one in LABEL_MARKS:
        for other in set(LABEL_MARKS) - {one}:
            for body in (one + other + "22", "2" + one + other + "2", "22" + one + other):
                label = made_label(body)
                for at, (left, right) in enumerate(pairwise(label)):
                    typed = label[:at] + right + left + label[at + 2 :]
                    assert is_refused(typed) is (left != right), typed


@pytest.mark.parametrize("label", SAMPLES)
def test_a_mark_too_few_or_too_many_is_caught(label):
    fewer = [label[:at] + label[at + 1 :] for at in range(LABEL_LENGTH)]
    more = [label[:at] + mark + label[at:] for at in range(LABEL_LENGTH) for mark in LABEL_MARKS]

    assert all(map(is_refused, fewer + more))


def test_no_label_spells_a_word_or_holds_two_marks_that_look_alike():
    assert not set("AEIOUY") & set(LABEL_MARKS)
    for alike in ("8B", "6G", "5S", "2Z", "VU", "0OD", "1IL"):
        assert len(set(alike) & set(LABEL_MARKS)) <= 1


@pytest.mark.parametrize(
    "typed", ["k3f7h", "K3F7-H", " k3f7 h ", "K3-F7-H", "K3F7\N{NON-BREAKING HYPHEN}H"]
)
def test_lower_case_spaces_and_hyphens_are_forgiven(typed):
    assert read_label(typed) == made_label("K3F7")


def test_a_mark_that_looks_like_just_one_of_ours_is_read_as_it():
    assert read_label(made_label("8652").translate(str.maketrans("8652", "bgsz"))) == made_label(
        "8652"
    )


@given(bodies)
def test_a_label_is_read_as_it_is_shown(body):
    assert read_label(shown(made_label(body))) == made_label(body)


@given(st.text())
def test_whatever_is_typed_is_read_or_refused_with_one_sentence(text):
    if fault := fault_of(text):
        assert fault.endswith(".")
        assert len(fault) < 200
    else:
        assert mod_37_2.is_valid(read_label(text), alphabet=LABEL_MARKS)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "No label was entered. Type its 5 characters, as in K3F7-H."),
        (
            "K3F",
            "“K3F” has 3 characters; a label has 5, as in K3F7-H. Read it again and type all of "
            "them.",
        ),
        (
            "k3f7-k",
            "“k3f7-k” looks mistyped: its last character does not fit the others. Read it again, "
            "one by one.",
        ),
        ("K3F0-H", "“K3F0-H” looks mistyped: no label has “0” in it. Check whether it is D or Q."),
        ("K3E7-H", "“K3E7-H” looks mistyped: no label has “E” in it. Read the label again."),
    ],
)
def test_what_is_no_label_is_told_in_a_sentence(typed, sentence):
    with pytest.raises(NotALabel) as refused:
        read_label(typed)

    assert str(refused.value) == sentence


@pytest.mark.parametrize("body", ["", "K3F", "K3F77", "K3FA", "k3f7"])
def test_no_label_is_made_of_other_marks(body):
    with pytest.raises(ValueError, match="is not 4 of the marks"):
        made_label(body)


def test_the_example_runs():
    assert doctest.testmod(labels).failed == 0
