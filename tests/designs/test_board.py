"""The drawing board without script: every step is a plain form, and no drawing is lost."""

import uuid

import pytest
from django.urls import reverse

from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import Rescue
from habitats.structure.design import Furniture, PanelSize
from habitats.structure.lattice import Cell, Side
from tests.support.designs import make_design, ramp_from

BALCONY = {"upper": ["..##", "...."], "ramps": (ramp_from(0, 2, Side.W),)}


def board_of(client, design, **query):
    return client.get(reverse("builds:board", args=[design.code], query=query or None))


def text_of(response):
    return response.content.decode()


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


def test_levels_ramps_dividers_lid_and_guards_are_drawn_step_by_step(take, make_drawn, shape_of):
    design = make_drawn(["####", "####"])

    take(design, "add-level")
    take(design, "cells", level="1", cells="0,2 0,3", floor="on")
    take(design, "ramp", level="1", edge="0,2,W")
    take(design, "divider", level="0", edge="1,2,E")
    take(design, "guards", guards="none")
    take(design, "level", level="0", tiers="2")
    take(design, "lid", lid="on")

    shape = shape_of(design)
    assert shape.levels[1].cells == {(0, 2), (0, 3)}
    assert shape.ramps[0].cell == (0, 2)
    assert len(shape.dividers) == 1
    assert (shape.guards, shape.ground.wall_panels, shape.lid) == ((), 2, True)


def test_a_new_level_is_looked_at_with_the_tool_for_its_floor(take, make_drawn):
    response = take(make_drawn(), "add-level", level="0", tool="ramps")

    assert "?level=1&tool=floor&" in response.url


def test_a_lifted_level_stays_the_one_that_is_looked_at(take, make_drawn):
    design = make_drawn(["###", "###"], upper=["##.", "..."], wall_panels=3)  # upper at 3
    take(design, "add-level", level="0")
    take(design, "cells", level="2", cells="1,0 1,1", floor="on")

    response = take(design, "level", level="2", z="2", tiers="1")

    assert "?level=1&" in response.url


def test_a_ramp_is_made_of_more_panels_and_taken_away(take, make_drawn, shape_of):
    design = make_drawn(
        ["######", "######"], upper=["....##", "......"], ramps=(ramp_from(0, 4, Side.W),)
    )

    take(design, "ramp-parts", number="0", panels="4", overlap_squares="2", bend_squares="3")
    ramp = shape_of(design).ramps[0]
    take(design, "ramp-parts", number="0", remove="on", overlap_squares="2", bend_squares="3")

    assert (ramp.panels, ramp.overlap_squares) == (4, 2)
    assert shape_of(design).ramps == ()


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
        ("level", {"tiers": "9"}, "less than or equal to 4"),
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


def test_a_ramp_with_more_overlap_than_squares_is_refused_beside_the_plan(
    take, make_drawn, shape_of
):
    design = make_drawn(["####", "####"], **BALCONY)

    response = take(design, "ramp-parts", number="0", overlap_squares="20", bend_squares="3")

    assert "Give a whole number from 1 to 8" in text_of(response)
    assert shape_of(design) == design.shape()


def test_a_level_or_tool_that_is_not_there_shows_the_ground(client_of, coordinator, make_drawn):
    response = board_of(client_of(coordinator), make_drawn(), level="99", tool="saw")

    assert response.context["page"].looking[:2] == (0, "floor")


def test_the_view_is_turned_and_stays_so_through_a_step(take, client_of, coordinator, make_drawn):
    design = make_drawn(["##"])

    turned = board_of(client_of(coordinator), design, corner="SE").context["page"].looking.turned
    response = take(design, "cells", cell="0,2", **turned._asdict() | {"corner": "SW"})

    assert turned.corner.name == "SW"
    assert response.url.endswith("&corner=SW")


def test_only_edges_with_lower_floor_beyond_are_offered_for_ramps(
    client_of, coordinator, make_drawn
):
    design = make_drawn(["###", "###"], upper=["#..", "..."])

    response = board_of(client_of(coordinator), design, level="1", tool="ramps")

    spots = [spot for row in response.context["page"].plan.grid for cell in row for spot in cell]
    assert {spot.value for spot in spots} == {"0,0,E", "0,0,S"}


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


