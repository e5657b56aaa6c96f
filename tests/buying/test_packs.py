"""The cheapest packs, against an integer program solved by HiGHS and against trying all."""

import time
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.buying import Choice, Pack, cheapest, check_choice


def by_trying(need: int, packs: list[Pack]) -> tuple[int, int, int] | None:
    """(cents, left over, packs) of the best choice; None where the need cannot be covered."""
    most = [
        min(-(-need // pack.count), need if pack.at_most is None else pack.at_most)
        for pack in packs
    ]
    found = []
    for numbers in product(*(range(one + 1) for one in most)):
        total = sum(n * pack.count for n, pack in zip(numbers, packs, strict=True))
        if total >= need:
            cents = sum(n * pack.cents for n, pack in zip(numbers, packs, strict=True))
            found.append((cents, total - need, sum(numbers)))
    return min(found, default=None)


def by_highs(need: int, packs: list[Pack]) -> float:
    """The least cents, from an integer program."""
    import highspy

    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    model.setOptionValue("threads", 1)  # as the engine: one process has one scheduler
    model.setOptionValue("mip_rel_gap", 0.0)
    upper = [highspy.kHighsInf if one.at_most is None else one.at_most for one in packs]
    numbers = [
        model.addIntegral(lb=0, ub=top, obj=one.cents)
        for one, top in zip(packs, upper, strict=True)
    ]
    model.addConstr(sum(n * one.count for n, one in zip(numbers, packs, strict=True)) >= need)
    model.run()
    assert model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return model.getInfo().objective_function_value


def offer(most_count: int, most_cents: int, most_packs: int, limits: bool = True):
    limit = st.none() | st.integers(0, 6) if limits else st.none()
    one = st.tuples(st.integers(1, most_count), st.integers(0, most_cents), limit)
    return st.lists(one, min_size=1, max_size=most_packs).map(
        lambda rows: [Pack(number, *row) for number, row in enumerate(rows)]
    )


@settings(max_examples=300)
@given(st.integers(0, 14), offer(9, 12, 3))
def test_the_choice_is_the_best_of_all_in_price_left_over_and_number(need, packs):
    choice = cheapest(need, packs)

    assert check_choice(need, packs, choice) == []
    best = by_trying(need, packs)
    if best is None:
        assert choice.missing > 0
    else:
        assert (choice.cents, choice.over, sum(choice.packs.values())) == best


@settings(max_examples=60)
@given(st.integers(1, 100_000), offer(600, 90_000, 7))
def test_no_integer_program_finds_a_lower_price(need, packs):
    choice = cheapest(need, packs)

    assert check_choice(need, packs, choice) == []
    if not choice.missing:
        assert choice.cents == pytest.approx(by_highs(need, packs), abs=0.5)


@settings(max_examples=40)
@given(st.integers(100, 400), offer(6, 30, 3, limits=False))
def test_large_needs_of_small_packs_are_filled_as_by_a_plain_table(need, packs):
    """What is taken beforehand loses nothing: a table over the whole need says the same."""
    best = [(0, 0)] + [(10**9, 10**9)] * (need + 6)
    for total in range(1, len(best)):
        best[total] = min(
            (
                (best[total - one.count][0] + one.cents, best[total - one.count][1] + 1)
                for one in packs
                if one.count <= total
            ),
            default=best[total],
        )
    cents, over, number = min(
        (cents, total - need, number) for total, (cents, number) in enumerate(best) if total >= need
    )

    choice = cheapest(need, packs)

    assert (choice.cents, choice.over, sum(choice.packs.values())) == (cents, over, number)


def test_a_dozen_is_dearer_than_the_large_pack_that_leaves_some_over():
    twelve, fifty = Pack(1, 12, 2400), Pack(2, 50, 7900)

    assert cheapest(40, [twelve, fifty]) == Choice({2: 1}, 50, 7900, 10)
    assert cheapest(30, [twelve, fifty]) == Choice({1: 3}, 36, 7200, 6)


def test_of_two_choices_at_one_price_less_is_left_over_and_then_fewer_packs_are_carried():
    assert cheapest(10, [Pack(1, 12, 500), Pack(2, 11, 500)]).packs == {2: 1}
    assert cheapest(10, [Pack(1, 5, 250), Pack(2, 10, 500)]).packs == {2: 1}


def test_what_cannot_be_had_is_told_and_all_else_is_taken():
    packs = [Pack(1, 10, 100, at_most=2), Pack(2, 1, 50, at_most=3)]

    choice = cheapest(30, packs)

    assert choice == Choice({1: 2, 2: 3}, 23, 350, 0, 7)
    assert cheapest(4, []) == Choice(missing=4)


@pytest.mark.parametrize(
    "packs",
    [
        [Pack(1, 99_991, 4_990_000), Pack(2, 49_999, 2_500_000), Pack(3, 7, 400), Pack(4, 1, 60)],
        [Pack(n, 1 + n * n % 997, 100 + n * n % 997 * 49) for n in range(1, 25)],
        [Pack(n, 2**n, 3 * 2**n + 1, at_most=n + 1) for n in range(17)],
        [Pack(1, 1, 10**8), Pack(2, 2, 10**8 - 1, at_most=9)],
    ],
)
def test_a_need_of_a_hundred_thousand_takes_no_seconds(packs):
    began = time.process_time()

    choice = cheapest(100_000, packs)

    assert check_choice(100_000, packs, choice) == []
    assert choice.cents == pytest.approx(by_highs(100_000, packs), abs=0.5)
    assert time.process_time() - began < 2


@pytest.mark.parametrize(
    ("need", "packs", "words"),
    [
        (-1, [], "A need of -1 given; allowed is 0 to 100000"),
        (100_001, [], "A need of 100001 given"),
        (1, [Pack(1, 0, 5)], "A pack of 0 for 5 cents given"),
        (1, [Pack(1, 1, -5)], "A pack of 1 for -5 cents given"),
        (1, [Pack(1, 1, 5, -2)], "At most -2 packs given"),
        (1, [Pack(1, 1, 5), Pack(1, 2, 5)], "offered twice"),
    ],
)
def test_what_cannot_be_an_offer_is_refused(need, packs, words):
    with pytest.raises(ValueError, match=words):
        cheapest(need, packs)


@pytest.mark.parametrize(
    ("broken", "fault"),
    [
        (Choice({9: 1}, 12, 100, 2), "never offered"),
        (Choice({1: 1, 2: 0}, 12, 100, 2), "0 of pack 2"),
        (Choice({2: 4}, 12, 120, 2), "of which 3 can be had"),
        (Choice({1: 1}, 13, 100, 3), "12 pieces, told as 13"),
        (Choice({1: 1}, 12, 99, 2), "100 cents, told as 99"),
        (Choice({1: 1}, 12, 100, 0), "2 left over, told as 0"),
        (Choice({2: 3}, 9, 90, 0, 0), "1 missing, told as 0"),
        (Choice({2: 3}, 9, 90, 0, 1), "more of pack 1 can be had"),
        (Choice({1: 1, 2: 1}, 15, 130, 5), "One of pack 2 can be left out"),
    ],
)
def test_the_checker_finds_what_is_broken(broken, fault):
    packs = [Pack(1, 12, 100), Pack(2, 3, 30, at_most=3)]

    assert any(fault in one for one in check_choice(10, packs, broken))


def test_the_checker_finds_a_pack_too_many_where_just_enough_is_left_without_it():
    packs = [Pack(1, 12, 100), Pack(2, 3, 30)]

    assert check_choice(12, packs, Choice({1: 1, 2: 1}, 15, 130, 3)) == [
        "One of pack 2 can be left out."
    ]
