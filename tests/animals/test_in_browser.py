"""Pages of animals and groups in Chromium: readable for all, usable by touch and without script."""

import pytest

from habitats.animals.models.animals import Weighing
from habitats.animals.models.births import Birth
from habitats.animals.models.groups import Group, Override
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import Stay
from tests.support.reading import fits


@pytest.fixture
def places(
    lives, make_home, make_animal, make_enclosure, answer_to, foster, coordinator, day, this_day
):
    """Addresses of every kind of page, full: a group with objections, weights, a litter."""
    answer_to("ch-tschv")
    home = make_home("Wren", area="Ferry Road", people=[foster], other_pets="one cat")
    group, (ida, bo, nut), _enclosure = lives("Ida", "Bo", "Nut", home=home, grams=800)
    bo.sex, bo.is_castrated, bo.castrated_on = "M", True, day(-20)
    bo.save()
    nut.born, nut.mother = day(-60), ida
    nut.save()
    for number, grams in enumerate((504, 436, 500, 540)):
        ida.weigh(grams, day(-30 + 7 * number), by=coordinator)
    Birth.objects.create(mother=ida, on=day(-60), young=3, made_by=coordinator)
    calm, _animals, _enclosure = lives("Moss", "Lark", home=home, grams=800)
    new = make_animal("Pim", came_on=day(-3))
    Quarantine.objects.create(animal=new, since=day(-3), made_by=coordinator)
    free = make_enclosure("Bay 1", home, plan=("##", "##"))
    return {
        "animals": "/animals/",
        "new animal": "/animals/new/",
        "animal": f"/animals/{ida.code}/",
        "edit animal": f"/animals/{ida.code}/edit/",
        "intake": "/intake/",
        "taken in": f"/intake/taken-in/?animal={new.code}&animal={ida.code}",
        "room": f"/animals/{new.code}/room/",
        "birth": f"/animals/{ida.code}/birth/",
        "quarantine": f"/animals/{new.code}/quarantine/",
        "leaving": f"/animals/{new.code}/leaving/",
        "weigh": "/weigh/",
        "scales": f"/animals/{ida.code}/weigh/",
        "groups": "/groups/",
        "group": f"/groups/{group.code}/",
        "edit group": f"/groups/{group.code}/edit/",
        "new group": f"/groups/new/?animal={new.code}",
        "who joins": f"/groups/{group.code}/admit/",
        "joining": f"/groups/{calm.code}/admit/?animal={new.code}",
        "not joining": f"/groups/{group.code}/admit/?animal={new.code}",
        "where": f"/groups/{group.code}/move/",
        "where not": f"/groups/{group.code}/move/?shown=others",
        "moving": f"/groups/{group.code}/move/?enclosure={free.code}",
    }


def test_every_full_page_is_accessible_and_fits_a_phone(phone, places, axe):
    for name, address in places.items():
        phone.goto(address)
        assert fits(phone), name
        axe(phone)


@pytest.mark.nightly
def test_the_large_pages_are_accessible_and_fit_a_desk(desktop, places, axe):
    for name in ("animals", "animal", "new animal", "group", "where", "moving"):
        desktop.goto(places[name])
        assert fits(desktop), name
        axe(desktop)


def test_every_empty_page_is_accessible_and_fits_a_phone(phone, this_day, axe):
    for address in ("/animals/", "/groups/", "/groups/new/", "/weigh/"):
        phone.goto(address)
        assert fits(phone), address
        axe(phone)


def test_a_thumb_hits_every_link_of_a_fosters_pages(open_page, foster, places):
    page = open_page(foster, screen="phone")
    for name in ("animals", "animal", "group"):
        page.goto(places[name])
        heights = page.locator("main a.target").evaluate_all(
            "links => links.map(link => link.getBoundingClientRect().height)"
        )
        assert heights, name
        # 48 px: the house's own least size of what is tapped.
        assert min(heights) >= 48, name


def test_a_fosters_pages_are_accessible_and_fit_a_phone(open_page, foster, places, axe):
    page = open_page(foster, screen="phone")
    for name in ("animals", "animal", "weigh", "scales", "group"):
        page.goto(places[name])
        assert fits(page), name
        axe(page)


@pytest.mark.parametrize("script", [True, False])
def test_a_weight_takes_two_taps_and_a_number(open_page, foster, places, script):
    page = open_page(foster, screen="phone", script=script)
    page.goto("/weigh/")
    before = Weighing.objects.count()

    page.locator(".name", has_text="Ida").tap()
    page.wait_for_url("**/animals/*/weigh/")
    # The number goes where the thumb already is: no third tap to choose the field.
    page.locator("input:focus").wait_for()
    page.keyboard.type("820")
    page.get_by_role("button", name="Save, then").tap()

    page.get_by_text("Ida: 820").wait_for()
    assert Weighing.objects.count() == before + 1
    assert page.get_by_label("Grams").input_value() == ""


def test_the_scales_ask_the_phone_for_its_pad_of_digits(open_page, foster, places):
    page = open_page(foster, screen="phone")
    page.goto(places["scales"])

    grams = page.get_by_label("Grams")
    assert grams.get_attribute("inputmode") == "numeric"
    assert grams.bounding_box()["height"] >= 48


@pytest.mark.parametrize("script", [True, False])
def test_a_group_is_made_of_animals_chosen_on_the_list_and_moves(
    open_page, coordinator, make_animal, make_enclosure, this_day, day, script
):
    make_animal("Pip")
    make_animal("Moss")
    new = make_enclosure("Bay 1")
    page = open_page(coordinator, screen="phone", script=script)

    page.goto("/animals/")
    for name in ("Pip", "Moss"):
        page.get_by_label(f"Choose {name}").check()
    page.get_by_role("button", name="Make group").tap()
    page.get_by_role("button", name="Make group").tap()
    page.get_by_role("link", name="Bay 1").tap()
    page.get_by_role("button", name="Move group").tap()

    page.get_by_text("They live in Bay 1 now.").wait_for()
    assert [one.enclosure for one in Stay.objects.on(day(0))] == [new]
    assert Group.objects.get().memberships.count() == 2


@pytest.mark.parametrize("script", [True, False])
def test_a_quarantine_is_read_twice_before_somebody_joins(open_page, coordinator, places, script):
    page = open_page(coordinator, screen="phone", script=script)
    page.goto(places["joining"])

    page.get_by_label("Reason for the override").fill("No other room tonight")
    page.get_by_role("button", name="Add Pim").tap()
    page.get_by_label("I have read it twice, and it is necessary").check()
    page.get_by_role("button", name="Add Pim").tap()

    page.get_by_text("Pim lives in this group now.").wait_for()
    assert Override.objects.filter(is_block=True, confirmed=True).exists()


def test_a_photo_is_sent_and_shown(open_page, foster, places, photo_of):
    page = open_page(foster, screen="phone")
    page.goto(places["animal"])

    page.get_by_text("Add photo").tap()
    page.get_by_role("button", name="Photo", exact=True).set_input_files(
        {"name": "ida.jpg", "mimeType": "image/jpeg", "buffer": photo_of(width=640, height=480)}
    )
    page.get_by_role("button", name="Save photo").tap()

    shown = page.get_by_role("img", name="Ida", exact=True)
    shown.wait_for()
    assert shown.evaluate("one => one.decode().then(() => one.naturalWidth)") == 640
