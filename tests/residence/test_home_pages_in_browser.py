"""Pages of homes and enclosures in Chromium: readable for all, and usable by touch."""

import pytest

from habitats.animals.models.quarantines import Quarantine
from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.enclosures.models.parts import ComponentCheck
from habitats.homes.models.homes import HomeContact
from tests.support.designs import make_design
from tests.support.reading import fits


@pytest.fixture
def nook(
    make_home,
    make_animal,
    make_enclosure,
    make_group,
    answer_to,
    coordinator,
    foster,
    day,
    this_day,
):
    """An enclosure with everything that a page may have to say, in a home of the foster's."""
    answer_to("ch-tschv", name="Burrow Lane")
    home = make_home("Wren", area="North Quay", people=[foster], other_pets="a cat")
    HomeContact.objects.create(home=home, phone="0300 41")
    enclosure = make_enclosure("Nook", home, plan=["##"])
    pip, moss = make_animal("Pip", grams=900), make_animal("Moss", sex="M", grams=1000)
    make_group(pip, moss, enclosure=enclosure)
    Quarantine.objects.create(animal=pip, since=day(-3), made_by=coordinator)
    part = enclosure.components.first()
    part.found_to_be("unsafe", on=day(-2), by=foster, note="a cut end")
    return enclosure


@pytest.fixture
def places(nook):
    home = f"/homes/{nook.standings.get().home.code}/"
    enclosure = f"/enclosures/{nook.code}/"
    return [
        "/homes/",
        "/homes/new/",
        home,
        f"{home}edit/",
        f"{home}contact/",
        f"{home}people/",
        "/enclosures/",
        "/enclosures/new/",
        enclosure,
        f"{enclosure}edit/",
        f"{enclosure}check/",
        f"{enclosure}move/",
        "/rescue/",
        "/rescue/own/guinea_pig/",
        "/rescue/own/rabbit/",
        "/rescue/rule-sets/",
    ]


def test_every_full_page_is_accessible_and_fits_a_phone(phone_in_german, places, axe):
    for address in places:
        assert phone_in_german.goto(address).ok, address
        for fold in phone_in_german.locator("main summary").all():
            fold.tap()
        assert fits(phone_in_german), address
        axe(phone_in_german)


@pytest.mark.nightly
def test_every_full_page_fits_a_desk(desktop, places):
    for address in places:
        assert desktop.goto(address).ok, address
        assert fits(desktop), address


def test_every_empty_page_is_accessible_and_fits_a_phone(phone, axe):
    for address in ("/homes/", "/enclosures/", "/rescue/own/rabbit/"):
        phone.goto(address)
        assert fits(phone), address
        axe(phone)


@pytest.mark.parametrize("script", [True, False])
def test_an_enclosure_too_large_for_its_home_is_set_up_on_second_thought(
    open_page, coordinator, make_home, this_day, script
):
    Design.objects.draw(make_design(name="Long wall"), by=coordinator)
    home = make_home(largest_width_mm=700, largest_depth_mm=700)
    phone = open_page(coordinator, screen="phone", script=script)

    phone.goto(f"/homes/{home.code}/")
    phone.get_by_role("link", name="Add enclosure").tap()
    phone.get_by_label("Design").select_option(index=1)
    phone.get_by_label("Label").fill("Nook")
    phone.get_by_label("Standing").check()
    phone.get_by_role("button", name="Add enclosure").tap()
    phone.get_by_text("the largest that fits into Wren").wait_for()
    assert phone.get_by_label("Label").input_value() == "Nook"
    phone.get_by_label("I have read this").check()
    phone.get_by_role("button", name="Add enclosure").tap()

    phone.get_by_role("heading", name="Nook").wait_for()
    assert Enclosure.objects.get().state_now() == EnclosureState.STANDING


def test_a_foster_finds_the_fault_with_a_thumb(open_page, foster, nook):
    phone = open_page(foster, screen="phone")

    phone.goto(f"/e/{nook.code}/")
    phone.get_by_text("More actions").tap()
    phone.get_by_role("link", name="Safety check").tap()
    phone.get_by_text("Condition of the parts").tap()
    phone.get_by_label("Trays, 1").select_option("Damaged")
    phone.get_by_label("Needs repair").check()
    phone.get_by_role("button", name="Save safety check").tap()

    phone.get_by_text("The safety check is saved").wait_for()
    assert ComponentCheck.objects.latest("pk").condition == "damaged"
    assert nook.state_now() == EnclosureState.NEEDS_REPAIR


def test_targets_of_the_enclosure_page_are_as_large_as_a_thumb(phone, nook):
    phone.goto(f"/enclosures/{nook.code}/")
    phone.get_by_text("More actions").tap()

    for target in phone.locator("main a.button, main button, main summary, main select").all():
        assert target.bounding_box()["height"] >= 44
