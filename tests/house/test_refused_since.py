"""Designs that stood under an earlier version and are refused now: every page opens and says so."""

import pytest
from django.urls import reverse

from habitats.designs.models.designs import DesignRevision
from habitats.designs.models.structures import faults_of
from habitats.readings.models.readings import Reading
from habitats.structure.read import document_of
from tests.house.test_access_by_role import DOORS
from tests.structure.test_in_the_way import ROUND_A_CELL

pytestmark = pytest.mark.django_db


@pytest.fixture
def refused_since():
    """`refused_since()`: all that was drawn has a wall through an upper tray, and was sound."""

    def change():
        assert faults_of(ROUND_A_CELL)
        DesignRevision.objects.update(document=document_of(ROUND_A_CELL))
        Reading.objects.forget()

    return change


@pytest.mark.spread(days=4)
@pytest.mark.parametrize("name", DOORS)
def test_no_page_fails_over_a_design_that_is_refused_now(name, cast, client_of, refused_since):
    door = DOORS[name]
    made = door.make()
    refused_since()
    client = client_of(cast["coordinator"])
    client.raise_request_exception = False

    response = getattr(client, door.method)(reverse(name, kwargs=made))

    assert response.status_code < 500


@pytest.mark.parametrize(
    "name",
    ["builds:design", "builds:board", "builds:build", "enclosure", "builds:kit_pdf"],
)
def test_the_pages_of_such_a_design_say_what_is_wrong_with_it(name, cast, client_of, refused_since):
    door = DOORS[name]
    made = door.make()
    refused_since()

    page = client_of(cast["coordinator"]).get(reverse(name, kwargs=made)).content.decode()

    assert "rise through the floor" in page
    assert "side E of row 1, column 1" in page
    assert "wall_panels" not in page


def test_an_adopter_is_told_to_stop_building(client_of, refused_since):
    made = DOORS["builds:adopter"].make()
    refused_since()
    page = client_of(None).get(reverse("builds:adopter", kwargs=made)).content.decode()

    assert "Stop building:" in page
