"""A stocktake: numbers, differences, then written down, once and whole."""

import uuid

import pytest

from builds.store.models import movements
from builds.store.models.stock import Movement, Stock
from builds.store.models.stocktakes import Stocktake
from tests.support.store import make_item


@pytest.fixture
def tie(db):
    return make_item(kind="tie", name="Tie", panel_mm=None, panel_squares=None)


def hidden(response):
    """What the page of differences sends on."""
    context = response.context
    return dict(context["sent"]) | {"once": str(context["once"]), "thought": context["thought"]}


def count(client, place, **numbers):
    return client.post(f"/store/places/{place.code}/count/", numbers)


def test_differences_are_shown_before_anything_is_written(building, ten, rack, text_of):
    shown = count(building, rack, **{f"count_{ten.item_id}": "8"})

    assert 'expected <span class="figure">10</span>, counted' in text_of(shown)
    assert "2 fewer" in text_of(shown)
    assert not Stocktake.objects.exists()


def test_a_builder_counts_and_it_is_written_once(building, builder, ten, rack, tie, text_of):
    sent = {f"count_{ten.item_id}": "8", "other_0": tie.pk, "other_0_count": "40"}
    sent = hidden(count(building, rack, **sent)) | {"step": "write"}

    for _time in range(2):
        done = building.post(f"/store/places/{rack.code}/count/", sent, follow=True)

    assert "The count of “" in text_of(done)
    assert {one.item: one.on_hand for one in Stock.objects.all()} == {ten.item: 8, tie: 40}
    assert Stocktake.objects.get().made_by == builder
    assert Movement.objects.filter(stocktake__isnull=False).count() == 2


def test_what_was_left_empty_is_not_counted(building, coordinator, ten, tie, rack):
    movements.take_in(tie, rack, 5, by=coordinator)
    sent = hidden(count(building, rack, **{f"count_{ten.item_id}": "10", f"count_{tie.pk}": ""}))

    building.post(f"/store/places/{rack.code}/count/", sent | {"step": "write"})

    assert Movement.objects.get(why="count").item == ten.item


def test_what_changed_meanwhile_is_shown_anew_and_nothing_is_written(
    building, coordinator, ten, rack, text_of
):
    sent = hidden(count(building, rack, **{f"count_{ten.item_id}": "8"})) | {"step": "write"}
    movements.take_out(ten.item, rack, 3, by=coordinator)

    again = building.post(f"/store/places/{rack.code}/count/", sent)

    assert again.status_code == 409
    assert "The stock in Rack has changed since you opened this page" in text_of(again)
    assert "1 more" in text_of(again)
    assert not Stocktake.objects.exists()
    building.post(f"/store/places/{rack.code}/count/", hidden(again) | {"step": "write"})
    assert Stock.objects.get().on_hand == 8


def test_all_that_went_meanwhile_does_not_lose_the_number_that_was_typed(
    building, coordinator, ten, rack, text_of
):
    sent = hidden(count(building, rack, **{f"count_{ten.item_id}": "8"})) | {"step": "write"}
    movements.take_out(ten.item, rack, 10, by=coordinator)

    again = building.post(f"/store/places/{rack.code}/count/", sent)

    assert "8 more" in text_of(again)


def test_one_goes_back_to_the_numbers_with_all_of_them_kept(building, ten, rack, text_of):
    sent = hidden(count(building, rack, **{f"count_{ten.item_id}": "8"})) | {"step": "change"}

    page = building.post(f"/store/places/{rack.code}/count/", sent)

    assert 'value="8"' in text_of(page)


def test_reserved_ones_that_are_not_there_are_named(building, coordinator, ten, rack, text_of):
    movements.reserve(ten.item, rack, 9, by=coordinator)

    shown = count(building, rack, **{f"count_{ten.item_id}": "7"})

    assert "2 reserved for builds are missing" in text_of(shown)


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({}, "Nothing is counted yet. Enter at least one number."),
        ({"count": "-1"}, "-1 given. Give a whole number from 0 to 1000000."),
        ({"count": "a few"}, "“a few” given. Give a whole number"),
        ({"count": "9" * 5000}, "given. Give a whole number"),
        ({"count": "8\0"}, "given. Give a whole number"),
        ({"other_0": "TIE"}, "Enter how many “Tie” are here."),
        ({"other_0_count": "4"}, "Choose the item for this number: 4."),
        ({"other_0": "999999", "other_0_count": "4"}, "Select a valid choice"),
        (
            {"other_0": "TIE", "other_0_count": "4", "other_1": "TIE", "other_1_count": "2"},
            "“Tie” is chosen twice",
        ),
    ],
)
def test_what_cannot_be_counted_is_refused_beside_it_with_all_else_kept(
    building, ten, rack, tie, text_of, sent, sentence
):
    names = {"count": f"count_{ten.item_id}"}
    sent = {names.get(key, key): tie.pk if one == "TIE" else one for key, one in sent.items()}

    response = count(building, rack, **sent)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert Movement.objects.count() == 1


def test_a_thought_that_was_tampered_with_writes_nothing(building, ten, rack):
    sent = {f"count_{ten.item_id}": "8", "once": str(uuid.uuid4()), "step": "write"}
    for thought in ("", "x", f"{ten.item_id}:-1", f"{ten.item_id}:{'9' * 5000}", ":", "1:2:3"):
        assert count(building, rack, **sent, thought=thought).status_code == 409

    assert not Stocktake.objects.exists()


def test_counting_asks_as_much_of_twelve_things_as_of_three(
    building, coordinator, rack, django_assert_max_num_queries
):
    for number in range(12):
        movements.take_in(make_item(name=f"Panel {number}"), rack, 2, by=coordinator)

    with django_assert_max_num_queries(6):
        building.get(f"/store/places/{rack.code}/count/")
