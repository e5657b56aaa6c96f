"""Pictures of alterations: what comes off, what is turned and what is put on are told apart."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings

from builds.drawing.altering import (
    alteration_picture,
    alteration_step_picture,
    alteration_views,
    taking_step_picture,
    taking_views,
)
from builds.drawing.before import Before
from builds.drawing.corner import Scene
from builds.drawing.standing import all_parts
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.altering.retire import retire
from builds.making.step import Parts
from habitats.drawing.pen import RecordingPen
from habitats.drawing.styles import Style
from habitats.measures import length
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from, replace

SVG = "{http://www.w3.org/2000/svg}"
DASHED = 'stroke-dasharray="5 3.5"'

LOFT = make_design(["####", "####"], upper=["...#", "...#"])
RAMPED = make_design(
    ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
)


@pytest.fixture(scope="module")
def change():
    return alter(raise_structure(LOFT), raise_structure(RAMPED))


@pytest.fixture(scope="module")
def order(change):
    return order_of_alteration(change)


@pytest.fixture(scope="module")
def views(change, order):
    return alteration_views(change, order)


def picture(change, order, start):
    index = next(i for i, one in enumerate(order.steps) if one.id.startswith(start))
    return alteration_step_picture(change, order, index, lengths=length)


def test_every_step_has_a_picture_titled_as_the_step(change, order, views):
    for index, step in enumerate(order.steps):
        drawn = alteration_step_picture(change, order, index, lengths=length, views=views)

        title = ET.fromstring(drawn).findtext(f"{SVG}title")
        assert title == f"Step {index + 1}: {step.title}"


def test_what_comes_off_is_dashed_and_said_to_be(change, order):
    drawn = picture(change, order, "take-wall")

    assert DASHED in drawn
    assert "What is taken off is dashed" in drawn
    assert "comes off" in drawn


def test_what_is_put_on_is_strong_and_not_dashed(change, order):
    drawn = picture(change, order, "wall-level-1")

    assert "s-new" in drawn
    assert DASHED not in drawn


def test_connectors_to_turn_have_a_ring_and_a_letter(change, order):
    drawn = picture(change, order, "turn-connectors")

    assert "turn like this" in drawn
    assert "Connectors to turn have a ring" in drawn


def test_places_to_tie_anew_are_marked_in_the_step_that_turns_and_in_no_other():
    # In an L a corner that no turn can hold is tied while its connector is off.
    standing = make_design(["####", "#..."])
    told = alter(
        raise_structure(standing),
        raise_structure(make_design(["####", "#..."], upper=["#...", "#..."])),
    )
    order = order_of_alteration(told)

    assert "tie here" in picture(told, order, "turn-connectors")
    assert "tie here" not in picture(told, order, "lay-liners")


def test_a_panel_taken_off_is_gone_from_the_next_picture(change, order, views):
    places = {}
    for index, step in enumerate(order.steps):
        if not step.bench:
            drawn = alteration_step_picture(change, order, index, lengths=length, views=views)
            places[step.id] = int(drawn.split(" panels")[0].rsplit(" ", 1)[1])

    before, after = places["take-cloth"], places["sort-out"]
    assert before - after == 1


def test_one_picture_shows_all_that_changes(change):
    drawn = alteration_picture(change)

    assert DASHED in drawn
    assert "s-new" in drawn
    for words in ("comes off", "is put on", "turn like this"):
        assert words in drawn


def test_the_borrowed_divider_is_drawn_while_the_animals_are_behind_it(change, order):
    out, back = (picture(change, order, one) for one in ("animals-out", "animals-back"))

    assert "s-new" in out
    assert "s-new" not in back


def test_marks_of_each_kind_stand_where_they_belong():
    structure = raise_structure(make_design(["##"]))
    joint = min(structure.joints)
    taken = Parts(joints=frozenset({joint}))
    before = Before(structure, all_parts(structure), taken, {joint: structure.stances[joint]})
    recording = RecordingPen()

    Scene(structure, Parts(), Parts(), None, before=before).draw(recording)

    styles = [mark.style for mark in recording.marks]
    assert Style.TAKEN_JOINT in styles
    assert Style.TURNED in styles


def test_styles_of_an_alteration_differ_in_more_than_colour():
    looks = [style.look for style in (Style.TAKEN_EDGE, Style.NEW, Style.FRAME)]

    assert len({(look.weight, look.dash) for look in looks}) == 3
    assert Style.TURNED.look.fill != Style.NEW_SOLID.look.fill


def test_taking_down_is_told_in_pictures():
    structure = raise_structure(RAMPED)
    steps = retire(structure).steps
    views = taking_views(structure, steps)

    for index, step in enumerate(steps):
        drawn = taking_step_picture(structure, steps, index, views)
        assert (DASHED in drawn) == bool(step.takes)


def test_a_step_that_is_not_there_is_refused(change, order):
    with pytest.raises(IndexError):
        alteration_step_picture(change, order, len(order.steps), lengths=length)


@settings(max_examples=4)
@given(designs())
def test_any_alteration_can_be_told_in_pictures(design):
    small = make_design(["##"], panel=design.panel, species=design.species)
    for standing, target in ((design, small), (small, design)):
        told = alter(raise_structure(standing), raise_structure(target))
        order = order_of_alteration(told)
        views = alteration_views(told, order)

        assert len(ET.fromstring(alteration_picture(told))) > 2
        for index in range(0, len(order.steps), 3):
            drawn = alteration_step_picture(told, order, index, lengths=length, views=views)
            assert len(ET.fromstring(drawn)) > 2


def test_panels_of_the_pup_set_come_off_before_walls_that_stay() -> None:
    """The panels have their mesh, dashed; the walls behind are drawn without."""
    standing = replace(make_design(["####", "####"]), pup_set=True)
    told = alter(raise_structure(standing), raise_structure(replace(standing, pup_set=False)))
    order = order_of_alteration(told)
    at = [one.id for one in order.steps].index("take-pup-set")

    drawn = alteration_step_picture(told, order, at, lengths=length)
    after = alteration_step_picture(told, order, at + 1, lengths=length)

    assert "What is taken off is dashed." in drawn
    assert DASHED in drawn
    assert DASHED not in after
