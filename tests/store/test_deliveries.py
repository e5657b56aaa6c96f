"""Goods received, and a wrong delivery reversed as such: appended, once, and with what it meets."""

import re
import uuid

import pytest
from django.db import IntegrityError, transaction

from builds.store.models import movements
from builds.store.models.deliveries import CannotReverse, Delivery, DeliveryReversal, receive
from builds.store.models.facts import MOST_ITEMS
from builds.store.models.reservations import reserved_by_place
from builds.store.models.stock import Movement, Stock
from tests.support.builds import make_build
from tests.support.sheets import make_place
from tests.support.store import make_item, make_pack


@pytest.fixture
def dozen(panel, rack, coordinator):
    """A delivery of twelve panels to the rack."""
    pack = make_pack(panel, 12, "24.00")
    return receive(
        [(panel, 12)], rack, supplier=pack.supplier, by=coordinator, idempotency_key=uuid.uuid4()
    )


def opened(client, delivery, **more):
    """What the form that reverses it sends, as it stands."""
    page = client.get(f"/store/deliveries/{delivery.pk}/reverse/")
    form = page.context["form"]
    values = {name: form[name].value() for name in form.fields}
    shown = re.search(r'name="basis" value="([^"]+)"', page.content.decode())
    return {name: "" if one is None else one for name, one in values.items()} | {
        "basis": shown[1],
        **more,
    }


def turn_back(client, delivery, **more):
    sent = opened(client, delivery, **more)
    return client.post(f"/store/deliveries/{delivery.pk}/reverse/", sent, follow=True)


def off(item):
    return f"off_{item.pk}"


def on_hand(item):
    return sum(one.on_hand for one in Stock.objects.filter(item=item))


# --- Receiving ---


def test_goods_of_a_supplier_are_a_delivery_with_its_lines(coordinating, panel, rack, text_of):
    pack, other = make_pack(panel, 12, "24.00"), make_pack(make_item(name="Black"), 5, "9.00")
    sent = {f"pack_{pack.pk}": "2", f"pack_{other.pk}": "1", "place": rack.pk, "note": "bill 7"}
    idempotency_key = {"once": str(uuid.uuid4())}

    for _time in range(2):
        coordinating.post(f"/store/suppliers/{pack.supplier_id}/came-in/", sent | idempotency_key)

    made = Delivery.objects.get()
    lines = made.movements.order_by("item__name").values_list("item__name", "on_hand_change")
    assert list(lines) == [("Black", 5), ("White panel", 24)]
    for address in (f"/store/suppliers/{pack.supplier_id}/", "/store/deliveries/"):
        assert f"/store/deliveries/{made.pk}/" in text_of(coordinating.get(address))
    assert "bill 7" in text_of(coordinating.get(f"/store/deliveries/{made.pk}/"))


def test_what_came_in_of_one_item_is_a_delivery_too(coordinating, panel, rack, text_of):
    sent = {"place": rack.pk, "count": "9", "once": str(uuid.uuid4())}

    coordinating.post(f"/store/items/{panel.pk}/in/", sent)

    made = Delivery.objects.get()
    assert (made.supplier, made.movements.get().on_hand_change) == (None, 9)
    page = text_of(coordinating.get(f"/store/items/{panel.pk}/"))
    assert f"/store/deliveries/{made.pk}/" in page


# --- Reversing ---


def test_a_reversed_delivery_is_taken_off_and_named_and_nothing_is_edited(
    coordinating, panel, dozen, text_of
):
    before = list(Movement.objects.values())

    page = text_of(turn_back(coordinating, dozen, note="counted wrong"))

    assert on_hand(panel) == 0
    assert list(Movement.objects.order_by("pk").values())[: len(before)] == before
    made = Movement.objects.newest_first()[0]
    assert (made.why, made.on_hand_change, made.delivery) == ("reversed", -12, dozen)
    assert "Reversed" in page
    assert "counted wrong" in page


