"""How connectors sit: text, letters in the picture and its details say one and the same.

The reader here has the sentences and the words of the SVG, and a table of its own.
"""

import re
import xml.etree.ElementTree as ET
from collections import Counter
from math import dist

import pytest
from hypothesis import given, settings

from builds.drawing.altering import alteration_step_picture, alteration_views
from builds.drawing.corner import Scene
from builds.drawing.marks import point_of
from builds.drawing.seats import draw_letters
from builds.drawing.space import Corner
from builds.drawing.steps import parts_of, step_picture, step_views
from builds.making.altering.least import alter
from builds.making.altering.order import order_of_alteration
from builds.making.reckoning import plan_of
from habitats.drawing.pen import BoundsPen, RecordingPen
from habitats.measures import length
from habitats.structure.connectors import STANCES
from habitats.structure.lattice import Face
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design

SVG = "{http://www.w3.org/2000/svg}"
LETTERS = {
    (Face.FLAT, 1): "A",
    (Face.FLAT, -1): "B",
    (Face.EW, -1): "C",
    (Face.EW, 1): "D",
    (Face.NS, 1): "E",
    (Face.NS, -1): "F",
}
RIBS = {"A": "up", "B": "down", "C": "north", "D": "south", "E": "east", "F": "west"}
SEAT = re.compile(r"(?:(\d+) × )?([A-F]), ribs (\w+)")


def in_text(step):
    """Letters and how many of each, as the step's sentences say."""
    (told,) = (one for one in step.instructions if "lettered joint" in one)
    found = SEAT.findall(told)
    assert all(RIBS[letter] == ribs for _count, letter, ribs in found)
    if len(found) == 1:
        return {found[0][1]: len(step.joints)}
    return {letter: int(count) for count, letter, _ribs in found}


def in_picture(markup):
    """Letters as they are written: each once more than there are such connectors, as a detail."""
    letters = Counter(one.text for one in ET.fromstring(markup).iter(f"{SVG}text"))
    return {letter: letters[letter] - 1 for letter in RIBS if letters[letter]}


def test_every_seat_has_a_letter_of_its_own():
    assert {LETTERS[stance] for stance in STANCES} == set(RIBS)


@settings(max_examples=3)
@given(designs())
def test_text_and_picture_of_any_step_have_the_letters_of_its_connectors(design):
    told = plan_of(design)
    views = step_views(told.structure, told.steps)
    for index, step in enumerate(told.steps):
        if not step.joints:
            continue
        seats = Counter(LETTERS[told.structure.stances[joint]] for joint in step.joints)
        picture = step_picture(
            told.structure, told.blanks, told.steps, index, lengths=length, views=views
        )

        assert in_text(step) == seats
        assert in_picture(picture) == seats


def scenes(design):
    """The pictures of each step with new connectors, and how these sit."""
    told = plan_of(design)
    for index, step in enumerate(told.steps):
        if step.joints:
            stand = parts_of(told.steps[: index + 1])
            scene = Scene(told.structure, stand, step.puts, Corner.SE, is_step=True)
            yield scene, {joint: LETTERS[told.structure.stances[joint]] for joint in step.joints}


def written(scene):
    """Each letter with the point that its reader goes from: itself, or where its leader begins."""
    pen = RecordingPen()
    draw_letters(pen, scene)
    leader = None
    for mark in pen.marks:
        if mark.kind == "line":
            leader = mark.points[0]
        if mark.kind == "text":
            yield mark, leader or middle_of(mark)
            leader = None


@settings(max_examples=3)
@given(designs())
def test_each_letter_leads_to_its_own_connector(design):
    for scene, seats in scenes(design):
        middles = {joint: scene.on_paper(point_of(joint)) for joint in seats}
        found = [
            (min(seats, key=lambda joint: dist(middles[joint], start)), mark.words)
            for mark, start in written(scene)
        ]

        assert sorted(found) == sorted(seats.items())


def middle_of(mark):
    left, top, right, bottom = box_of(mark)
    return (left + right) / 2, (top + bottom) / 2


def box_of(mark):
    bounds = BoundsPen()
    mark.draw(bounds)
    return bounds.box


@settings(max_examples=3)
@given(designs())
def test_no_letter_lies_on_another(design):
    for scene, _seats in scenes(design):
        laid = [box_of(mark) for mark, _start in written(scene)]
        for number, (left, top, right, bottom) in enumerate(laid):
            for other in laid[:number]:
                over_x = min(right, other[2]) - max(left, other[0])
                over_y = min(bottom, other[3]) - max(top, other[1])
                assert over_x <= 0 or over_y <= 1


@pytest.fixture(scope="module")
def change():
    stands = make_design(["####", "####"])
    return alter(raise_structure(stands), raise_structure(make_design(upper=["...#", "...#"])))


def test_connectors_to_turn_are_lettered_as_they_sit_then(change):
    order = order_of_alteration(change)
    views = alteration_views(change, order)
    (index,) = (number for number, step in enumerate(order.steps) if step.turns)
    turned = Counter(LETTERS[turn.after] for turn in order.steps[index].turns)

    told = " ".join(order.steps[index].instructions)
    after = Counter()
    for count, letter in re.findall(r"(\d+) from “[^”]*” to “([A-F]), ribs \w+”", told):
        after[letter] += int(count)

    picture = alteration_step_picture(change, order, index, lengths=length, views=views)
    assert in_picture(picture) == turned == after
