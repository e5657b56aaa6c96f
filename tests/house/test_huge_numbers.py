"""A number that no database counts to is refused beside its field, and is never our own mistake."""

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from builds.building.forms.builds import PeopleField
from habitats.people.models.people import Person
from tests.support.designs import make_design
from tests.support.sheets import make_kind

HUGE = ["9223372036854775808", "-9223372036854775809", "9" * 30, "9" * 5000]


@pytest.fixture
def design(coordinator):
    from habitats.designs.models.designs import Design

    return Design.objects.draw(make_design(), by=coordinator)


@pytest.mark.parametrize("number", HUGE)
def test_a_huge_number_among_sheets_in_an_address_is_refused_in_words(
    number, design, coordinator, client_of
):
    make_kind()
    address = reverse("builds:design_sheets", args=[design.code])

    answer = client_of(coordinator).get(address, {"kinds": [number]})

    assert "is not in the list. Choose one that is." in answer.content.decode()


@pytest.mark.parametrize("number", HUGE)
def test_a_huge_number_among_people_is_refused_in_words(number, coordinator):
    with pytest.raises(ValidationError, match="is not in the list") as refused:
        PeopleField().clean([str(coordinator.pk), number])

    assert len(refused.value.messages[0]) < 80


def test_who_is_on_the_list_is_still_chosen(coordinator, builder):
    chosen = PeopleField().clean([str(coordinator.pk), builder.pk])

    assert set(chosen) == {coordinator, builder}
    assert Person.objects.count() == 2
