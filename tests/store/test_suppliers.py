"""Suppliers, their packs, goods that come in, and the buying list."""

import csv
import uuid
from decimal import Decimal

import pytest

from builds.pulls.models.buying import what_to_buy
from builds.store.models import movements
from builds.store.models.needs import Need, Needs
from builds.store.models.stock import Stock
from builds.store.models.suppliers import PackOffer, Supplier
from tests.support.sheets import make_kind
from tests.support.store import make_item, make_pack


def test_a_supplier_and_a_pack_are_kept(coordinating, panel):
    coordinating.post("/store/suppliers/new/", {"name": "Marl & Daughters", "note": "By van"})
    supplier = Supplier.objects.get()
    sent = {"item": panel.pk, "count": "12", "price": "24.05", "number": "WP-12"}
    coordinating.post(f"/store/suppliers/{supplier.pk}/packs/new/", sent)

    pack = PackOffer.objects.get()
    assert (pack.supplier, pack.count, pack.price) == (supplier, 12, Decimal("24.05"))


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"count": "0"}, "0 given. Give a whole number from 1 to 100000."),
        ({"count": "dozen"}, "“dozen” given. Give a whole number"),
        ({"price": "-1"}, "greater than or equal to 0"),
        ({"price": "1.005"}, "no more than 2 decimal places"),
        ({"price": "1e12"}, "less than or equal to 999999.99"),
        ({"price": "NaN"}, "Enter a number"),
        ({"at_most": "0"}, "0 given. Give a whole number from 1"),
        ({"item": "999999"}, "Select a valid choice"),
        ({"number": "A\0"}, "Null characters are not allowed"),
        ({"count": "12"}, "They have such a pack already."),
    ],
)
def test_a_wrong_pack_is_refused_beside_its_field(coordinating, panel, text_of, wrong, sentence):
    supplier = make_pack(panel, 12, "24.00").supplier
    sent = {"item": panel.pk, "count": "50", "price": "79.00", "number": ""}

    response = coordinating.post(f"/store/suppliers/{supplier.pk}/packs/new/", sent | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert PackOffer.objects.count() == 1


def test_a_pack_is_changed_and_no_longer_bought(coordinating, panel):
    pack = make_pack(panel, 12, "24.00")
    sent = {"item": panel.pk, "count": "12", "price": "26.50", "number": ""}

    coordinating.post(f"/store/packs/{pack.pk}/", sent)
    coordinating.post(f"/store/packs/{pack.pk}/put-away/")

    pack.refresh_from_db()
    assert pack.price == Decimal("26.50")
    assert not PackOffer.objects.live().exists()


def test_goods_come_in_by_the_pack_and_once(coordinating, panel, rack):
    dozen, fifty = make_pack(panel, 12, "24.00"), make_pack(panel, 50, "79.00")
    sent = {f"pack_{dozen.pk}": "3", f"pack_{fifty.pk}": "1", "place": rack.pk}
    sent |= {"once": str(uuid.uuid4()), "note": "invoice 7"}

    for _time in range(2):
        coordinating.post(f"/store/suppliers/{dozen.supplier_id}/came-in/", sent)

    assert Stock.objects.get().on_hand == 3 * 12 + 50
    assert panel.movements.first().note == "Marl, invoice 7"


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"packs": ""}, "No pack came in."),
        ({"packs": "0"}, "No pack came in."),
        ({"packs": "-1"}, "-1 given. Give a whole number from 0 to 10000."),
        ({"packs": "99999999"}, "99999999 given. Give a whole number"),
        ({"place": ""}, "This field is required"),
        ({"note": "a\0"}, "Null characters are not allowed"),
    ],
)
def test_goods_that_cannot_be_are_refused_whole(
    coordinating, panel, rack, text_of, wrong, sentence
):
    pack, other = make_pack(panel, 12, "24.00"), make_pack(panel, 50, "79.00")
    sent = {"place": rack.pk, "packs": "2", "once": str(uuid.uuid4())} | wrong
    sent[f"pack_{pack.pk}"] = sent.pop("packs")
    if sent[f"pack_{pack.pk}"] not in ("", "0"):
        sent[f"pack_{other.pk}"] = "1"

    response = coordinating.post(f"/store/suppliers/{pack.supplier_id}/came-in/", sent)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Stock.objects.exists()


def test_more_than_can_lie_anywhere_is_refused_and_nothing_of_it_is_kept(
    coordinating, panel, rack, text_of
):
    tie = make_item(kind="tie", name="Tie", panel_mm=None, panel_squares=None)
    first, second = make_pack(tie, 1, "1.00"), make_pack(panel, 100_000, "1.00")
    sent = {f"pack_{first.pk}": "1", f"pack_{second.pk}": "10000", "place": rack.pk}

    response = coordinating.post(f"/store/suppliers/{first.supplier_id}/came-in/", sent)

    assert response.status_code == 422
    assert "1000000000 given; give 1 to 1000000" in text_of(response)
    assert not Stock.objects.exists()


# --- What to buy ---


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
    assert "Nothing is to be bought" in text_of(coordinating.get("/store/buying/?only=builds"))


def test_what_nobody_sells_and_what_is_not_counted_is_named(
    coordinating, panel, text_of, monkeypatch
):
    needs = Needs((Need(panel, 5),), ("9 × connector",))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    page = text_of(coordinating.get("/store/buying/"))

    assert "Nobody sells it," in page
    assert "9 × connector" in page


def test_a_sheet_that_nobody_offers_is_bought_at_its_own_price(coordinating, text_of, monkeypatch):
    kind = make_kind(cost="24.50")
    needs = Needs((Need(kind.item, 3),))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    page = text_of(coordinating.get("/store/buying/"))

    assert "Nobody sells it" not in page
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

    assert "Nobody sells it," in text_of(coordinating.get("/store/buying/"))


def test_what_suppliers_have_too_few_of_is_told_as_that(coordinating, panel, text_of, monkeypatch):
    make_pack(panel, 12, "24.00", at_most=1)
    needs = Needs((Need(panel, 30),))
    monkeypatch.setattr("builds.pulls.views.buying.needs_of_planned_builds", lambda: needs)

    page = text_of(coordinating.get("/store/buying/"))

    assert "Nobody sells it" not in page
    assert "Suppliers have too few:" in page


def test_all_that_is_bought_adds_up_with_and_without_a_supplier(panel):
    make_pack(panel, 12, "24.00")
    kind = make_kind(cost="24.50")

    found = what_to_buy(Needs((Need(panel, 10), Need(kind.item, 2))), top_up=False)

    assert found.price == Decimal("24.00") + Decimal("49.00")


@pytest.mark.parametrize(("cost", "told"), [("24.50", "No supplier recorded"), ("0", "Nobody is")])
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
