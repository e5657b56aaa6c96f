"""Pages of the store, without a browser: sheets and offcuts kept, counted and put away."""

import re
import uuid
from decimal import Decimal

import pytest

from builds.store.models.offcuts import Offcut
from builds.store.models.sheets import SheetKind
from habitats.rescue.models.rescue import Rescue
from tests.support.sheets import loaded, make_job, make_kind, make_place, on_hand


@pytest.fixture
def kind(db):
    return make_kind()


def test_an_empty_store_says_what_to_do_first(coordinating, text_of):
    page = text_of(coordinating.get("/store/"))

    assert "Add place" in page
    assert "Add sheet" in text_of(coordinating.get("/store/sheets/"))


def test_a_kind_of_sheet_is_kept_counted_and_put_away(coordinating, text_of):
    sent = {"name": "White", "width_mm": "122 cm", "height_mm": "2440", "thickness_mm": "4"}
    coordinating.post("/store/sheets/new/", sent | {"cost": "24.5"})
    kind = SheetKind.objects.get()
    came = {"place": make_place().pk, "count": "6", "once": str(uuid.uuid4())}

    page = coordinating.post(f"/store/items/{kind.item_id}/in/", came, follow=True)
    coordinating.post(f"/store/sheets/{kind.pk}/put-away/")

    assert (kind.width_mm, kind.height_mm) == (1220, 2440)
    assert "Received: 6 × “White" in text_of(page)
    assert on_hand(kind) == 6
    assert not SheetKind.objects.live().exists()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"width_mm": "0"}, "0 mm is not allowed. Enter 100 mm to 5 000 mm."),
        ({"width_mm": "-1220"}, "is not a length"),
        ({"thickness_mm": "0"}, "Enter 0.5 or more"),
        ({"cost": "free"}, "Enter a number"),
        ({"cost": "Infinity"}, "Enter a number"),
        ({"cost": "-1"}, "Enter 0 or more"),
        ({"name": ""}, "This field is required"),
    ],
)
def test_a_wrong_kind_of_sheet_is_refused_beside_its_field(coordinating, text_of, wrong, sentence):
    sent = {"name": "White", "width_mm": "1220", "height_mm": "2440", "thickness_mm": "4"}

    response = coordinating.post("/store/sheets/new/", sent | {"cost": "24.5"} | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not SheetKind.objects.exists()


def test_a_price_in_yen_is_a_whole_number(coordinating, text_of):
    """ISO 4217 gives the yen no minor unit."""
    Rescue.ours()
    Rescue.objects.update(currency="JPY")
    sent = {"name": "White", "width_mm": "1220", "height_mm": "2440", "thickness_mm": "4"}

    refused = coordinating.post("/store/sheets/new/", sent | {"cost": "900.5"})
    coordinating.post("/store/sheets/new/", sent | {"cost": "900"})
    page = coordinating.get(f"/store/sheets/{SheetKind.objects.get().pk}/change/").content.decode()

    assert refused.status_code == 422
    assert "This currency has no decimals. Enter a whole amount." in text_of(refused)
    assert 'value="900"' in page
    assert re.search('name="cost" value="900"[^>]* inputmode="numeric"', page)


def test_a_second_sheet_of_one_name_and_size_is_refused(coordinating, kind, text_of):
    sent = {"name": kind.name, "width_mm": "1220", "height_mm": "2440", "thickness_mm": "4"}

    response = coordinating.post("/store/sheets/new/", sent | {"cost": "1"})

    assert response.status_code == 422
    assert "There is a sheet with this name and size" in text_of(response)


def test_writing_off_more_than_there_is_is_refused_beside_the_number(
    coordinating, coordinator, kind, text_of
):
    place = make_place()
    kind.move(2, "in", by=coordinator, place=place)

    response = coordinating.post(
        f"/store/items/{kind.item_id}/write-off/", {"place": place.pk, "count": "3"}
    )

    assert response.status_code == 422
    assert "asked for; Rack has 2." in text_of(response)


def test_a_new_cost_leaves_plans_that_were_made_as_they_are(coordinating, coordinator, kind):
    job = make_job(coordinator, kind)

    coordinating.post(f"/store/sheets/{kind.pk}/change/", {"name": "White", "cost": "99"})

    assert loaded(job).plan().plan.cost == Decimal("24.50")
    assert str(SheetKind.objects.get().cost) == "99.00"


def test_an_offcut_by_hand_is_kept_moved_and_written_off(coordinating, kind, text_of):
    sent = {"kind": kind.pk, "width_mm": "400", "height_mm": "600", "place": make_place("Rack").pk}
    coordinating.post("/store/offcuts/new/", sent | {"once": str(uuid.uuid4())})
    offcut = Offcut.objects.get()

    coordinating.post(f"/store/offcuts/{offcut.label}/", {"place": make_place("Loft").pk})
    page = text_of(coordinating.get(f"/store/offcuts/{offcut.label.lower()}/"))
    coordinating.post(f"/store/offcuts/{offcut.label}/write-off/")

    assert "put in Loft" in page
    assert "put in Rack" in page
    assert not Offcut.objects.in_store().exists()
    assert "Gone." in text_of(coordinating.get(f"/store/offcuts/{offcut.label}/"))
