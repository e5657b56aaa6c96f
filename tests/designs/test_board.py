"""The drawing board without script: every step is a plain form, and no drawing is lost."""

import uuid

import pytest
from django.urls import reverse

from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import PanelSize
from habitats.structure.lattice import Cell, Side
from tests.support.boards import board_of, text_of
from tests.support.designs import make_design, ramp_from


def test_a_step_without_script_ends_at_the_board_looking_at_the_same(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    response = take(design, "cells", cell="0,2", level="0", tool="floor")

    assert response.status_code == 302
    assert response.url == f"/designs/{design.code}/board/?level=0&tool=floor&corner=SE"
    assert Cell(0, 2) in shape_of(design).ground.cells


def test_a_step_by_htmx_gets_the_board_alone_with_its_announcement(take, make_drawn):
    response = take(make_drawn(["##"]), "cells", htmx=True, cell="0,2", level="0")

    assert response.status_code == 200
    assert "<html" not in text_of(response)
    assert 'hx-swap-oob="innerHTML">1 cell changed. Floor, ground' in text_of(response)
    assert "HX-Request" in response.headers["Vary"]


def test_a_page_that_htmx_restores_from_history_is_whole(client_of, coordinator, make_drawn):
    url = reverse("builds:board", args=[make_drawn().code])
    headers = {"HX-Request": "true", "HX-History-Restore-Request": "true"}

    assert "<html" in text_of(client_of(coordinator).get(url, headers=headers))


def test_the_focus_goes_along_when_the_drawing_grows_north_west(take, make_drawn):
    response = take(make_drawn(["##"]), "cells", htmx=True, cell="-1,0")

    assert 'data-focus="at-0-0" data-moved-rows="1" data-moved-cols="0"' in text_of(response)


def test_a_drawing_that_cannot_be_made_is_kept_with_its_faults_and_the_last_figures(
    take, make_drawn, shape_of
):
    design = make_drawn(["###"])

    text = text_of(take(design, "cells", htmx=True, cell="0,1"))

    assert shape_of(design).ground.cells == {Cell(0, 0), Cell(0, 2)}
    assert "saved as a draft" in text
    assert "2 pieces that are not connected" in text
    assert "stale" in text
    assert "0.37 m²" in text.replace("\xa0", " ")  # 3 x 355 and 355 mm, rounded: 1 060 x 350


def test_a_repeat_of_a_step_is_harmless(take, make_drawn, shape_of):
    design = make_drawn(["##"])
    sent = {"cell": "0,2", "once": str(uuid.uuid4()), "base": "1"}

    take(design, "cells", **sent)
    take(design, "cells", **sent)

    assert Cell(0, 2) in shape_of(design).ground.cells
    assert design.revisions.count() == 2


def test_a_step_on_a_drawing_that_changed_elsewhere_is_left_out_and_said(
    take, make_drawn, shape_of
):
    design = make_drawn(["##"])
    take(design, "cells", cell="-1,0")

    response = take(design, "cells", cell="0,2", base="1", once=str(uuid.uuid4()))

    assert response.status_code == 422
    assert "changed in another window" in text_of(response)
    assert len(shape_of(design).ground.cells) == 3


def test_an_undo_meant_for_another_drawing_undoes_nobody_elses_step(take, make_drawn, shape_of):
    design = make_drawn(["##"])
    take(design, "cells", cell="0,2")
    take(design, "cells", cell="0,3")  # by somebody else, meanwhile

    response = take(design, "undo", base="2")

    assert response.status_code == 422
    assert "changed in another window" in text_of(response)
    assert len(shape_of(design).ground.cells) == 4


def test_a_stroke_makes_many_cells_floor_and_takes_them_away(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    take(design, "cells", cells="1,0 1,1 2,0", floor="on")
    assert len(shape_of(design).ground.cells) == 5

    take(design, "cells", cells="1,0 1,1 2,0", floor="")
    assert len(shape_of(design).ground.cells) == 2


def test_the_plan_can_be_typed(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    take(design, "plan", plan="###\r\n#..\r\n")

    assert shape_of(design).ground.cells == {(0, 0), (0, 1), (0, 2), (1, 0)}


def test_a_typed_plan_with_a_strange_mark_is_refused_beside_the_field(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    response = take(design, "plan", plan="#x")

    assert response.status_code == 422
    assert "Row 1 has “x”. Use # for a cell and a dot for none." in text_of(response)
    assert shape_of(design) == design.shape()


@pytest.mark.parametrize(
    ("step", "sent", "sentence"),
    [
        (
            "panel",
            {"size_mm": "9999", "squares": "9"},
            "9 999 mm is not allowed. Enter 150 mm to 1 000 mm",
        ),
        ("panel", {"size_mm": "wide", "squares": "9"}, "“wide” is not a length"),
        ("panel", {"size_mm": "", "squares": "9"}, "Give the size"),
        ("tray", {"wall_mm": "150", "clearance_mm": "-1", "round_mm": "10"}, "is not a length"),
        ("about", {"name": "", "species": "rabbit"}, "This field is required"),
        ("level", {"tiers": "9"}, "Enter 4 or less"),
        ("cells", {"cell": "here"}, "Name cells as row,col"),
        ("cells", {"cells": "0,60", "floor": "on"}, "the most is 24 rows of 24"),
        ("ramp", {"edge": "0,0,Q"}, "sides are N, E, S and W"),
        ("divider", {"edge": "0,0,N"}, "between two cells"),
        ("remove-level", {"level": "0"}, "ground cannot be removed"),
        (
            "ramp-parts",
            {"number": "7", "overlap_squares": "3", "bend_squares": "3"},
            "ramp was removed",
        ),
    ],
)
def test_a_step_that_makes_no_sense_is_refused_in_words_and_changes_nothing(
    take, make_drawn, shape_of, step, sent, sentence
):
    design = make_drawn(["##"])

    response = take(design, step, **sent)

    assert response.status_code == 422
    assert sentence in text_of(response).replace("\xa0", " ").replace("&#x27;", "'")
    assert shape_of(design) == design.shape()
    assert design.revisions.count() == 1


def test_a_level_or_tool_that_is_not_there_shows_the_ground(client_of, coordinator, make_drawn):
    response = board_of(client_of(coordinator), make_drawn(), level="99", tool="saw")

    assert response.context["page"].looking[:2] == (0, "floor")


def test_the_view_is_turned_and_stays_so_through_a_step(take, client_of, coordinator, make_drawn):
    design = make_drawn(["##"])

    turned = board_of(client_of(coordinator), design, corner="SE").context["page"].looking.turned
    response = take(design, "cells", cell="0,2", **turned._asdict() | {"corner": "SW"})

    assert turned.corner.name == "SW"
    assert response.url.endswith("&corner=SW")


def test_inches_are_read_and_a_size_sent_back_unchanged_stays_exact(
    client_of, make_person, make_drawn, shape_of
):
    design = make_drawn(panel=PanelSize(352))
    inches = client_of(make_person("ina", role="coordinator", units="inches"))
    shown = board_of(inches, design).context["page"].settings.forms["panel"]["size_mm"].value()

    inches.post(f"/designs/{design.code}/board/panel/", {"size_mm": shown, "squares": "8"})
    assert (shown.replace("\xa0", " "), shape_of(design).panel) == ("13 7/8 in", PanelSize(352, 8))

    inches.post(f"/designs/{design.code}/board/panel/", {"size_mm": "12 in", "squares": "8"})
    assert shape_of(design).panel == PanelSize(305, 8)


def test_undo_and_redo_are_forms(take, make_drawn, shape_of):
    design = make_drawn(["##"])
    take(design, "cells", cell="0,2")

    take(design, "undo")
    assert len(shape_of(design).ground.cells) == 2

    take(design, "redo")
    assert len(shape_of(design).ground.cells) == 3


def test_an_archived_design_is_not_drawn_on(take, client_of, coordinator, make_drawn, shape_of):
    design = make_drawn(["##"])
    design.archive()

    assert board_of(client_of(coordinator), design).status_code == 404
    assert take(design, "cells", cell="0,2").status_code == 404
    assert shape_of(design) == design.shape()


def test_a_step_nobody_knows_is_not_found(take, make_drawn):
    assert take(make_drawn(), "paint-it-blue").status_code == 404


def test_a_step_without_its_token_is_refused(coordinator, make_drawn, shape_of):
    from django.test import Client

    design = make_drawn(["##"])
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(coordinator, backend="django.contrib.auth.backends.ModelBackend")

    response = strict.post(f"/designs/{design.code}/board/cells/", {"cell": "0,2"})

    assert response.status_code == 403
    assert shape_of(design) == design.shape()


@pytest.mark.parametrize("steps", [3, 12])
def test_the_board_asks_the_same_few_questions_after_any_number_of_steps(
    take, client_of, coordinator, make_drawn, django_assert_num_queries, steps
):
    design = make_drawn(["##"])
    for number in range(steps):
        take(design, "cells", cell=f"0,{2 + number % 5}")
    client = client_of(coordinator)
    Rescue.ours()

    # Session, person, design with revision, what redo has, the rescue with its standards; and for
    # the cost items, kinds of sheet, the cheapest of them, stock and packs.
    with django_assert_num_queries(10):
        board_of(client, design)


def test_a_design_drawn_by_another_coordinator_can_be_drawn_on(
    client_of, make_person, make_drawn, shape_of
):
    design = make_drawn(["##"])
    other = client_of(make_person("cai", role="coordinator"))

    other.post(f"/designs/{design.code}/board/cells/", {"cell": "0,2"})

    assert Design.objects.get().current.made_by.username == "cai"
    assert len(shape_of(design).ground.cells) == 3


def test_the_board_of_an_untouched_design_offers_no_undo(client_of, coordinator, make_drawn):
    page = board_of(client_of(coordinator), make_drawn()).context["page"]

    assert not page.design.can_undo()
    assert make_design().name == page.shape.name


def test_a_step_on_cells_that_names_none_is_asked_for_one(take, make_drawn, shape_of):
    design = make_drawn(["##"])

    response = take(design, "cells")

    assert response.status_code == 422
    assert "Name a cell" in text_of(response)


@pytest.mark.parametrize(("row", "seen_from"), [(0, "south"), (1, "north")])
def test_who_comes_anew_looks_from_the_side_away_from_the_ramps_wall(
    client_of, coordinator, make_drawn, row, seen_from
):
    ramp = ramp_from(row, 4, Side.W)
    design = make_drawn(["#####", "#####"], upper=["....#", "....#"], ramps=(ramp,))

    page = client_of(coordinator).get(f"/designs/{design.code}/board/").content.decode()

    assert f"Seen from the {seen_from}" in page
