"""What needs cost: to buy and as material, with every unknown price told beside the totals."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from builds.buying import Offered, Pack, Wanted, buying_list, cost_of

PANEL, TIE, TAPE = 1, 2, 3
MARL, QUILL = 10, 20
PANELS = (Offered(Pack(1, 12, 2400), PANEL, MARL), Offered(Pack(2, 50, 7900), PANEL, QUILL))
TIES = (Offered(Pack(3, 100, 300), TIE, QUILL),)
ALL = (*PANELS, *TIES, Offered(Pack(4, 7, 99), TAPE, MARL))

counts = st.dictionaries(st.sampled_from([PANEL, TIE, TAPE]), st.integers(0, 300))


def cost(counted, *, lacking=None, free=None, packs=ALL, missing=()):
    needs = Wanted(counted, missing)
    return cost_of(needs, needs if lacking is None else Wanted(lacking), free or {}, packs)


def test_material_is_each_piece_at_the_least_it_comes_to_in_any_pack():
    found = cost({PANEL: 10, TIE: 40})

    # 79.00 / 50 = 1.58 a panel, 3.00 / 100 = 0.03 a tie.
    assert [line.material_cents for line in found.lines] == [1580, 120]
    assert found.material_cents == 1700


def test_cents_that_a_pack_does_not_divide_by_are_rounded_half_up_item_by_item():
    packs = [Offered(Pack(1, 2, 1), PANEL, MARL)]

    assert cost({PANEL: 1}, packs=packs).material_cents == 1
    assert cost({PANEL: 1}, packs=packs).lines[0].piece == Fraction(1, 2)


def test_to_buy_is_what_is_not_free_in_whole_packs():
    found = cost({PANEL: 10}, free={PANEL: 4})

    assert (found.lines[0].to_buy, found.buy_cents) == (6, 2400)


def test_what_is_reserved_already_is_material_and_not_bought():
    found = cost({PANEL: 10}, lacking={})

    assert (found.material_cents, found.buy_cents) == (1580, 0)


def test_packs_that_run_out_leave_a_price_unknown_beside_what_is_known():
    found = cost({PANEL: 30}, packs=[Offered(Pack(1, 12, 2400, at_most=1), PANEL, MARL)])

    assert (found.buy_cents, found.buy_unknown) == (2400, 1)
    assert found.material_unknown == 0


def test_a_store_without_any_price_is_told_from_one_that_lacks_some():
    assert cost({PANEL: 1, TIE: 2}, packs=()).has_no_price
    assert cost({}, missing=("9 × connector",)).has_no_price
    assert not cost({PANEL: 1, TIE: 2}, packs=TIES).has_no_price
    assert not cost({}).has_no_price


def test_what_the_store_has_no_item_for_is_of_unknown_price():
    found = cost({PANEL: 1}, missing=("9 × connector",))

    assert (found.material_unknown, found.buy_unknown) == (1, 1)


@given(counts)
def test_what_is_lacking_costs_as_much_as_the_buying_list_says(needs):
    assert cost(needs).buy_cents == buying_list(needs, {}, ALL).cents


@given(counts, counts)
def test_both_together_never_cost_more_than_each_for_itself(one, other):
    both = {item: one.get(item, 0) + other.get(item, 0) for item in {**one, **other}}

    assert cost(both).buy_cents <= cost(one).buy_cents + cost(other).buy_cents
    # Rounded item by item: half a cent for each of three items, twice.
    apart = cost(one).material_cents + cost(other).material_cents
    assert abs(cost(both).material_cents - apart) <= 3


@given(counts, st.dictionaries(st.sampled_from([PANEL, TIE, TAPE]), st.integers(0, 50)))
def test_where_nothing_is_lacking_nothing_is_to_buy(needs, more):
    free = {item: count + more.get(item, 0) for item, count in needs.items()}

    found = cost(needs, free=free)

    assert (found.buy_cents, found.buy_unknown) == (0, 0)


@given(counts, counts, st.sets(st.sampled_from(ALL)))
def test_every_item_without_a_price_is_told(needs, free, packs):
    found = cost(needs, free=free, packs=packs)
    priced = {one.item for one in packs}

    needed = {item for item, count in needs.items() if count}
    lacking = {item for item in needed if needs[item] > free.get(item, 0)}
    assert found.material_unknown == len(needed - priced)
    assert found.buy_unknown == len(lacking - priced)


@given(counts, counts)
def test_what_is_bought_costs_no_less_than_the_same_pieces_as_material(needs, free):
    found = cost(needs, free=free)

    for line in found.lines:
        assert line.buy_cents >= line.to_buy * line.piece
