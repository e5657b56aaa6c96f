"""What may be wrong and what is checked follows from what an enclosure has."""

from hypothesis import given

from habitats.source import Known
from habitats.structure.structure import raise_structure
from habitats.upkeep import schedule, urgency
from habitats.upkeep.kinds import FaultKind, kinds_for
from habitats.upkeep.points import points_for
from tests.support.designs import designs, make_design

OF_RAMPS = {FaultKind.RAMP, FaultKind.GRIP, FaultKind.DOORWAY}


def kinds_asked(structure):
    return {point.kind for point in points_for(structure)}


def test_a_plain_box_is_asked_nothing_of_ramps_levels_guards_and_lids():
    plain = raise_structure(make_design())

    asked = kinds_asked(plain)

    assert asked.isdisjoint(OF_RAMPS | {FaultKind.FLOOR, FaultKind.GUARD, FaultKind.LID})
    assert {FaultKind.WIRE, FaultKind.TIE, FaultKind.TRAY, FaultKind.TAPE} <= asked


def test_a_lid_is_asked_for_where_there_is_one():
    assert FaultKind.LID in kinds_asked(raise_structure(make_design(lid=True)))


@given(designs())
def test_points_ask_for_all_that_may_be_wrong_and_nothing_else(design):
    structure = raise_structure(design)

    assert kinds_asked(structure) == set(kinds_for(structure)) - {FaultKind.OTHER}
    assert (kinds_asked(structure) >= OF_RAMPS) == bool(structure.ramps)
    assert (FaultKind.FLOOR in kinds_asked(structure)) == (len(design.levels) > 1)


@given(designs())
def test_every_point_is_a_question_of_its_own_that_says_why(design):
    points = points_for(raise_structure(design))

    assert len({point.code for point in points}) == len(points)
    for point in points:
        assert point.question.endswith("?")
        assert point.why.endswith(".")
        assert point.source.known is Known.PRACTICE


def test_no_figure_of_upkeep_claims_a_source():
    assert schedule.SOURCE.known is Known.PRACTICE
    assert urgency.SOURCE.known is Known.PRACTICE