def test_what_is_wrong_with_a_ramps_field_stands_beside_it(take, make_drawn):
    design = make_drawn(["####", "####"], **BALCONY)

    response = take(design, "ramp-parts", number="0", overlap_squares="many", bend_squares="3")

    assert response.context["page"].refusals == []
    assert "Enter a whole number" in text_of(response)


@pytest.mark.parametrize(("row", "seen_from"), [(0, "south"), (1, "north")])
def test_who_comes_anew_looks_from_the_side_away_from_the_ramps_wall(
    client_of, coordinator, make_drawn, row, seen_from
):
    ramp = ramp_from(row, 4, Side.W)
    design = make_drawn(["#####", "#####"], upper=["....#", "....#"], ramps=(ramp,))

    page = client_of(coordinator).get(f"/designs/{design.code}/board/").content.decode()

    assert f"Seen from the {seen_from}" in page


def test_a_new_drawing_has_supports_worked_out_and_a_tap_places_them_by_hand(
    take, make_drawn, shape_of
):
    design = make_drawn(["####"] * 3)
    take(design, "add-level", level="0")
    take(design, "cells", level="1", cells="0,3 1,3 2,3", floor="on")
    assert shape_of(design).supports is None

    take(design, "support", level="0", edge="1,3,S")

    # What was worked out stays, and the new one is beside it.
    edges = {(one.row, one.col, one.side) for one in shape_of(design).supports}
    assert edges == {(1, 2, "E"), (1, 3, "S")}


def test_an_older_drawing_takes_supports_when_it_is_told_to(take, make_drawn, shape_of):
    design = make_drawn(["####"] * 3, upper=["...#"] * 3, supports=())
    assert "Floor may sag" in text_of(take(design, "lid", htmx=True))

    board = take(design, "supports", htmx=True, supports="auto")

    assert "Floor may sag" not in text_of(board)
    assert shape_of(design).supports is None
    take(design, "supports", supports="none")
    assert shape_of(design).supports == ()


def test_a_front_door_answers_the_question_who_reaches_under_the_upper_level(
    take, make_drawn, shape_of
):
    design = make_drawn(upper=["...#", "...#"])
    assert "needs a front door" in text_of(take(design, "lid", htmx=True))

    board = take(design, "door", htmx=True, level="0", edge="0,3,E")
    assert "needs a front door" not in text_of(board)

    board = take(design, "room", htmx=True, side="E")
    assert "Front door that nobody can reach" in text_of(board)
    assert shape_of(design).room_walls == {"E"}
    take(design, "room", side="E")
    assert not shape_of(design).room_walls


def test_a_note_has_the_button_that_mends_what_it_warns_of(take, make_drawn, shape_of):
    design = make_drawn(wall_panels=2, upper=["...#", "...#"], supports=())
    board = take(design, "lid", htmx=True)
    assert "High and narrow" in text_of(board)
    assert "Add wall anchors" in text_of(board)

    board = take(design, "wish", htmx=True, wish="anchors")

    assert "High and narrow" not in text_of(board)
    assert "What holds in your wall" in text_of(board)
    assert len(shape_of(design).of_kind("anchor")) == 2
    assert shape_of(design).room_walls == {"N"}


def test_a_wish_that_cannot_be_is_refused_with_its_reason(take, make_drawn):
    answer = take(make_drawn(), "wish", wish="anchors")

    assert answer.status_code == 422
    assert "no higher than its shorter side" in text_of(answer)


def test_furniture_follows_from_the_animals_and_can_be_changed(take, make_drawn, shape_of):
    design = make_drawn()

    board = take(design, "furniture", htmx=True, animals="3", hides="", water="", hay="")
    assert "3 hides, 2 water bottles or bowls and 2 hay racks" in text_of(board)

    take(design, "furniture", animals="3", hides="4", water="", hay="")
    assert shape_of(design).furniture == Furniture(3, hides=4)

    take(design, "furniture", animals="", hides="4", water="", hay="")
    assert shape_of(design).furniture is None


def test_furniture_for_too_many_animals_is_refused_beside_its_field(take, make_drawn):
    answer = take(make_drawn(), "furniture", animals="41")

    assert answer.status_code == 422
    assert "less than or equal to 40" in text_of(answer)
