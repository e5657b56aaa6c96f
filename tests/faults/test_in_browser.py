"""Faults and safety checks in Chromium: by thumb, with a photo, and without script."""

import pytest
from playwright.sync_api import expect

from habitats.faults.models.faults import Fault, FaultMended
from habitats.faults.models.safety_checks import SafetyCheck
from habitats.upkeep.places import FloorPoint
from tests.support.reading import fits


@pytest.fixture
def address(loft, this_day):
    return f"/enclosures/{loft.code}/fault/"


def send_photo(page, photo):
    page.get_by_label("Photo", exact=True).set_input_files(
        {"name": "fault.jpg", "mimeType": "image/jpeg", "buffer": photo}
    )


def test_a_foster_reports_a_fault_with_a_thumb(open_page, foster, address, photo_of, media):
    page = open_page(foster, screen="phone")
    page.goto(address)

    page.get_by_label("Fault").select_option("Slippery ramp")
    page.get_by_label("Mend soon").check()
    send_photo(page, photo_of(width=320, height=240))
    page.get_by_role("img", name="Floor: upper level").tap()
    page.get_by_role("button", name="Report fault").tap()

    page.get_by_text("Reported: Slippery ramp.").wait_for()
    fault = Fault.objects.get()
    # The thumb went down in the middle of two by two cells that begin at 4 × 355 mm, and of the
    # north mark beside them.
    assert fault.z == 1
    assert 0 <= fault.x_mm - 5 * 355 < 80
    assert abs(fault.y_mm - 355) < 40
    shown = page.get_by_role("img", name="Photo of the fault")
    assert shown.evaluate("one => one.decode().then(() => one.naturalWidth)") == 320
    assert fits(page)


def test_a_fault_is_reported_without_script(open_page, foster, address, photo, media):
    page = open_page(foster, screen="phone", script=False)
    page.goto(address)

    page.get_by_label("Fault").select_option("Sharp wire end")
    page.get_by_label("Unsafe now").check()
    send_photo(page, photo)
    page.get_by_label("Place").select_option("Upper level, north-west part")
    page.get_by_role("button", name="Report fault").tap()

    page.get_by_text("no group can move in until it is mended").wait_for()
    fault = Fault.objects.get()
    assert (fault.kind, fault.urgency) == ("wire", "unsafe")
    assert fault.where_words() == "upper level, north-west part"
    assert fault.photo


def test_the_last_word_on_the_place_counts(open_page, foster, address):
    page = open_page(foster, screen="phone")
    page.goto(address)

    page.get_by_role("img", name="Floor: upper level").tap()
    expect(page.locator(".tapped-ring")).to_have_count(2)
    page.get_by_label("Place").select_option("Ground, north-east part")
    expect(page.locator(".tapped-ring")).to_have_count(0)
    page.get_by_label("Fault").select_option("Gap in a wall")
    page.get_by_label("When convenient").check()
    page.get_by_role("button", name="Report fault").tap()

    page.get_by_text("Reported:").wait_for()
    assert Fault.objects.get().where_words() == "ground, north-east part"


def test_a_place_that_was_tapped_outlives_a_refused_form(open_page, foster, address):
    page = open_page(foster, screen="phone")
    page.goto(address)
    page.get_by_role("img", name="Floor: ground").tap()
    page.get_by_label("Fault").select_option("Something else")
    page.get_by_label("Mend soon").check()

    page.get_by_role("button", name="Report fault").tap()

    page.get_by_text("Describe in a few words what is wrong.").wait_for()
    expect(page.locator(".tapped-ring")).to_have_count(2)


def test_an_enclosure_is_looked_over_without_script(open_page, foster, loft, this_day):
    before = SafetyCheck.objects.count()
    page = open_page(foster, screen="phone", script=False)
    page.goto(f"/enclosures/{loft.code}/check/")

    for point in page.get_by_role("listitem").filter(has=page.get_by_role("radio")).all():
        point.get_by_label("Yes").check()
    page.get_by_role("button", name="Save safety check").tap()

    page.get_by_text("The safety check is saved").wait_for()
    assert SafetyCheck.objects.count() == before + 1
    assert not Fault.objects.exists()


def test_a_builder_mends_it_from_the_list(open_page, builder, loft, report, this_day):
    report(loft, "wire", "unsafe")
    page = open_page(builder, screen="phone")

    page.goto("/faults/")
    page.get_by_role("link", name="Sharp wire end").tap()
    page.get_by_label("Work done").fill("Filed smooth")
    page.get_by_role("button", name="Mark as mended").tap()

    page.get_by_text("Marked as mended: Sharp wire end.").wait_for()
    assert FaultMended.objects.get().note == "Filed smooth"


@pytest.mark.parametrize("screen", ["phone", "desktop"])
def test_every_page_is_accessible_and_fits(
    screen, open_page, coordinator, loft, report, this_day, axe
):
    fault = report(loft, "wire", "unsafe", where=FloorPoint(1, 1600, 200), note="by the doorway")
    page = open_page(coordinator, screen=screen)
    for address in (
        f"/enclosures/{loft.code}/fault/",
        f"/enclosures/{loft.code}/check/",
        f"/enclosures/{loft.code}/",
        f"/faults/{fault.pk}/",
        "/faults/",
        "/space/",
        "/today/",
    ):
        page.goto(address)
        assert fits(page), address
        axe(page)
