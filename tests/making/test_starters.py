"""Starter designs: sound for every panel that a design may have, and holding what they say.

The floors are worked out by hand beside each check: of 350 mm panels a tray without clearance is
as wide as its cells are together.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from builds.making.starters import USUAL_PANEL, starters
from habitats.structure.design import Limits, PanelSize, Species
from habitats.structure.lattice import Cell
from habitats.structure.read import PANEL_MM, SQUARES, design_from, document_of
from habitats.structure.structure import raise_structure
from habitats.structure.warnings import warnings_for
from habitats.welfare.rooms import room_of
from habitats.welfare.rule_sets import rule_set, rule_sets
from habitats.welfare.space import judged
from habitats.welfare.values import Resident

# Those that need no ramp: they can be made of any panel.
ALWAYS = {
    *(f"rectangle-{rows}-{cols}" for rows, cols in ((2, 3), (2, 4), (2, 5), (3, 4))),
    "ell",
    "you",
    "quarantine",
}
CHOOSABLE = {
    species: [one for one in rule_sets() if one.choosable and one.species is species]
    for species in Species
}


def by_code(**rules):
    return {one.code: one for one in starters(USUAL_PANEL, **rules)}


def holds(code, standard):
    rules = rule_set(standard)
    named = "rabbits" if rules.species is Species.RABBIT else "guinea_pigs"
    return by_code(**{named: rules})[code].holds(rules)


@given(st.integers(*PANEL_MM), st.integers(*SQUARES))
@settings(max_examples=25, deadline=None)
def test_for_every_panel_each_starter_can_be_made_and_told_in_a_file(size_mm, squares):
    found = starters(PanelSize(size_mm, squares))

    assert {one.code for one in found} >= ALWAYS
    for one in found:
        assert raise_structure(design_from(document_of(one.shape)), Limits()) == one.structure


@pytest.mark.parametrize("rules", CHOOSABLE[Species.GUINEA_PIG], ids=lambda one: one.id)
@pytest.mark.parametrize("panel", [PanelSize(300, 9), USUAL_PANEL, PanelSize(498, 12)])
def test_by_every_standard_a_quarantine_enclosure_has_room_for_a_pair(panel, rules):
    [found] = [one for one in starters(panel, rules) if one.in_pairs]

    room = room_of(found.structure)
    assert judged(rules, rules.species, room, [Resident()] * 2).passes


@pytest.mark.parametrize("rules", CHOOSABLE[Species.RABBIT], ids=lambda one: one.id)
@pytest.mark.parametrize("panel", [PanelSize(300, 9), USUAL_PANEL, PanelSize(498, 12)])
def test_by_every_standard_a_run_has_room_for_two_rabbits_and_a_lid(panel, rules):
    found = {one.code: one for one in starters(panel, None, rules)}["run-2"]

    assert judged(rules, rules.species, room_of(found.structure), [Resident()] * 2).passes
    assert found.shape.lid
    assert found.shape.ground.wall_panels >= 2


def test_a_run_is_as_small_as_its_standard_allows():
    """TVT, leaflet on rabbits: 6 m² for two, 2.4 m long. 7 × 7 cells of 350 mm are 6.0025 m²;
    48 cells are 5.88 m²."""
    found = by_code(rabbits=rule_set("de-tvt-rabbit"))["run-2"]

    assert (found.shape.rows, found.shape.cols) == (7, 7)


@pytest.mark.parametrize(
    ("code", "standard", "number"),
    [
        # TSchV Annex 2, Table 1: 0.5 m² for two, 0.2 m² for each further one from 700 g up.
        ("rectangle-2-3", "ch-tschv", 3),  # 0.735 m²
        ("rectangle-2-4", "ch-tschv", 4),  # 0.98 m²
        ("rectangle-3-4", "ch-tschv", 6),  # 1.47 m²
        # 2. Tierhaltungsverordnung: 6000 cm² for two, 2000 cm² for each further one.
        ("rectangle-2-3", "at-2thv", 2),  # 7350 cm²
        ("rectangle-2-4", "at-2thv", 3),  # 9800 cm²
        # TVT leaflet 159: 2 m² for up to four; none of these rectangles has as much.
        ("rectangle-3-4", "de-tvt159", 0),  # 1.47 m²
        # United States rescues: 7.5 ft² for two, 10.5 for three, 13 for four.
        ("rectangle-2-3", "us-rescue-minimum", 2),  # 7.91 ft²
        ("rectangle-2-4", "us-rescue-minimum", 3),  # 10.55 ft²
        ("rectangle-2-5", "us-rescue-minimum", 4),  # 13.19 ft²
    ],
)
def test_a_starter_holds_as_many_as_its_floor_is_worth(code, standard, number):
    assert holds(code, standard) == number


def test_walls_are_as_high_as_the_standard_asks():
    """2. Tierhaltungsverordnung: 50 cm; one panel of 350 mm is too low."""
    assert by_code()["rectangle-2-3"].shape.ground.wall_panels == 1
    low = by_code(guinea_pigs=rule_set("at-2thv"))["rectangle-2-3"]
    assert low.shape.ground.wall_panels == 2


def test_the_upper_level_has_two_cells_and_a_ramp_within_the_limit():
    found = by_code()["upper-level"]

    assert found.shape.levels[1].cells == {Cell(0, 3), Cell(1, 3)}
    assert [ramp.slope_deg <= Limits().slope_deg for ramp in found.structure.ramps] == [True]


@given(st.integers(*PANEL_MM), st.integers(*SQUARES))
@settings(max_examples=25, deadline=None)
def test_no_ramp_of_a_starter_is_steeper_than_the_limit(size_mm, squares):
    ramps = [ramp for one in starters(PanelSize(size_mm, squares)) for ramp in one.structure.ramps]

    assert all(ramp.slope_deg <= Limits().slope_deg for ramp in ramps)


def test_the_same_panel_and_rules_give_the_same_starters():
    starters.cache_clear()
    once = starters(USUAL_PANEL)
    starters.cache_clear()

    assert starters(USUAL_PANEL) == once
    assert len({one.code for one in once}) == len(once)


@pytest.mark.parametrize("panel", [PanelSize(300, 9), USUAL_PANEL, PanelSize(498, 12)])
def test_front_doors_stand_where_the_rule_of_reach_asks_for_one(panel):
    found = starters(panel, None, rule_set("de-tvt-rabbit"))

    codes = {one.code: {w.code for w in warnings_for(one.structure)} for one in found}
    assert not any("needs_door" in some for some in codes.values())
    with_doors = {one.code for one in found if one.shape.of_kind("door")}
    assert with_doors == {one.code for one in found if one.shape.lid or one.shape.levels[1:]}


def test_under_the_upper_level_one_front_door_is_enough():
    assert len(by_code()["upper-level"].shape.of_kind("door")) == 1


def test_what_stands_in_a_starter_is_for_the_animals_that_its_floor_is_worth() -> None:
    rules = rule_set("ch-tschv")
    animals = {one.code: one.shape.furniture.animals for one in starters(USUAL_PANEL, rules)}

    # As many as the table above has them; the quarantine enclosure is made for a pair.
    assert (animals["rectangle-2-3"], animals["rectangle-3-4"]) == (3, 6)
    assert animals["quarantine"] == 2


def test_it_is_for_a_pair_where_nobody_chose_a_standard() -> None:
    assert {one.shape.furniture.animals for one in starters(USUAL_PANEL)} == {2}


def test_nothing_stands_in_a_starter_that_its_standard_allows_for_none() -> None:
    small = {one.code: one.shape for one in starters(USUAL_PANEL, rule_set("de-tvt159"))}

    assert small["rectangle-3-4"].furniture is None  # 1.47 m², as above
