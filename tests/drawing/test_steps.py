"""A picture for every step of every kind of design, each saying what is new."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings

from builds.drawing import step_picture
from builds.drawing.corner import Scene
from builds.drawing.standing import all_parts
from builds.drawing.steps import parts_of, step_views, ties_pulled
from builds.making.reckoning import plan_of
from builds.making.step import Parts, Work
from builds.making.ties import ties_needed
from habitats.drawing.pen import RecordingPen
from habitats.drawing.styles import Style
from habitats.measures import length
from habitats.structure.lattice import Joint
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, replace

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture
def reckoned(balcony):
    return plan_of(balcony.design)


def picture(reckoned, index, views=None):
    return step_picture(
        reckoned.structure, reckoned.blanks, reckoned.steps, index, lengths=length, views=views
    )


def test_every_step_has_a_picture_titled_as_the_step(reckoned):
    for index, step in enumerate(reckoned.steps):
        title = ET.fromstring(picture(reckoned, index)).findtext(f"{SVG}title")

        assert title == f"Step {index + 1}: {step.title}"


def test_a_step_that_adds_something_shows_it_in_strong_colour(reckoned):
    for index, step in enumerate(reckoned.steps):
        if step.places or step.trays or step.ramps:
            assert "s-new" in picture(reckoned, index), step.id


def test_all_kinds_of_bench_work_come_up_and_have_their_own_picture(reckoned):
    works = {step.subject.work: i for i, step in enumerate(reckoned.steps) if step.subject}

    assert set(works) == set(Work)
    assert len({picture(reckoned, index).split("<desc>")[1] for index in works.values()}) == 7


def test_every_tie_on_panels_is_pulled_in_exactly_one_step(reckoned):
    pulled = []
    for index in range(len(reckoned.steps)):
        new = parts_of(reckoned.steps[index : index + 1])
        stand = parts_of(reckoned.steps[: index + 1])
        pulled += ties_pulled(ties_needed(reckoned.structure), stand, new)
    on_panels = [
        spot for group in ties_needed(reckoned.structure) for spot in group.spots if spot.places
    ]

    assert sorted(map(repr, pulled)) == sorted(map(repr, on_panels))


def test_a_pup_set_that_is_on_is_drawn_in_every_later_step():
    """With its mesh; walls that stand by themselves are frames."""
    told = plan_of(replace(make_design(["####", "####"]), pup_set=True))
    at = [step.id for step in told.steps].index("pup-set")
    views = step_views(told.structure, told.steps)
    before, later = RecordingPen(), RecordingPen()

    views[at - 1].scene.draw(before)
    views[at + 1].scene.draw(later)

    assert not any(mark.style is Style.MESH for mark in before.marks)
    assert any(mark.style is Style.MESH for mark in later.marks)
    assert "12 pup panels" in picture(told, at + 1, views)


def test_a_step_that_is_not_there_is_refused(reckoned):
    with pytest.raises(IndexError):
        picture(reckoned, len(reckoned.steps))


@settings(max_examples=5)
@given(designs())
def test_any_design_that_stands_can_be_told_in_pictures(design):
    told = plan_of(design)
    views = step_views(told.structure, told.steps)

    for index in range(0, len(told.steps), 3):
        drawn = picture(told, index, views)
        assert len(ET.fromstring(drawn)) > 2
        assert len(drawn) < 60_000


def test_a_new_connector_is_drawn_as_it_sits_with_a_pin_out_of_its_ribs():
    structure = raise_structure(make_design(["##", "##"]))
    flat, upright = Joint(0, 1, 1), Joint(0, 0, 1)
    recording = RecordingPen()

    Scene(structure, all_parts(structure), Parts(joints=frozenset({flat, upright})), None).draw(
        recording
    )

    pins = [mark.points for mark in recording.marks if mark.style is Style.HEAVY]
    steps = {(round(b[0] - a[0], 3) == 0, b[1] > a[1]) for a, b in pins}
    # The flat one's ribs point straight down to the panels; the corner's point aside.
    assert len(pins) == 2
    assert (True, True) in steps
    assert any(not straight for straight, _down in steps)