def test_the_same_form_sent_twice_reverses_once_and_is_answered_the_same(
    coordinating, coordinator, panel, dozen, text_of
):
    movements.take_in(panel, dozen.place, 30, by=coordinator)
    sent = opened(coordinating, dozen)

    answers = [
        coordinating.post(f"/store/deliveries/{dozen.pk}/reverse/", sent) for _twice in range(2)
    ]

    assert [one["Location"] for one in answers] == [f"/store/deliveries/{dozen.pk}/"] * 2
    assert on_hand(panel) == 30


def test_two_who_reverse_one_delivery_reverse_it_once_and_the_second_is_told(
    coordinating, panel, dozen, text_of
):
    first, second = opened(coordinating, dozen), opened(coordinating, dozen)
    here = f"/store/deliveries/{dozen.pk}/reverse/"
    coordinating.post(here, first)

    stale = coordinating.post(here, second)
    without = coordinating.post(here, second | {"basis": ""}, follow=True)

    assert stale.status_code == 409
    assert "<strong>This delivery</strong>: reversed <span" in text_of(stale)
    assert "has been reversed already, by" in text_of(without)
    assert on_hand(panel) == 0


def test_a_delivery_has_one_reversal(coordinator, panel, dozen):
    idempotency_key = uuid.uuid4()
    for _twice in range(2):
        dozen.reverse({panel: 12}, by=coordinator, idempotency_key=idempotency_key)

    with pytest.raises(CannotReverse, match="has been reversed already"):
        dozen.reverse({panel: 12}, by=coordinator, idempotency_key=uuid.uuid4())
    with pytest.raises(IntegrityError), transaction.atomic():
        DeliveryReversal.objects.create(delivery=dozen, made_by=coordinator)
    assert dozen.movements.filter(why="reversed").count() == 1


def test_goods_that_are_reversed_name_their_delivery(coordinator, panel, dozen):
    nameless = {"item": panel, "place": dozen.place, "number": 9, "why": "reversed"}
    figures = {"on_hand_change": -1, "on_hand": 11, "reserved_change": 0, "reserved": 0}

    with pytest.raises(IntegrityError, match="what_is_reversed_is_of_a_delivery"):
        Movement.objects.create(**nameless, **figures, made_by=coordinator)


def test_what_was_used_since_does_not_come_off_and_is_told_also_where_others_lie_elsewhere(
    coordinating, coordinator, panel, dozen, rack, loft, text_of
):
    movements.take_in(panel, loft, 18, by=coordinator)
    movements.take_out(panel, rack, 9, by=coordinator)

    asked = coordinating.get(f"/store/deliveries/{dozen.pk}/reverse/")
    turn_back(coordinating, dozen)

    assert "Used since: 9 of 12, so 3 can be taken out." in text_of(asked)
    assert asked.context["form"][off(panel)].value() == 3
    assert on_hand(panel) == 18


def test_what_was_reserved_since_is_released_and_its_build_is_named(
    coordinating, coordinator, panel, dozen, rack, text_of
):
    build = make_build("Nook")
    movements.take_in(panel, rack, 2, by=coordinator)
    movements.reserve(panel, rack, 8, by=coordinator, build=build)

    asked = text_of(coordinating.get(f"/store/deliveries/{dozen.pk}/reverse/"))
    told = text_of(turn_back(coordinating, dozen))

    assert f"8 for build {build.code}, Nook" in asked
    assert reserved_by_place(build=build)[0][2] == 2
    assert f"6 × “White panel”, reserved for build {build.code}, Nook" in told


def test_free_ones_come_off_before_reserved_ones(coordinating, coordinator, panel, dozen, rack):
    build = make_build("Nook")
    movements.take_in(panel, rack, 20, by=coordinator)
    movements.reserve(panel, rack, 8, by=coordinator, build=build)

    turn_back(coordinating, dozen)

    assert reserved_by_place(build=build)[0][2] == 8


def test_what_was_moved_since_comes_off_where_it_lies_now(
    coordinating, coordinator, panel, dozen, rack, loft
):
    shed = make_place("Shed")
    movements.take_in(panel, shed, 30, by=coordinator)
    movements.move(panel, rack, loft, 7, by=coordinator)

    turn_back(coordinating, dozen)

    assert {one.place: one.on_hand for one in panel.stocks.all()} == {rack: 0, loft: 0, shed: 30}


