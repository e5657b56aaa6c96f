"""A litter that may come is told wherever a decision about her is made."""

import pytest

from habitats.animals.models.joining import discharge, part
from habitats.enclosures.models.enclosures import Enclosure


@pytest.fixture
def wren(make_animal, make_group, make_enclosure, make_home, coordinator, day):
    """She lived 37 days with an entire boar, who was taken out three days ago."""
    wren, umber = make_animal("Wren", grams=900), make_animal("Umber", sex="M", grams=900)
    make_group(wren, umber, enclosure=make_enclosure("Porch", make_home()), since=day(-40))
    part(umber, day(-3), by=coordinator)
    make_enclosure("Loft", make_home("Elm"))
    return wren


@pytest.mark.parametrize(
    "address",
    [
        "/animals/{animal}/",
        "/groups/{group}/",
        "/groups/{group}/move/?enclosure={free}",
        "/animals/{animal}/leaving/",
    ],
)
def test_a_page_about_her_says_up_to_when(wren, coordinating, text_of, address):

    group = wren.memberships.get().group
    free = Enclosure.objects.get(label="Loft")

    page = coordinating.get(
        address.format(animal=wren.code, group=group.code, free=free.code), follow=True
    )

    said = text_of(page)
    assert "Wren may have a litter up to 18 May 2027." in said
    assert "Wren lived with Umber from 29 January 2027 to 7 March 2027." in said


def test_of_one_who_has_left_nothing_is_said(wren, coordinating, text_of, coordinator, day):

    discharge(wren, day(0), "adopted", by=coordinator)

    assert "may have a litter" not in text_of(coordinating.get(f"/animals/{wren.code}/"))
