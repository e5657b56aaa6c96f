"""What is to be bought: the cheapest packs of what is not free, by supplier."""

import csv
from decimal import Decimal

import pytest

from builds.store.models import movements
from builds.store.models.buying import what_to_buy
from builds.store.models.items import Item
from builds.store.models.needs import Need, Needs, items_of
from habitats.designs.models.designs import Design
from tests.support.builds import make_build, planner
from tests.support.designs import make_design
from tests.support.sheets import make_kind, make_place
from tests.support.store import make_item, make_pack


@pytest.fixture
def panel(db):
    return make_item()


@pytest.fixture
def drawn(panel):
    return Design.objects.draw(make_design(), by=planner())


@pytest.fixture
def rack(db):
    return make_place("Rack")


def test_the_buying_list_has_the_cheapest_packs_of_what_is_not_free(panel, rack, coordinator):
    make_pack(panel, 12, "24.00")
    make_pack(panel, 50, "79.00", supplier="Quill")
    movements.take_in(panel, rack, 10, by=coordinator)
    movements.reserve(panel, rack, 4, by=coordinator)

    found = what_to_buy(Needs((Need(panel, 40, 2),)), top_up=False)

    assert [(row.need, row.free, row.buy, row.over) for row in found.rows] == [(42, 6, 36, 0)]
    assert [(one.supplier.name, one.lines[0].packs, one.price) for one in found.orders] == [
        ("Marl", 3, Decimal("72.00"))
    ]


def test_reorder_levels_are_bought_up_to_unless_only_builds_count(coordinating, panel, text_of):
    panel.reorder_at = 20
    panel.save()
    make_pack(panel, 12, "24.00")

    assert "48.00" in text_of(coordinating.get("/store/buying/"))
    assert "There is nothing to buy" in text_of(coordinating.get("/store/buying/?only=builds"))


def test_what_nobody_sells_and_what_is_not_counted_is_named(
    coordinating, panel, text_of, monkeypatch
):
    needs = Needs((Need(panel, 5),), ("9 × connector",))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    page = text_of(coordinating.get("/store/buying/"))

    assert "No supplier recorded</span> for these" in page
    assert "9 × connector" in page


def test_a_sheet_that_nobody_offers_is_bought_at_its_own_price(coordinating, text_of, monkeypatch):
    kind = make_kind(cost="24.50")
    needs = Needs((Need(kind.item, 3),))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    page = text_of(coordinating.get("/store/buying/"))

    assert "No supplier recorded</span> for these" not in page
    assert "No supplier recorded" in page
    assert "73.50" in page
    table = b"".join(coordinating.get("/store/buying.csv").streaming_content).decode("utf-8-sig")
    row = next(csv.DictReader(table.splitlines()))
    assert (row["packs"], row["price of a pack"], row["price"]) == ("3", "24.50", "73.50")


def test_a_sheet_without_a_price_is_still_named_as_sold_by_nobody(
    coordinating, text_of, monkeypatch
):
    needs = Needs((Need(make_kind(cost="0").item, 3),))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    assert "No supplier recorded</span> for these" in text_of(coordinating.get("/store/buying/"))


def test_what_suppliers_have_too_few_of_is_told_as_that(coordinating, panel, text_of, monkeypatch):
    make_pack(panel, 12, "24.00", at_most=1)
    needs = Needs((Need(panel, 30),))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    page = text_of(coordinating.get("/store/buying/"))

    assert "No supplier recorded</span> for these" not in page
    assert "Suppliers have too few:" in page


def test_all_that_is_bought_adds_up_with_and_without_a_supplier(panel):
    make_pack(panel, 12, "24.00")
    kind = make_kind(cost="24.50")

    found = what_to_buy(Needs((Need(panel, 10), Need(kind.item, 2))), top_up=False)

    assert found.price == Decimal("24.00") + Decimal("49.00")


@pytest.mark.parametrize(
    ("cost", "told"), [("24.50", "No supplier recorded"), ("0", "No supplier")]
)
def test_the_page_of_a_sheet_with_a_price_says_that_no_supplier_is_recorded(
    coordinating, text_of, cost, told
):
    assert told in text_of(coordinating.get(f"/store/items/{make_kind(cost=cost).item_id}/"))


def test_the_buying_list_is_a_table_for_a_spreadsheet_without_formulas(coordinating, text_of):
    item = make_item(name="=HYPERLINK(1)", reorder_at=20)
    make_pack(item, 12, "24.00", number="+12")

    response = coordinating.get("/store/buying.csv")

    lines = b"".join(response.streaming_content).decode("utf-8-sig").splitlines()
    rows = list(csv.DictReader(lines))
    assert rows[0]["item"] == "'=HYPERLINK(1)"
    assert rows[0]["order number"] == "'+12"
    assert (rows[0]["packs"], rows[0]["price"]) == ("2", "48.00")


# --- For some builds ---


def on_list(text):
    """What a CSV of the list says is bought, pieces by item."""
    rows = csv.DictReader(text.splitlines())
    return {row["item"]: int(row["packs"]) * int(row["pack of"]) for row in rows if row["packs"]}


def csv_of(coordinating, query):
    response = coordinating.get(f"/store/buying.csv{query}")
    return on_list(b"".join(response.streaming_content).decode("utf-8-sig"))


def test_the_list_is_for_the_builds_that_its_address_names(coordinating, panel, text_of):
    make_pack(panel, 1, "2.00")
    first, _second, third = (make_build(name) for name in ("First", "Second", "Third"))
    each = items_of(first.plans.get().revision).of(panel)

    two = csv_of(coordinating, f"?build={first.code}&build={third.code.lower()}")

    assert two[panel.name] == 2 * each
    assert csv_of(coordinating, "?only=builds")[panel.name] == 3 * each
    page = text_of(coordinating.get(f"/store/buying/?build={first.code}&build={third.code}"))
    assert "For 2 chosen builds, in the cheapest packs." in page
    assert page.count(" checked>") == 2
    assert f"/store/buying.csv?build={first.code}&amp;build={third.code}" in page


def test_reorder_levels_are_no_part_of_a_list_for_some_builds(coordinating, text_of):
    other = Item.objects.create(kind="other", name="Hook", reorder_at=20)
    make_pack(other, 12, "24.00")
    build = make_build()

    assert other.name not in csv_of(coordinating, f"?build={build.code}")


def test_a_build_that_needs_nothing_is_told_and_puts_nothing_on_the_list(
    coordinating, panel, text_of
):
    panel.reorder_at = 20
    panel.save()
    done = make_build(state="handed over")

    page = text_of(coordinating.get(f"/store/buying/?build={done.code}"))

    assert f"{done.code}</span> is not on this list" in page
    assert "There is nothing to buy" in page


def test_the_total_says_for_how_many_items_the_price_is_unknown(
    coordinating, panel, text_of, monkeypatch
):
    needs = Needs((Need(panel, 5),), ("9 × connector",))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    assert "price unknown for 2 items" in text_of(coordinating.get("/store/buying/"))


@pytest.mark.parametrize("count", [3, 12])
def test_a_list_for_some_builds_asks_as_few_questions_for_twelve_as_for_three(
    coordinating, panel, drawn, count, django_assert_max_num_queries
):
    codes = [make_build(design=drawn).code for _number in range(count)]

    with django_assert_max_num_queries(25):
        coordinating.get("/store/buying/?" + "&".join(f"build={one}" for one in codes))