def test_a_place_that_was_counted_since_keeps_its_count_unless_it_is_said_otherwise(
    coordinating, coordinator, panel, dozen, rack, text_of
):
    movements.count(panel, rack, 5, by=coordinator)

    asked = coordinating.get(f"/store/deliveries/{dozen.pk}/reverse/")

    assert "was counted after this delivery" in text_of(asked)
    assert asked.context["form"][off(panel)].value() == 0
    turn_back(coordinating, dozen)
    assert on_hand(panel) == 5


def test_what_changed_since_the_page_was_opened_is_told_first(
    coordinating, coordinator, panel, dozen, rack, text_of
):
    sent = opened(coordinating, dozen)
    movements.take_out(panel, rack, 4, by=coordinator)

    here = f"/store/deliveries/{dozen.pk}/reverse/"
    response = coordinating.post(here, sent | {off(panel): 3})

    assert response.status_code == 422
    told = "<strong>White panel</strong>: 8 in"
    assert "This has changed since you opened the page:" in text_of(response)
    assert told in text_of(response)
    assert on_hand(panel) == 8


def test_what_changed_is_told_for_more_items_than_a_token_has_room_for(
    coordinating, coordinator, rack, text_of
):
    items = [make_item(name=f"Panel {number}") for number in range(MOST_ITEMS + 1)]
    lines = [(one, 5) for one in items]
    made = receive(lines, rack, supplier=None, by=coordinator, idempotency_key=uuid.uuid4())
    sent = opened(coordinating, made, **{off(items[-1]): 1})
    movements.take_out(items[-1], rack, 2, by=coordinator)

    response = coordinating.post(f"/store/deliveries/{made.pk}/reverse/", sent)

    assert response.status_code == 422
    assert "<strong>The store</strong>: see the figures below" in text_of(response)
    assert on_hand(items[-1]) == 3


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ("13", "13 given. Give a whole number from 0 to 12."),
        ("-1", "-1 given. Give a whole number from 0 to 12."),
        ("some", "“some” given. Give a whole number from 0 to 12."),
        ("9" * 30, "Give a whole number from 0 to 12."),
    ],
)
def test_more_than_came_cannot_come_off(
    coordinating, coordinator, panel, dozen, rack, text_of, given, sentence
):
    movements.take_in(panel, rack, 30, by=coordinator)

    response = turn_back(coordinating, dozen, **{off(panel): given})

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert on_hand(panel) == 42
    assert not DeliveryReversal.objects.exists()


def test_packs_of_one_item_come_off_together(coordinating, coordinator, panel, rack):
    lines = [(panel, 12), (panel, 50)]
    both = receive(lines, rack, supplier=None, by=coordinator, idempotency_key=uuid.uuid4())

    turn_back(coordinating, both)

    assert on_hand(panel) == 0
    assert both.movements.filter(why="reversed").get().on_hand_change == -62


@pytest.mark.parametrize("count", [3, 12])
def test_deliveries_ask_the_same_few_questions_for_twelve_lines_as_for_three(
    coordinating, coordinator, rack, django_assert_max_num_queries, count
):
    items = [make_item(name=f"Panel {number}") for number in range(count)]
    made = receive(
        [(one, 5) for one in items],
        rack,
        supplier=None,
        by=coordinator,
        idempotency_key=uuid.uuid4(),
    )
    for number, one in enumerate(items):
        build = make_build(f"Nook {number}") if number < 3 else None
        movements.reserve(one, rack, 1, by=coordinator, **({"build": build} if build else {}))
        receive([(one, 2)], rack, supplier=None, by=coordinator, idempotency_key=uuid.uuid4())

    with django_assert_max_num_queries(7):
        coordinating.get("/store/deliveries/")
    with django_assert_max_num_queries(7):
        coordinating.get(f"/store/deliveries/{made.pk}/")
    with django_assert_max_num_queries(16):
        coordinating.get(f"/store/deliveries/{made.pk}/reverse/")
