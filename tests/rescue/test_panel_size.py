"""The rescue's panel: measured once, and new designs begin with it."""

import pytest

from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import PanelSize

pytestmark = pytest.mark.django_db


def test_a_new_design_begins_with_the_panel_of_the_rescue(coordinating):
    coordinating.post("/rescue/panel/", {"panel_mm": "352", "panel_squares": "8"})

    assert Rescue.ours().panel == PanelSize(352, 8)
    page = coordinating.get("/designs/new/").content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert 'value="352 mm"' in page
    assert 'value="8"' in page


def test_a_panel_is_typed_in_the_readers_units(coordinating, coordinator):
    coordinator.units = "inches"
    coordinator.save()

    coordinating.post("/rescue/panel/", {"panel_mm": "14", "panel_squares": "9"})

    assert Rescue.ours().panel_mm == 356  # 14 × 25.4 mm = 355.6 mm


@pytest.mark.parametrize("wrong", ["", "35", "35 cm and a bit", "3550"])
def test_a_panel_that_cannot_be_is_refused_beside_its_field(coordinating, wrong):
    answer = coordinating.post("/rescue/panel/", {"panel_mm": wrong, "panel_squares": "9"})

    assert answer.status_code == 422
    assert Rescue.ours().panel is None


def test_the_page_draws_how_a_panel_is_measured(coordinating):
    page = coordinating.get("/rescue/panel/").content.decode()

    assert "Five panels joined in a straight row." in page
    assert "1 775 mm" in page.replace("\N{NO-BREAK SPACE}", " ")  # 5 × 355 mm
