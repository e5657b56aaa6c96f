"""A form that is refused says why, also where what is wrong is in no field that people see."""

import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from builds.batches.models.batches import Batch
from habitats.designs.models.designs import Design
from habitats.linens.models.spots import LinenSize
from tests.support.builds import make_build
from tests.support.designs import make_design
from tests.support.kits import make_kit
from tests.support.sheets import make_kind


def refused(answer) -> str:
    """The refused page's words; there are none where it refuses without a sentence."""
    page = answer.content.decode()
    assert answer.status_code == 422
    assert 'class="errorlist' in page or 'role="alert"' in page
    return page


@pytest.mark.parametrize("name", ["note_build", "report_shortage"])
def test_a_step_that_is_none_is_told(name, coordinating):
    address = reverse(f"builds:{name}", args=[make_build(state="building").code])
    sent = {"text": "Two ties are left.", "what": "Tie", "count": 2, "report": "missing"}

    assert "at most" in refused(coordinating.post(address, sent | {"step": "x" * 300}))


def test_a_linen_that_cannot_be_moved_any_more_is_told(
    coordinating, make_pool, make_home, make_linen
):
    linen = make_linen(make_pool(home=make_home()), LinenSize.of("liner", 700, 1400), state="lost")

    page = refused(coordinating.post(reverse("move_linen", args=[linen.label]), {}))

    assert "is marked “lost”" in page


def test_an_alteration_into_no_design_is_told(coordinating, make_enclosure):
    address = reverse("builds:alter_enclosure", args=[make_enclosure().code])

    assert "This field is required" in refused(coordinating.post(address, {}))


def test_a_name_that_makes_it_happen_once_and_is_broken_is_a_new_one(coordinating):
    """It is in no field that people see, so nobody could mend it."""
    coordinating.post("/batches/new/", {"once": "no uuid", "name": "Saturday"})
    assert Batch.objects.get().name == "Saturday"

    new = {"name": "Bay", "species": "guinea_pig", "size_mm": "355", "squares": 9}
    coordinating.post("/designs/new/", new | {"cols": 3, "rows": 2, "once": str(uuid.uuid4())[:9]})
    assert Design.objects.get().name == "Bay"


def test_a_repair_of_what_has_no_open_fault_is_told(coordinating, make_enclosure):
    address = reverse("builds:plan_repair", args=[make_enclosure().code])

    assert "has no open fault" in refused(coordinating.post(address, {}))


def test_a_kit_that_is_no_longer_packed_is_not_weighed_and_that_is_told(coordinating):
    address = reverse("builds:weigh_kit", args=[make_kit(state="handed over").code])

    assert "no longer being packed" in refused(coordinating.post(address, {}))


def test_a_place_of_a_fault_that_is_none_is_told(coordinating, make_enclosure):
    """The drawing sends it, in fields that people do not see."""
    address = reverse("report_fault", args=[make_enclosure().code])

    page = refused(coordinating.post(address, {"z": "first", "x_mm": "", "y_mm": ""}))

    assert "Enter a whole number" in page


def test_a_group_that_has_left_already_is_told(coordinating, make_group, make_animal):
    group = make_group(make_animal("Pip"))

    page = refused(coordinating.post(reverse("leave_enclosure", args=[group.code]), {"on": "x"}))

    assert "Nothing was changed" in page


def test_a_follow_up_that_was_made_already_is_told(coordinating):
    address = reverse("builds:ask_kit", args=[make_kit(state="handed over").code, 1])
    coordinating.post(address, {"day": timezone.localdate().isoformat(), "note": "All is well."})

    page = refused(coordinating.post(address, {}))

    assert "All is well." in page


def test_a_design_is_not_cut_from_sheets_that_were_put_away_and_that_is_told(
    coordinating, coordinator
):
    design = Design.objects.draw(make_design(), by=coordinator)

    page = refused(coordinating.post(reverse("builds:cut_design", args=[design.code]), {}))

    assert "No sheets in the store yet" in page


def test_a_time_to_search_that_is_none_is_told_where_it_cannot_be_chosen(coordinating, coordinator):
    kind, design = make_kind(), Design.objects.draw(make_design(), by=coordinator)
    asked = {"kinds": kind.pk, "kerf": "0 mm", "trim": "0 mm", "least_offcut": "150 mm"}

    page = refused(
        coordinating.get(
            reverse("builds:design_sheets", args=[design.code]), asked | {"seconds": "soon"}
        )
    )

    assert "soon is not one of the available choices" in page
