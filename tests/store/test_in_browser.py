"""The store in Chromium: it fits a thumb and a desk, and a stocktake needs no script."""

import re
import uuid
from io import BytesIO

import pypdf
import pytest

from builds.demo.store import fill_store
from builds.store.models import movements
from builds.store.models.items import Item
from builds.store.models.places import Place
from builds.store.models.stock import Stock
from builds.store.models.suppliers import Supplier
from tests.support.reading import fits
from tests.support.sheets import make_place
from tests.support.store import make_item

THUMB = 48


@pytest.fixture
def stocked(transactional_db, coordinator, today):
    fill_store(coordinator, today, uuid.UUID(int=7))
    white, a1 = Item.objects.get(name="White panel, 352"), Place.objects.get(code="A1")
    movements.reserve(white, a1, 30, by=coordinator)
    movements.move(white, a1, Place.objects.get(code="LOFT"), 6, by=coordinator)
    supplier = Supplier.objects.by_name().first()
    return [
        "/store/",
        "/store/?short=on",
        "/store/places/",
        "/store/places/A1/",
        "/store/places/B1/count/",
        "/store/places/A1/edit/",
        "/store/sheets/",
        "/store/items/new/",
        "/store/items/new/?kind=panel",
        f"/store/items/{white.pk}/",
        f"/store/items/{white.pk}/move/",
        f"/store/items/{white.pk}/edit/",
        "/store/suppliers/",
        f"/store/suppliers/{supplier.pk}/",
        f"/store/suppliers/{supplier.pk}/came-in/",
        f"/store/suppliers/{supplier.pk}/packs/new/",
        "/store/buying/",
    ]


def small_targets(page) -> list[str]:
    """Buttons, fields and selects that a thumb in a glove would miss."""
    return page.evaluate(
        """(least) => [...document.querySelectorAll("main .button, main input, main select")]
            .filter((one) => one.type !== "hidden" && one.type !== "checkbox")
            .filter((one) => one.getBoundingClientRect().height < least - 0.5)
            .map((one) => one.outerHTML)""",
        THUMB,
    )


def test_every_page_of_a_stocked_store_fits_a_phone_and_is_accessible(
    phone_in_german, stocked, axe
):
    for address in stocked:
        phone_in_german.goto(address)
        assert fits(phone_in_german), address
        assert small_targets(phone_in_german) == [], address
        axe(phone_in_german)


@pytest.mark.nightly
def test_every_page_of_a_stocked_store_fits_a_desk_and_is_accessible(desktop, stocked, axe):
    for address in stocked:
        desktop.goto(address)
        assert fits(desktop), address
        axe(desktop)


def test_every_page_of_an_empty_store_fits_a_phone_and_is_accessible(phone, axe):
    place = make_place()
    for address in (
        "/store/",
        "/store/places/",
        "/store/sheets/",
        "/store/suppliers/",
        "/store/buying/",
        f"/store/places/{place.code}/",
        f"/store/places/{place.code}/count/",
    ):
        phone.goto(address)
        assert fits(phone), address
        axe(phone)


@pytest.mark.parametrize("script", [True, False])
def test_a_place_is_counted_by_touch_with_and_without_script(
    open_page, coordinator, builder, script
):
    rack, panel = make_place(), make_item()
    tie = make_item(kind="tie", name="Tie", panel_mm=None, panel_squares=None)
    movements.take_in(panel, rack, 10, by=coordinator)
    page = open_page(builder, screen="phone", script=script)

    page.goto("/store/places/")
    page.get_by_role("link", name="Count").tap()
    page.get_by_label("White panel").fill("8")
    page.get_by_label("Other item here").select_option(label="Tie")
    page.get_by_label("How many").first.fill("40")
    page.get_by_role("button", name="Show differences").tap()
    page.get_by_text("2 fewer").wait_for()
    page.get_by_role("button", name="Change numbers").tap()
    page.get_by_label("White panel").fill("9")
    page.get_by_role("button", name="Show differences").tap()
    page.get_by_text("1 fewer").wait_for()
    page.get_by_role("button", name="Save count").tap()

    page.get_by_text("The count of “").wait_for()
    assert {one.item: one.on_hand for one in Stock.objects.all()} == {panel: 9, tie: 40}


def test_a_shelf_list_prints_on_one_page_with_room_to_write(desktop, stocked):
    desktop.goto("/store/places/B1/")

    pdf = pypdf.PdfReader(BytesIO(desktop.pdf(format="A4")))

    words = pdf.pages[0].extract_text()
    assert len(pdf.pages) == 1
    assert "Found" in words
    assert re.search(r"Printed on \d", words)
    assert "Cable tie, 200 mm" in words
    assert "Log out" not in words


def test_the_buying_list_prints_without_what_is_only_for_the_screen(desktop, stocked):
    desktop.goto("/store/buying/")

    words = pypdf.PdfReader(BytesIO(desktop.pdf(format="Letter"))).pages[0].extract_text()

    assert "Tallow Lane Ironmongers" in words
    assert "Download CSV" not in words
