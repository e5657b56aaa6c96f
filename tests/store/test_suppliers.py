"""Suppliers, their packs, and goods that come in."""

import uuid
from decimal import Decimal

import pytest

from builds.store.models.stock import Stock
from builds.store.models.suppliers import PackOffer, Supplier
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
        ({"price": "-1"}, "Enter 0 or more"),
        ({"price": "1.005"}, "no more than 2 decimal places"),
        ({"price": "1e12"}, "Enter 999999.99 or less"),
        ({"price": "NaN"}, "Enter a number"),
        ({"at_most": "0"}, "0 given. Give a whole number from 1"),
        ({"item": "999999"}, "Select a valid choice"),
        ({"number": "A\0"}, "Null characters are not allowed"),
        ({"count": "12"}, "This supplier has this pack already."),
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
        ({"packs": ""}, "No packs entered."),
        ({"packs": "0"}, "No packs entered."),
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
