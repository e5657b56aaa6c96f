"""Pages of the store, without a browser: places, items, what happens to them, and as on a day."""

import uuid
from datetime import timedelta

import pytest
from django.utils import timezone

from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import Movement, Stock
from habitats.rescue.models.rescue import Rescue
from tests.support.sheets import make_job, make_kind, make_place
from tests.support.store import make_item, make_pack


def act(client, item, what, **sent):
    sent = {"once": str(uuid.uuid4()), "note": ""} | sent
    return client.post(f"/store/items/{item.pk}/{what}/", sent, follow=True)


# --- Places ---


def test_a_place_is_kept_with_its_code_in_capitals(coordinating):
    coordinating.post("/store/places/new/", {"code": "loft 2", "name": "Upper shelf"})

    assert Place.objects.get().code == "LOFT-2"


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"code": "rack"}, "There is a place with this code already"),
        ({"name": "Rack"}, "There is a place with this name already"),
        ({"code": "ü!"}, "A code has up to 12 capital letters"),
        ({"code": "A" * 13}, "Enter 12 characters at most"),
        ({"name": ""}, "This field is required"),
        ({"name": "A\0B"}, "Null characters are not allowed"),
    ],
)
def test_a_wrong_place_is_refused_beside_its_field(coordinating, rack, text_of, wrong, sentence):
    response = coordinating.post("/store/places/new/", {"code": "B1", "name": "Box"} | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert Place.objects.count() == 1


def test_a_place_without_a_code_has_one_made_of_its_name(coordinating, rack):
    coordinating.post("/store/places/new/", {"code": "", "name": "Rack!"})

    assert Place.objects.get(name="Rack!").code == "RACK-2"


def test_only_an_empty_place_is_put_away(coordinating, ten, rack, text_of, coordinator):
    refused = coordinating.post(f"/store/places/{rack.code}/put-away/", follow=True)
    movements.take_out(ten.item, rack, 10, by=coordinator)
    coordinating.post(f"/store/places/{rack.code}/put-away/")

    assert "“Rack” is not empty" in text_of(refused)
    assert not Place.objects.live().exists()


# --- Items ---


def test_the_form_knows_the_panel_of_the_rescue_and_a_usual_roll(coordinating):
    Rescue.objects.update_or_create(pk=1, defaults={"panel_mm": 350, "panel_squares": 10})

    panel = coordinating.get("/store/items/new/?kind=panel").context["form"]
    cloth = coordinating.get("/store/items/new/?kind=cloth").context["form"]

    assert (panel["panel_mm"].initial, panel["panel_squares"].initial) == (350, 10)
    assert cloth["cloth_mm"].initial == 1500  # common practice, no source


@pytest.mark.parametrize("act", ["count", "in"])
def test_without_any_place_things_are_counted_into_the_first(coordinating, panel, act):
    sent = {"once": str(uuid.uuid4()), "note": "", "place": "", "count": "40"}
    coordinating.post(f"/store/items/{panel.pk}/{act}/", sent)

    (stock,) = panel.stocks.all()
    assert (stock.place.name, stock.on_hand) == ("Store", 40)


def test_with_places_there_one_has_to_be_chosen(coordinating, panel, rack):
    refused = act(coordinating, panel, "count", place="", count="40")

    assert refused.status_code == 422
    assert not panel.stocks.exists()


def test_a_panel_is_kept_with_its_size_and_a_tie_without(coordinating):
    sent = {"kind": "panel", "name": "White", "panel_mm": "35.5 cm", "panel_squares": "9"}
    coordinating.post("/store/items/new/", sent)
    coordinating.post(
        "/store/items/new/", sent | {"kind": "tie", "name": "Tie", "reorder_at": "50"}
    )

    panel, tie = Item.objects.by_kind()
    assert (panel.panel_mm, panel.panel_squares, panel.reorder_at) == (355, 9, None)
    assert (tie.panel_mm, tie.panel_squares, tie.reorder_at) == (None, None, 50)


def test_a_new_item_is_asked_first_what_it_is_and_then_only_what_concerns_that(
    coordinating, text_of
):
    choose = text_of(coordinating.get("/store/items/new/"))
    tie = text_of(coordinating.get("/store/items/new/?kind=tie"))
    panel = text_of(coordinating.get("/store/items/new/?kind=panel"))

    assert "First choose its kind." in choose
    assert "Squares per side" in panel
    assert "Squares per side" not in tie


def test_tape_and_cloth_are_counted_in_metres(coordinating):
    coordinating.post("/store/items/new/", {"kind": "tape", "name": "Tape", "unit": "rolls"})

    assert Item.objects.get().unit == "m"


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"panel_mm": ""}, "Enter the size of the panel."),
        ({"panel_mm": "2 mm"}, "2 mm is not allowed. Enter 150 mm"),
        ({"panel_squares": "many"}, "“many” given. Give a whole number from 3 to 40."),
        ({"panel_squares": "2"}, "2 given. Give a whole number from 3 to 40."),
        ({"kind": "cloth"}, "Enter the width of the roll."),
        ({"kind": "sheet"}, "Select a valid choice"),
        ({"reorder_at": "0"}, "0 given. Give a whole number from 1 to 100000."),
        ({"reorder_at": "9" * 30}, "9" * 20 + " given. Give a whole number"),
        ({"name": "A\0"}, "Null characters are not allowed"),
        ({"name": "White panel"}, "There is an item with this name already"),
    ],
)
def test_a_wrong_item_is_refused_beside_its_field(coordinating, panel, text_of, wrong, sentence):
    sent = {"kind": "panel", "name": "Black", "panel_mm": "355", "panel_squares": "9"}

    response = coordinating.post("/store/items/new/", sent | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert Item.objects.count() == 1


def test_what_builds_take_instead_is_told(coordinating, panel, text_of):
    other = make_item(name="Black panel")

    assert "Builds use “White panel”," in text_of(coordinating.get(f"/store/items/{other.pk}/"))
    assert "Builds use" not in text_of(coordinating.get(f"/store/items/{panel.pk}/"))


def test_an_item_is_changed_put_away_and_brought_back(coordinating, panel):
    sent = {"name": "Grey panel", "reorder_at": "40"}
    coordinating.post(f"/store/items/{panel.pk}/edit/", sent)
    coordinating.post(f"/store/items/{panel.pk}/put-away/")
    panel.refresh_from_db()

    assert (panel.name, panel.reorder_at, panel.is_put_away) == ("Grey panel", 40, True)


def test_an_item_is_not_given_the_name_of_another(coordinating, panel, text_of):
    other = make_item(name="Black panel")

    response = coordinating.post(f"/store/items/{other.pk}/edit/", {"name": "White panel"})

    assert response.status_code == 422
    assert "There is an item with this name already" in text_of(response)


def test_a_sheet_is_not_given_the_name_of_another_of_its_size(coordinating, text_of, db):
    make_kind(name="White")
    other = make_kind(name="Grey")

    sent = {"name": "White", "cost": "1"}
    response = coordinating.post(f"/store/sheets/{other.pk}/change/", sent)

    assert response.status_code == 422
    assert "Another sheet of this size has this name already" in text_of(response)


# --- What happens ---


def test_it_comes_in_is_moved_taken_written_off_and_counted(
    coordinating, panel, rack, loft, text_of
):
    act(coordinating, panel, "in", place=rack.pk, count="10")
    act(coordinating, panel, "move", place=rack.pk, to=loft.pk, count="4")
    act(coordinating, panel, "out", place=loft.pk, count="1")
    act(coordinating, panel, "write-off", place=loft.pk, count="1")
    page = act(coordinating, panel, "count", place=rack.pk, count="7")

    assert {one.place: one.on_hand for one in Stock.objects.all()} == {rack: 7, loft: 2}
    ledger = text_of(page)
    for words in (
        "Received",
        "Moved to LOFT",
        "Moved from RACK",
        "Taken",
        "Written off",
        "Counted",
    ):
        assert words in ledger


def test_the_address_of_scrapping_leads_to_writing_off_and_its_form_is_taken_yet(
    coordinating, panel, rack
):
    act(coordinating, panel, "in", place=rack.pk, count="10")
    former = f"/store/items/{panel.pk}/scrap/"

    page = coordinating.get(former)
    sent = coordinating.post(former, {"place": rack.pk, "count": "4"})

    assert (page.status_code, page.url) == (301, f"/store/items/{panel.pk}/write-off/")
    assert sent.status_code == 302
    assert Stock.objects.get().on_hand == 6


def test_a_form_sent_twice_counts_once(coordinating, panel, rack):
    once = str(uuid.uuid4())
    for _time in range(2):
        act(coordinating, panel, "in", place=rack.pk, count="3", once=once)

    assert Stock.objects.get().on_hand == 3


@pytest.mark.parametrize(
    ("what", "count", "sentence"),
    [
        ("out", "11", "11 × “White panel” asked for; Rack has 10."),
        ("write-off", "11", "11 × “White panel” asked for; Rack has 10."),
        ("move", "11", "11 × “White panel” asked for; Rack has 10."),
        ("out", "0", "0 given. Give a whole number from 1 to 1000000."),
        ("in", "-4", "-4 given. Give a whole number from 1 to 1000000."),
        ("count", "-1", "-1 given. Give a whole number from 0 to 1000000."),
        ("count", "9" * 400, "given. Give a whole number from 0 to 1000000."),
        ("count", "ten", "“ten” given. Give a whole number from 0 to 1000000."),
        ("count", "1.5", "“1.5” given. Give a whole number from 0 to 1000000."),
        ("count", "1\0", "given. Give a whole number from 0 to 1000000."),
        ("count", "", "This field is required."),
    ],
)
def test_a_number_that_cannot_be_is_refused_beside_it_and_nothing_is_written(
    coordinating, ten, rack, loft, text_of, what, count, sentence
):
    response = act(coordinating, ten.item, what, place=rack.pk, to=loft.pk, count=count)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert Movement.objects.count() == 1
    assert 'aria-invalid="true"' in text_of(response)


def test_more_is_reserved_than_can_be_taken_and_the_page_says_for_what(
    coordinating, coordinator, ten, rack, text_of
):
    job = make_job(coordinator, make_kind())
    movements.reserve(ten.item, rack, 8, by=coordinator, job=job)

    refused = act(coordinating, ten.item, "out", place=rack.pk, count="3")
    page = text_of(coordinating.get(f"/store/items/{ten.item_id}/"))

    assert "8 reserved, 2 free" in text_of(refused)
    assert f"job {job.code}" in page


def test_a_builder_looks_and_changes_nothing(building, ten, rack):
    assert building.get(f"/store/items/{ten.item_id}/").status_code == 200
    assert act(building, ten.item, "in", place=rack.pk, count="1").status_code == 403


@pytest.mark.parametrize(
    "address",
    [
        "/store/items/999999/",
        "/store/items/99999999999999999999999/",
        "/store/places/NOWHERE/",
        "/store/suppliers/999/",
        "/store/packs/999/",
    ],
)
def test_what_is_not_there_is_not_found(coordinating, address):
    assert coordinating.get(address).status_code == 404


def test_nothing_else_can_happen_to_an_item(coordinating, panel):
    assert coordinating.get(f"/store/items/{panel.pk}/burn/").status_code == 404


# --- Find, and as on a day ---


def test_items_are_found_by_name_kind_place_and_want(coordinating, coordinator, ten, loft, text_of):
    tie = make_item(kind="tie", name="Tie", panel_mm=None, panel_squares=None, reorder_at=9)
    movements.take_in(tie, loft, 3, by=coordinator)

    for query in ("words=tie", "kind=tie", "place=LOFT", "short=on"):
        page = text_of(coordinating.get(f"/store/?{query}"))
        assert "Tie</a>" in page, query
        assert "White panel" not in page, query


def test_a_day_that_makes_no_sense_is_refused_and_now_is_shown(coordinating, ten, rack, text_of):
    tomorrow = timezone.localdate() + timedelta(days=2)
    for address in ("/store/", f"/store/places/{rack.code}/", f"/store/items/{ten.item_id}/"):
        for day, sentence in ((tomorrow.isoformat(), "is in the future"), ("soon", "valid date")):
            response = coordinating.get(f"{address}?on={day}")
            assert response.status_code == 422
            assert sentence in text_of(response)
            assert ">10" in text_of(response)


def test_pages_show_what_lay_there_on_a_day(
    coordinating, coordinator, panel, rack, text_of, monkeypatch
):
    now = timezone.now()
    for days, count in ((9, 41), (5, 12)):
        at = now - timedelta(days=days)
        monkeypatch.setattr(timezone, "now", lambda at=at: at)
        movements.take_in(panel, rack, count, by=coordinator)
    monkeypatch.undo()
    then = timezone.localdate() - timedelta(days=7)

    for address in ("/store/", f"/store/places/{rack.code}/", f"/store/items/{panel.pk}/"):
        assert ">41" in text_of(coordinating.get(f"{address}?on={then.isoformat()}"))
        assert ">53" in text_of(coordinating.get(address))


# --- As many questions of thirty rows as of three ---


@pytest.mark.parametrize("count", [3, 12])
@pytest.mark.parametrize(
    ("address", "questions"),
    [
        ("/store/", 8),
        ("/store/?on={day}", 8),
        ("/store/places/", 5),
        ("/store/places/RACK/", 6),
        ("/store/items/{pk}/", 11),
        ("/store/suppliers/", 5),
        ("/store/buying/", 10),
    ],
)
def test_a_page_asks_as_much_of_twelve_rows_as_of_three(
    coordinating, coordinator, rack, django_assert_max_num_queries, count, address, questions
):
    for number in range(count):
        item = make_item(name=f"Panel {number}", reorder_at=number + 5)
        shelf = make_place(f"Shelf {number}")
        for place in (rack, shelf):
            movements.take_in(item, place, 2, by=coordinator)
        movements.reserve(item, rack, 1, by=coordinator)
        make_pack(item, 12, "24.00", supplier=f"Supplier {number}")
    for place in Place.objects.all():
        movements.take_in(item, place, 2, by=coordinator)

    with django_assert_max_num_queries(questions):
        assert (
            coordinating.get(address.format(pk=item.pk, day=timezone.localdate())).status_code
            == 200
        )
