"""What a design costs, on its page: both totals, and what is unknown told beside them."""

import re
from decimal import Decimal

import pytest

from builds.store.models import movements
from builds.store.models.costs import priced
from builds.store.models.needs import Need, Needs, items_of
from habitats.designs.models.designs import Design
from tests.support.designs import make_design
from tests.support.sheets import make_kind
from tests.support.store import make_item, make_pack, make_small_items


@pytest.fixture
def drawn(coordinator):
    return Design.objects.draw(make_design(), by=coordinator)


def test_needs_are_priced_in_the_cheapest_packs_of_what_is_not_free(panel, rack, coordinator):
    make_pack(panel, 12, "24.00")
    make_pack(panel, 50, "79.00", supplier="Quill")
    movements.take_in(panel, rack, 10, by=coordinator)
    movements.reserve(panel, rack, 4, by=coordinator)

    found = priced(Needs((Need(panel, 40, 2),)))

    # 42 at 79.00 / 50; 6 are free, so 36 are bought: three packs of twelve.
    assert (found.material, found.to_buy) == (Decimal("66.36"), Decimal("72.00"))


def test_a_sheet_that_nobody_sells_in_packs_has_its_own_price(db):
    kind = make_kind(cost="24.50")

    found = priced(Needs((Need(kind.item, 3),)))

    assert (found.material, found.to_buy) == (Decimal("73.50"), Decimal("73.50"))


def test_an_archived_pack_has_no_price(panel):
    make_pack(panel, 12, "24.00", is_put_away=True)

    assert priced(Needs((Need(panel, 1),))).cost.buy_unknown == 1


@pytest.mark.parametrize("count", [3, 30])
def test_thirty_items_are_priced_with_as_many_questions_as_three(
    db, django_assert_num_queries, count
):
    items = [make_item(name=f"Panel {number}") for number in range(count)]
    for one in items:
        make_pack(one, 12, "24.00")

    with django_assert_num_queries(3):
        priced(Needs(tuple(Need(one, 5) for one in items)))


def test_the_page_of_a_design_says_for_how_many_things_the_price_is_unknown(
    coordinating, drawn, panel, text_of
):
    make_small_items()
    make_pack(panel, 12, "24.00")
    needs = items_of(drawn.current)
    unknown = len(needs.lines) - 1 + len(needs.missing)

    page = text_of(coordinating.get(f"/designs/{drawn.code}/"))

    assert "Material" in page
    assert f"price unknown for {unknown} items" in page


def test_the_page_of_a_design_says_that_the_store_has_everything(
    coordinating, coordinator, drawn, panel, rack, text_of
):
    for item in (panel, *make_small_items(), make_kind().item):
        make_pack(item, 10, "20.00")
        movements.take_in(item, rack, 500, by=coordinator)

    page = text_of(coordinating.get(f"/designs/{drawn.code}/"))

    assert "the store has everything" in page
    assert "price unknown" not in page


def test_a_reader_of_inches_is_told_what_is_missing_in_inches_and_feet(
    client_of, make_person, drawn, text_of
):
    make_small_items()
    inches = make_person("ina", role="coordinator", units="inches")

    page = text_of(client_of(inches).get(f"/designs/{drawn.code}/"))
    costs = page[page.index('id="cost"') :]

    assert "12 panels of 14 in with 9 squares per side" in costs
    assert re.search(r"\d m \(\d+ ft\)", costs)
    assert not re.search(r"\d mm\b", costs)


def test_prices_are_for_those_who_buy(building, drawn, text_of):
    assert 'id="cost"' not in text_of(building.get(f"/designs/{drawn.code}/"))


def test_planning_a_build_is_the_first_thing_to_do_with_a_design(coordinating, drawn, text_of):
    page = text_of(coordinating.get(f"/designs/{drawn.code}/"))

    first = page.index('class="button first"')
    assert f"/builds/new/?design={drawn.code}" in page[first : first + 200]
    assert page.count('class="button first"') == 1


def test_the_drawing_board_says_what_it_costs_and_what_the_store_is_short_of(
    client_of, coordinator, drawn, panel, rack
):
    make_pack(panel, 12, "24.00")
    movements.take_in(panel, rack, 2, by=coordinator)

    text = client_of(coordinator).get(f"/designs/{drawn.code}/board/").content.decode()

    # 12 panels in the walls, 2 are there: one pack of twelve. Connectors and ties are no items.
    assert "Short in store" in text
    assert panel.of(10) in text.replace("&quot;", '"')
    assert "24.00" in text


def test_what_is_to_buy_without_a_price_is_not_told_as_costing_nothing(
    coordinating, coordinator, drawn, panel, rack
):
    # All but the panels lies in the store, and nobody sells those.
    for item in (*make_small_items(), make_kind().item):
        make_pack(item, 10, "20.00")
        movements.take_in(item, rack, 500, by=coordinator)

    text = " ".join(coordinating.get(f"/designs/{drawn.code}/board/").text.split())
    facts = text.partition('id="facts"')[2].partition("</section>")[0]

    assert "in material, without 1 item whose price is unknown" in facts
    assert "0.00 to buy" not in re.sub("<[^>]+>", "", facts)
