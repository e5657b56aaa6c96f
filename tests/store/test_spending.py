"""What was spent month by month, and what the stock is worth."""

import csv
import uuid
from datetime import UTC, datetime
from decimal import Decimal

import pytest
from django.db import IntegrityError, transaction

from builds.store.models import movements
from builds.store.models.deliveries import Delivery, Received, receive
from builds.store.models.spending import PriceFrom, spending, stock_worth
from builds.store.models.stock import Movement
from tests.support.sheets import make_kind
from tests.support.store import make_item, make_pack


@pytest.fixture
def buys(panel, rack, coordinator):
    """`buys(12, "24.00", "2027-02-03")`: a delivery of so many panels; no price: not said."""

    def bought(count, paid=None, day=None, item=panel):
        line = Received(item, count, None if paid is None else Decimal(paid))
        made = receive([line], rack, supplier=None, by=coordinator, idempotency_key=uuid.uuid4())
        if day:
            at = datetime.fromisoformat(f"{day}T12:00").replace(tzinfo=UTC)
            Delivery.objects.filter(pk=made.pk).update(made_at=at)
        return made

    return bought


def told(found):
    return [(f"{one.on:%Y-%m}", one.deliveries, one.spent, one.unknown) for one in found.months]


# --- What is recorded ---


def test_a_delivery_keeps_what_was_paid_and_the_pack_has_a_price_to_begin_with(
    coordinating, panel, rack
):
    pack = make_pack(panel, 12, "24.00")
    page = coordinating.get(f"/store/suppliers/{pack.supplier_id}/came-in/")
    assert page.context["form"][f"price_{pack.pk}"].value() == Decimal("24.00")

    sent = {f"pack_{pack.pk}": "2", "place": rack.pk}
    for price, paid in (("22.50", Decimal("45.00")), ("", None)):
        once = {"once": str(uuid.uuid4())}
        address = f"/store/suppliers/{pack.supplier_id}/came-in/"
        coordinating.post(address, sent | once | {f"price_{pack.pk}": price})
        assert Movement.objects.newest_first()[0].paid == paid


def test_a_form_that_asked_for_no_price_is_taken_at_that_of_the_pack(coordinating, panel, rack):
    pack = make_pack(panel, 12, "24.00")
    sent = {f"pack_{pack.pk}": "2", "place": rack.pk, "once": str(uuid.uuid4())}

    coordinating.post(f"/store/suppliers/{pack.supplier_id}/came-in/", sent)

    assert Movement.objects.get().paid == Decimal("48.00")


def test_what_came_in_of_one_item_may_have_a_price_too(coordinating, panel, rack, text_of):
    sent = {"place": rack.pk, "count": "9", "paid": "18.90", "once": str(uuid.uuid4())}

    coordinating.post(f"/store/items/{panel.pk}/in/", sent)

    assert Movement.objects.get().paid == Decimal("18.90")
    page = text_of(coordinating.get(f"/store/deliveries/{Delivery.objects.get().pk}/"))
    assert "18.90" in page


def test_a_price_below_nothing_is_refused_and_nothing_is_received(coordinating, panel, rack):
    pack = make_pack(panel, 12, "24.00")
    sent = {f"pack_{pack.pk}": "2", f"price_{pack.pk}": "-1", "place": rack.pk}

    response = coordinating.post(f"/store/suppliers/{pack.supplier_id}/came-in/", sent)

    assert response.status_code == 422
    assert not Movement.objects.exists()


def test_only_what_came_with_a_delivery_has_a_price(panel, rack, coordinator):
    with pytest.raises(IntegrityError, match="what_came_in_is_paid_for"), transaction.atomic():
        movements.take_in(panel, rack, 3, by=coordinator, paid=Decimal(3))


# --- Spending ---


def test_spending_is_what_was_paid_in_each_month(buys):
    buys(12, "24.00", "2027-01-31")
    buys(50, "79.00", "2027-02-01")
    buys(1, "1.50", "2027-02-28")

    assert told(spending(2027)) == [
        ("2027-01", 1, Decimal("24.00"), 0),
        ("2027-02", 2, Decimal("80.50"), 0),
    ]
    assert spending(2027).spent == Decimal("104.50")
    assert told(spending(2026)) == []


