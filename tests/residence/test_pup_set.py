"""Where young live or a litter may come, one tap puts a pup set on what stands."""

import pytest

from habitats.enclosures.models.drawings import open_drawing


@pytest.fixture
def porch(make_animal, make_group, make_enclosure, make_home, day):
    porch = make_enclosure("Porch", make_home())
    young = make_animal("Pip", grams=120, born=day(-3), born_margin_days=0)
    make_group(make_animal("Wren"), young, enclosure=porch, since=day(-10))
    return porch


def test_its_page_says_so_and_the_tap_draws_it(porch, coordinating, text_of):
    page = coordinating.get(f"/enclosures/{porch.code}/")

    assert "Young slip through this wire: Pip." in text_of(page)
    coordinating.post(f"/enclosures/{porch.code}/board/wish/", {"wish": "pups"}, follow=True)
    assert open_drawing(porch).current.shape().pup_set


def test_a_foster_tells_a_coordinator(porch, fostering, text_of):
    page = fostering.get(f"/enclosures/{porch.code}/")

    if page.status_code == 200:
        assert b'value="pups"' not in page.content


def test_the_form_of_a_litter_says_where_she_lives(porch, coordinating, text_of):
    wren = porch.stays.get().group.memberships.get(animal__name="Wren").animal

    said = text_of(coordinating.get(f"/animals/{wren.code}/birth/"))

    assert "young slip through the wire of Porch" in said


def test_grown_animals_are_asked_nothing(
    make_animal, make_group, make_enclosure, make_home, coordinating, day
):
    loft = make_enclosure("Loft", make_home("Elm"))
    make_group(make_animal("Hazel", born=day(-400)), enclosure=loft)

    assert b'id="pup-set"' not in coordinating.get(f"/enclosures/{loft.code}/").content
