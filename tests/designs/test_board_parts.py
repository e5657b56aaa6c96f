"""Levels, ramps, supports, doors and furniture on the drawing board, without a browser."""

from habitats.structure.design import Furniture
from habitats.structure.lattice import Side
from tests.support.boards import BALCONY, board_of, text_of
from tests.support.designs import ramp_from


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


def test_a_ramp_with_more_overlap_than_squares_is_refused_beside_the_plan(
    take, make_drawn, shape_of
):
    design = make_drawn(["####", "####"], **BALCONY)

    response = take(design, "ramp-parts", number="0", overlap_squares="20", bend_squares="3")

    assert "Give a whole number from 1 to 8" in text_of(response)
    assert shape_of(design) == design.shape()


def test_only_edges_with_lower_floor_beyond_are_offered_for_ramps(
    client_of, coordinator, make_drawn
):
    design = make_drawn(["###", "###"], upper=["#..", "..."])

    response = board_of(client_of(coordinator), design, level="1", tool="ramps")

    spots = [spot for row in response.context["page"].plan.grid for cell in row for spot in cell]
    assert {spot.value for spot in spots} == {"0,0,E", "0,0,S"}


def test_what_is_wrong_with_a_ramps_field_stands_beside_it(take, make_drawn):
    design = make_drawn(["####", "####"], **BALCONY)

    response = take(design, "ramp-parts", number="0", overlap_squares="many", bend_squares="3")

    assert response.context["page"].refusals == []
    assert "Enter a whole number" in text_of(response)


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
    assert "Enter 40 or less" in text_of(answer)
