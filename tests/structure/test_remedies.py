"""Changes that mend a drawing: each that is offered mends, and names itself in plain words."""

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from habitats.structure import edit
from habitats.structure.design import Design
from habitats.structure.faults import BadDesign, FileFault
from habitats.structure.joining import bridge_between
from habitats.structure.kinds import Role, with_fittings
from habitats.structure.lattice import Cell, Side, connected_pieces
from habitats.structure.remedies import remedied, remedies_for
from habitats.structure.structure import raise_structure
from tests.support.designs import Divider, Guard, designs, footprints, make_design, ramp_from

UPPER = {"upper": ["..##", "...."], "ramps": (ramp_from(0, 2, Side.W),)}


def faults_of(design: Design) -> tuple[FileFault, ...]:
    try:
        raise_structure(design)
    except BadDesign as bad:
        return bad.faults
    return ()


def offered(design: Design) -> list[str]:
    return [
        str(remedy.words)
        for fault in faults_of(design)
        for remedy in remedies_for(design, fault, faults_of)
    ]


def broken(design: Design, how: str) -> Design:
    if how == "lid":
        return replace(design, lid=True)
    if how == "low":
        return edit.set_tiers(design, 0, 1)
    if how == "empty":
        return edit.add_level(design)
    if how == "guard":
        return with_fittings(design, Role.GUARD, [Guard(0, 0, Side.N, 4)])
    return edit.paint(design, 0, [max(design.ground.cells)], floor=False).design


@pytest.mark.parametrize(
    ("design", "words"),
    [
        (make_design(["####", "####"], lid=True, **UPPER), "Make ground walls 2 high"),
        (make_design(["#.#"]), "Join the pieces"),
        (
            edit.set_tiers(make_design(["##"], upper=["##"], wall_panels=2), 0, 1),
            "Make ground walls 2 high",
        ),
        (make_design(["##."], upper=["###"]), "Draw the floor below"),
        (edit.add_level(make_design(["##"])), "Remove level 1"),
        (make_design(["##"], dividers=(Divider(0, 0, 1, Side.E),)), "Remove this divider"),
        (make_design(["##"], guards=(Guard(0, 0, Side.N, 3),)), "Place guards where a ramp needs"),
        (
            make_design(["####", "####"], upper=["..##", "...."], ramps=(ramp_from(0, 3, Side.E),)),
            "Move the ramp to row 1, column 3, side W",
        ),
    ],
)
def test_the_likeliest_change_comes_first(design, words):
    assert offered(design)[0].startswith(words)


@settings(max_examples=25)
@given(designs(), st.sampled_from(["lid", "low", "empty", "guard", "cut"]))
def test_whatever_is_offered_mends(design, how):
    design = broken(design, how)
    before = faults_of(design)

    for fault in before:
        for remedy in remedies_for(design, fault, faults_of):
            after = faults_of(remedy.moved.design)

            assert len(after) <= len(before)
            assert [one.subject for one in after].count(fault.subject) < [
                one.subject for one in before
            ].count(fault.subject)
            assert remedied(design, remedy.code, faults_of) == remedy.moved


def test_a_change_that_mends_nothing_any_more_is_not_made():
    assert remedied(make_design(["##"]), "join-0", faults_of) is None


@given(footprints(), st.integers(2, 6), st.integers(-3, 3))
def test_a_bridge_joins_two_pieces(one, rows, cols):
    lowest = max(cell.row for cell in one)
    other = frozenset(Cell(cell.row + lowest + rows, cell.col + cols) for cell in one)

    assert len(connected_pieces(one | other | bridge_between(one, other))) == 1
