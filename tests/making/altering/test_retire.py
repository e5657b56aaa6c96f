"""Retiring: everything comes back, from the top down."""

import networkx as nx
from hypothesis import given, settings

from builds.making.altering.check import rests as is_held
from builds.making.altering.retire import retire
from builds.making.blanks import make_blanks
from builds.making.parts import list_parts
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from

RAMPED = make_design(
    ["####", "####"], upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),)
)


@settings(max_examples=15)
@given(designs())
def test_all_that_went_in_comes_back_and_ties_are_cut(design):
    structure = raise_structure(design)
    listed = list_parts(structure, make_blanks(structure))

    back = retire(structure)

    for part in back.parts:
        assert part.count == listed.count_of(part.what)
    assert back.ties == listed.count_of("cable-tie")
    assert sum(p.count for p in back.parts if "panel" in p.what) == listed.panels.total


@settings(max_examples=15)
@given(designs())
def test_what_still_stands_is_held_after_every_step(design):
    structure = raise_structure(design)
    standing = set(structure.places)

    for step in retire(structure).steps:
        standing -= step.takes.places
        held = set()
        while now := {place for place in standing - held if is_held(place, held)}:
            held |= now
        assert held == standing
    assert standing == set()


@settings(max_examples=10)
@given(designs())
def test_the_order_of_taking_down_is_acyclic(design):
    steps = retire(raise_structure(design)).steps

    graph = nx.DiGraph((need, step.id) for step in steps for need in step.needs)
    assert nx.is_directed_acyclic_graph(graph)
    assert nx.descendants(graph, "animals-out") | {"animals-out"} == {step.id for step in steps}


def test_offcuts_are_the_floors_of_trays_without_folds():
    # Worked value: inside 710 × 1 420 mm, arithmetic; the walls are scored and slit.
    back = retire(raise_structure(RAMPED))

    assert [(one.out_of, one.width_mm, one.height_mm) for one in back.offcuts] == [
        ("ground-tray", 1420, 710),
        ("level-1-tray", 350, 710),
    ]


def test_narrow_offcuts_are_left_out():
    assert len(retire(raise_structure(RAMPED), least_mm=400).offcuts) == 1


def test_cloth_goes_to_the_wash_first():
    back = retire(raise_structure(RAMPED))

    assert back.linens == ("liner-ground", "liner-level-1", "towel-for-the-ramp")
    assert back.steps[1].id == "take-cloth"


def test_the_last_step_counts_the_parts_in():
    last = retire(raise_structure(RAMPED)).steps[-1]

    assert last.id == "into-store"
    assert "21 plain panels, 1 doorway panel" in " ".join(last.instructions)
