"""What the page of starter designs says of space standards that nobody chose."""

import pytest

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("language", "animals"),
    [("en", "guinea pigs and rabbits"), ("de", "Meerschweinchen und Kaninchen")],
)
def test_animals_without_a_standard_are_listed_as_a_language_lists(
    coordinating, coordinator, text_of, language, animals
):
    coordinator.language = language
    coordinator.save()

    assert animals in text_of(coordinating.get("/designs/starters/"))
