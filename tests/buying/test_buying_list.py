"""The buying list: needs less what is free, by supplier."""

from hypothesis import given
from hypothesis import strategies as st

from builds.buying import Offered, Pack, Unfilled, buying_list

PANEL, TIE, TAPE = 1, 2, 3
MARL, QUILL = 10, 20
OFFERED = (
    Offered(Pack(1, 12, 2400), PANEL, MARL),
    Offered(Pack(2, 100, 300), TIE, QUILL),
    Offered(Pack(3, 50, 7900), PANEL, QUILL),
)


def test_what_is_free_is_not_bought():
    found = buying_list({PANEL: 30, TIE: 40}, {PANEL: 24, TIE: 40}, OFFERED)

    assert found.to_buy == {PANEL: 6}
    assert [(one.item, one.packs, one.cents) for one in found.lines[MARL]] == [(PANEL, 1, 2400)]
    assert found.over == {PANEL: 6}
    assert found.cents == 2400
    assert found.unfilled == ()


def test_what_nobody_offers_is_lacking():
    assert buying_list({TAPE: 5}, {}, OFFERED).unfilled == (Unfilled(TAPE, 5),)


def test_packs_of_one_item_may_come_from_two_suppliers():
    found = buying_list({PANEL: 62}, {}, OFFERED)

    assert {supplier: found.cents_of(supplier) for supplier in found.lines} == {
        MARL: 2400,
        QUILL: 7900,
    }


@given(
    st.dictionaries(st.sampled_from([PANEL, TIE, TAPE]), st.integers(0, 300)),
    st.dictionaries(st.sampled_from([PANEL, TIE, TAPE]), st.integers(0, 300)),
)
def test_bought_and_free_and_lacking_always_cover_the_need(needs, free):
    found = buying_list(needs, free, OFFERED)

    for item, need in needs.items():
        bought = sum(one.count for own in found.lines.values() for one in own if one.item == item)
        unfilled = sum(one.count for one in found.unfilled if one.item == item)
        assert max(0, need - free.get(item, 0)) == bought + unfilled - found.over.get(item, 0)