def test_lines_whose_price_nobody_said_are_told_beside_the_sum(buys, coordinating, text_of):
    buys(12, "24.00", "2027-01-31")
    buys(12, None, "2027-01-31")

    assert told(spending(2027)) == [("2027-01", 2, Decimal("24.00"), 1)]
    page = text_of(coordinating.get("/store/spending/?year=2027"))
    assert "price unknown for 1 item" in page


def test_the_part_of_a_delivery_that_was_reversed_is_not_spent(buys, panel, coordinator):
    made = buys(12, "24.00", "2027-01-31")
    made.reverse({panel: 3}, by=coordinator, idempotency_key=uuid.uuid4())
    whole = buys(5, "9.00", "2027-01-31")
    whole.reverse({panel: 5}, by=coordinator, idempotency_key=uuid.uuid4())

    assert told(spending(2027)) == [("2027-01", 1, Decimal("18.00"), 0)]


def test_what_comes_back_or_is_counted_is_not_spent(panel, rack, coordinator):
    movements.take_in(panel, rack, 3, by=coordinator)
    movements.count(panel, rack, 9, by=coordinator)

    assert spending().months == ()


# --- Worth ---


def test_stock_is_worth_the_last_price_paid_before_that_of_any_pack(buys, panel):
    make_pack(panel, 50, "79.00")
    buys(10, "30.00")
    buys(10, "20.00")
    buys(5, None)

    [row] = stock_worth().rows

    assert (row.source, row.price) == (PriceFrom.PAID, Decimal("2.00"))
    assert stock_worth().worth == Decimal("50.00")


def test_without_a_price_paid_stock_is_worth_the_cheapest_pack_or_sheet(
    panel, rack, coordinator, db
):
    make_pack(panel, 12, "24.00")
    make_pack(panel, 50, "79.00", supplier="Quill")
    movements.take_in(panel, rack, 10, by=coordinator)
    kind = make_kind(cost="24.50")
    movements.take_in(kind.item, rack, 2, by=coordinator)

    found = {row.item: (row.source, row.worth) for row in stock_worth().rows}

    assert found == {
        panel: (PriceFrom.PACK, Decimal("15.80")),
        kind.item: (PriceFrom.SHEET, Decimal("49.00")),
    }


def test_the_price_of_a_reversed_delivery_counts_no_more(buys, panel, coordinator):
    buys(10, "20.00")
    wrong = buys(10, "90.00")
    wrong.reverse({panel: 10}, by=coordinator, idempotency_key=uuid.uuid4())

    assert stock_worth().worth == Decimal("20.00")


def test_what_has_no_price_is_told_and_not_worth_nothing(
    panel, rack, coordinator, coordinating, text_of
):
    movements.take_in(panel, rack, 10, by=coordinator)

    assert stock_worth().unknown == 1
    assert "price unknown for 1 item" in text_of(coordinating.get("/store/spending/"))


def test_both_tables_are_there_for_a_spreadsheet(buys, coordinating):
    buys(12, "24.00", "2027-01-31")

    def rows(name):
        response = coordinating.get(f"/store/{name}.csv")
        text = b"".join(response.streaming_content).decode("utf-8-sig")
        return [list(one.values()) for one in csv.DictReader(text.splitlines())]

    assert rows("spending") == [["2027-01", "1", "24.00", "0"]]
    assert rows("value") == [["White panel", "12", "", "2.00", "paid", "24.00"]]


@pytest.mark.parametrize("count", [3, 12])
def test_twelve_items_ask_as_few_questions_as_three(
    buys, coordinating, count, django_assert_max_num_queries
):
    for number in range(count):
        item = make_item(name=f"Panel {number}")
        make_pack(item, 12, "24.00")
        buys(12, "20.00", item=item)

    with django_assert_max_num_queries(13):
        coordinating.get("/store/spending/")
