"""Items from a file, by the pages of imports: with a first count, once."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

from builds.store.forms.items import ItemForm
from builds.store.models import movements
from builds.store.models.items import LARGEST_CLOTH_MM, LEAST_CLOTH_MM, MOST_REORDER, Item
from builds.store.models.places import Place
from builds.store.models.stock import Movement, Stock
from builds.store.models.suppliers import MOST_IN_A_PACK, MOST_PRICE, PackOffer, Supplier
from habitats.imports import items as columns
from habitats.rescue.models.rescue import Rescue

pytestmark = pytest.mark.django_db

HEAD = "name,kind,panel_mm,panel_squares,place,on_hand\n"


@pytest.fixture
def check(coordinating):
    """The dry run of a file of items."""

    def make(content):
        file = SimpleUploadedFile("items.csv", content.encode(), content_type="text/csv")
        sent = coordinating.post("/import/", {"kind": "items", "file": file})
        assert sent.status_code == 302, sent.context["form"].errors
        return coordinating.get(sent.url)

    return make


@pytest.fixture
def take_in(check, coordinating):
    def make(content):
        page = check(content)
        return coordinating.post(page.request["PATH_INFO"], {"how": "whole"}, follow=True)

    return make


def only_fault(page):
    (fault,) = page.context["plan"].faults
    return fault.line, fault.column, str(fault.sentence)


def test_an_item_comes_with_a_first_count(take_in, rack):
    take_in(f"{HEAD}White panel,panel,355,9,{rack.code.lower()},48\nLid clip,clip,,,,\n")

    panel = Item.objects.get(name="White panel")
    assert (panel.kind, panel.panel_mm, panel.panel_squares) == ("panel", 355, 9)
    (stock,) = panel.stocks.all()
    assert (stock.place, stock.on_hand) == (rack, 48)
    assert Item.objects.filter(name="Lid clip", stocks=None).exists()


def test_the_first_count_is_as_one_that_is_counted_by_hand(take_in, rack, coordinator):
    take_in(f"{HEAD}Cable tie,tie,,,Rack,100\n")
    by_hand = Item.objects.create(kind="tie", name="Long tie")
    movements.count(by_hand, rack, 100, by=coordinator)

    def facts(model, name):
        mine = {"id", "_state", "item_id", "moved_at", "counted_at", "made_at", "idempotency_key"}
        row = model.objects.get(item__name=name)
        assert row.__dict__.get("counted_at", True)
        return {key: value for key, value in vars(row).items() if key not in mine}

    for model in (Stock, Movement):
        assert facts(model, "Cable tie") == facts(model, "Long tie")


PRICED = "name,kind,panel_mm,panel_squares,supplier,pack_count,pack_price\n"


def test_an_item_comes_with_what_a_pack_of_it_costs(take_in):
    Supplier.objects.create(name="Mesh shop")
    take_in(
        f"{PRICED}White panel,panel,355,9,mesh shop,12,29.90\n"
        'Lid clip,clip,,,New shop,,"0,35"\nCable tie,tie,,,,,\n'
    )

    packs = PackOffer.objects.order_by("pk").values_list("supplier__name", "item__name", "count")
    assert list(packs) == [("Mesh shop", "White panel", 12), ("New shop", "Lid clip", 1)]
    assert [one.price for one in PackOffer.objects.order_by("pk")] == [
        Decimal("29.90"),
        Decimal("0.35"),
    ]


@pytest.mark.parametrize(
    ("cells", "column"),
    [
        ("Mesh shop,12,", "pack_price"),
        (",12,29.90", "supplier"),
        ("Mesh shop,12,29.905", "pack_price"),
        ("Mesh shop,0,29.90", "pack_count"),
        ("Mesh shop,12,1000000", "pack_price"),
    ],
)
def test_a_price_that_cannot_be_is_told_with_its_column(check, cells, column):
    assert only_fault(check(f"{PRICED}Lid clip,clip,,,{cells}\n"))[:2] == (2, column)


def test_what_is_counted_can_be_taken_out(take_in, rack, coordinator):
    take_in(f"{HEAD}Cable tie,tie,,,Rack,100\n")

    movements.take_out(Item.objects.get(), rack, 40, by=coordinator)

    assert Stock.objects.get().on_hand == 60


def test_a_new_name_makes_one_place_and_is_pointed_out(check, take_in):
    text = f"{HEAD}Cable tie,tie,,,Shed,100\nLid clip,clip,,,shed,20\n"

    (doubt,) = check(text).context["plan"].doubts
    take_in(text)

    assert (doubt.line, doubt.column) == (2, "place")
    assert [place.name for place in Place.objects.all()] == ["Shed"]
    assert Stock.objects.count() == 2


def test_the_price_of_an_archived_supplier_is_pointed_out(check, take_in, rack):
    Supplier.objects.create(name="Old Barn", is_put_away=True)
    Supplier.objects.create(name="New Barn")
    text = (
        "name,kind,supplier,pack_count,pack_price\n"
        "Cable tie,tie,old barn,100,4.00\nLid clip,clip,New Barn,20,3.00\n"
    )

    (doubt,) = check(text).context["plan"].doubts
    take_in(text)

    assert (doubt.line, doubt.column) == (2, "supplier")
    assert "archived" in doubt.sentence
    assert [one.item.name for one in PackOffer.objects.live()] == ["Lid clip"]


def test_without_a_place_they_lie_in_the_usual_one(take_in, rack):
    take_in("name,kind,on_hand\nCable tie,tie,100\n")

    assert Stock.objects.get().place == rack


def test_a_panel_without_a_size_is_that_of_the_rescue(take_in, check):
    text = "name,kind\nWhite panel,panel\n"
    assert only_fault(check(text))[1] == "panel_mm"

    Rescue.objects.update_or_create(pk=1, defaults={"panel_mm": 350, "panel_squares": 10})
    take_in(text)

    made = Item.objects.get()
    assert (made.panel_mm, made.panel_squares) == (350, 10)


def test_the_same_kind_and_name_is_known_and_not_counted_again(take_in, rack):
    take_in(f"{HEAD}Cable tie,tie,,,Rack,100\n")
    take_in(f"{HEAD}Cable tie,tie,,,Rack,90\nLid clip,clip,,,Rack,1\n")

    assert Item.objects.filter(name="Cable tie").count() == 1
    assert Stock.objects.get(item__name="Cable tie").on_hand == 100


@pytest.mark.parametrize(
    ("row", "column", "words"),
    [
        ("Plate,sheet,,,,", "kind", "Add sheets on the page of the store."),
        ("Tie,tie,355,9,,", "panel_mm", "Only panels have this."),
        ("Panel,panel,355,,,", "panel_squares", "go together"),
        ("Tie,tie,,,Rack,", "on_hand", "Write how many are there"),
        ("Tie,tie,,,Rack,@9", "on_hand", "Formulas are never calculated"),
    ],
)
def test_each_fault_is_told_with_its_column(check, row, column, words):
    faults = check(f"{HEAD}{row}\n").context["plan"].faults

    assert column in [fault.column for fault in faults]
    assert any(words in str(fault.sentence) for fault in faults)


def test_an_archived_place_is_not_filled(check, rack):
    Place.objects.filter(pk=rack.pk).update(is_put_away=True)

    line, column, sentence = only_fault(check(f"{HEAD}Tie,tie,,,RACK,9\n"))

    assert (line, column) == (2, "place")
    assert sentence.startswith("This place is archived.")


def test_questions_do_not_grow_with_rows(take_in, rack):
    def asked(first, rows):
        lines = (f"Tie {n},tie,,,Rack,5\n" for n in range(first, first + rows))
        with CaptureQueriesContext(connection) as caught:
            take_in(HEAD + "".join(lines))
        return len(caught)

    asked(0, 1)
    assert asked(100, 3) == asked(200, 30)


def test_words_and_bounds_are_those_of_the_form():
    assert set(columns.KINDS_OF_ITEM) == {code for code, _words in ItemForm.KINDS}
    assert columns.CLOTH_MM == (LEAST_CLOTH_MM, LARGEST_CLOTH_MM)
    assert columns.MOST_REORDER == MOST_REORDER
    assert Supplier._meta.get_field("name").max_length == columns.LONGEST_SUPPLIER
    assert (columns.MOST_IN_A_PACK, columns.MOST_PRICE) == (MOST_IN_A_PACK, MOST_PRICE)
    assert columns.MOST_ON_HAND == movements.MOST_AT_ONCE
