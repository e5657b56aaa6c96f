"""Lists in pages: names stand as people look them up, over all pages, on both databases alike."""

from habitats.animals.models.animals import Animal
from habitats.common.name_order import InNameOrder


def test_numbers_capitals_and_accents_stand_as_people_look_them_up(make_animal):
    for name in ("Zoe", "B10", "ärmel", "b2", "Ida", "B1"):
        make_animal(name)
    order = InNameOrder(Animal.objects.all())
    assert len(order) == 6
    assert [one.name for one in order[:3]] == ["ärmel", "B1", "b2"]
    assert [one.name for one in order[3:]] == ["B10", "Ida", "Zoe"]


def test_a_second_field_parts_those_of_one_name(make_home):
    for area in ("Row 10", "Row 9"):
        make_home("Wren", area=area)
    from_homes = InNameOrder(type(make_home("Ada")).objects.all(), "name", "area")
    assert [one.area for one in from_homes[1:]] == ["Row 9", "Row 10"]


def test_the_list_of_animals_keeps_that_order_from_page_to_page(make_animal, coordinating):
    for number in range(35, 0, -1):
        make_animal(f"B{number}")
    first = [row.animal.name for row in coordinating.get("/animals/").context["rows"]]
    second = [row.animal.name for row in coordinating.get("/animals/?page=2").context["rows"]]
    assert [*first, *second] == [f"B{number}" for number in range(1, 36)]
