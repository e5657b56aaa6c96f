"""Room for an animal that is here already: groups it could join, enclosures that are free."""

import pytest

from habitats.animals.models.groups import Group
from habitats.animals.models.quarantines import Quarantine

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("answering")]

# TSchV Annex 2 Table 1 (second-hand quotations): 5 000 cm² for two, 2 000 for each further adult.
SMALL, LARGE = ("##", "##"), ("####", "####")


@pytest.fixture
def room_of(coordinating):
    """`room_of(animal)`: names of the groups and of the free enclosures that are offered to it."""

    def read(animal):
        context = coordinating.get(f"/animals/{animal.code}/room/").context
        return tuple(
            [one.card.reading.enclosure.label for one in context[part]]
            for part in ("groups", "free")
        )

    return read


def test_a_sow_without_a_group_is_offered_groups_with_room_and_free_enclosures(
    settle, make_animal, room_of, day
):
    settle("Avocet", ["Moss", "Nut"], plan=LARGE)
    settle("Heron", ["Ida", "Lark"], plan=SMALL)
    settle("Wren", plan=SMALL)

    assert room_of(make_animal("Pip", born=day(-600), grams=900)) == (
        ["Avocet's floor"],
        ["Wren's floor"],
    )


def test_an_entire_boar_is_offered_no_group_of_sows(settle, make_animal, room_of, day):
    settle("Avocet", ["Moss", "Nut"], plan=LARGE)

    assert room_of(make_animal("Bo", sex="M", born=day(-600), grams=900))[0] == []


def test_one_whose_sex_is_not_known_is_offered_a_free_enclosure(settle, make_animal, room_of, day):
    settle("Avocet", ["Moss", "Nut"], plan=LARGE)
    settle("Wren", plan=SMALL)

    assert room_of(make_animal("Pip", sex="", sex_guess="M", born=day(-600), grams=900)) == (
        [],
        ["Wren's floor"],
    )


def test_one_in_quarantine_joins_nobody(settle, make_animal, room_of, coordinator, day):
    settle("Avocet", ["Moss", "Nut"], plan=LARGE)
    settle("Wren", plan=SMALL)
    pip = make_animal("Pip", born=day(-600), grams=900)
    Quarantine.objects.create(animal=pip, since=day(-2), made_by=coordinator)

    assert room_of(pip) == ([], ["Wren's floor"])


def test_it_moves_into_the_enclosure_that_was_chosen(settle, make_animal, coordinating, day):
    from habitats.enclosures.models.enclosures import Enclosure

    settle("Wren", plan=SMALL)
    wren = Enclosure.objects.get()
    pip, moss = (make_animal(name, born=day(-600), grams=900) for name in ("Pip", "Moss"))

    answer = coordinating.post(
        "/groups/new/", {"animal": [pip.code, moss.code], "into": wren.code, "since": "2027-03-10"}
    )

    group = Group.objects.get()
    assert answer.url == f"/groups/{group.code}/move/?enclosure={wren.code}"


def test_its_page_offers_both(make_animal, coordinating, text_of):
    pip = make_animal("Pip")

    page = coordinating.get(f"/animals/{pip.code}/").content.decode()

    assert page.count(f'href="/animals/{pip.code}/room/"') == 2
    assert "Add to group" in page
    assert "Move in" in page


def test_one_that_left_is_offered_nothing(make_animal, coordinating, day, text_of):
    pip = make_animal("Pip", left_on=day(-1), left_why="adopted")

    page = text_of(coordinating.get(f"/animals/{pip.code}/room/", follow=True))

    assert "Readmit it first." in page


def test_the_page_asks_as_many_queries_for_twelve_as_for_three(
    settle, make_animal, coordinating, queries_for, day
):
    pip = make_animal("Pip", born=day(-600), grams=900)
    for number in range(3):
        settle(f"A{number}", [f"M{number}", f"N{number}"], plan=LARGE)
        settle(f"F{number}", plan=SMALL)
    few = queries_for(coordinating, f"/animals/{pip.code}/room/")
    for number in range(3, 12):
        settle(f"A{number}", [f"M{number}", f"N{number}"], plan=LARGE)
        settle(f"F{number}", plan=SMALL)

    assert queries_for(coordinating, f"/animals/{pip.code}/room/") == few


# --- Those without an enclosure, counted and listed ---


def test_space_counts_animals_without_an_enclosure(settle, make_animal, make_group, ask):
    settle("Avocet", ["Moss", "Nut"], plan=LARGE)
    make_group(make_animal("Ida"), make_animal("Lark"))
    make_animal("Pip")

    assert ask().context["unhoused"] == 3


def test_the_list_shows_animals_without_an_enclosure(settle, make_animal, make_group, coordinating):
    settle("Avocet", ["Moss", "Nut"], plan=LARGE)
    make_group(make_animal("Ida"), make_animal("Lark"))
    make_animal("Pip")

    rows = coordinating.get("/animals/?shown=loose").context["rows"]

    assert {row.animal.name for row in rows} == {"Ida", "Lark", "Pip"}


@pytest.mark.parametrize("address", ["/today/", "/space/", "/animals/?shown=loose", "/weigh/"])
def test_pages_ask_as_many_queries_for_twelve_without_an_enclosure_as_for_three(
    make_animal, make_group, coordinating, queries_for, address
):
    for number in range(3):
        make_animal(f"A{number}", grams=800)
        make_group(make_animal(f"A{number}g", grams=800))
    queries_for(coordinating, address)  # the first of all makes the row of the rescue itself
    few = queries_for(coordinating, address)
    for number in range(3, 12):
        make_animal(f"A{number}", grams=800)
        make_group(make_animal(f"A{number}g", grams=800))

    assert queries_for(coordinating, address) == few
