"""Supports: where they are worked out, what they hold up, and what they keep clear of.

That a floor spans two panels at most, and how a support holds an edge, is common practice without
a source. The checker here is written from these two sentences, and shares no code with the planner.
"""

from itertools import combinations

import pytest
from hypothesis import given, settings

from habitats.structure.faults import BadDesign
from habitats.structure.kinds import Role
from habitats.structure.lattice import Side
from habitats.structure.read import design_from, document_of
from habitats.structure.standing import span_of
from habitats.structure.structure import raise_structure
from habitats.structure.warnings import warnings_for
from tests.support.designs import Divider, Support, designs, make_design, ramp_from, replace

BAY = {"plan": ["####"] * 3, "upper": ["...#"] * 3}
BALCONY = {"plan": ["#####"] * 3, "upper": ["...##"] * 3}
HALL = {"plan": ["#####"] * 5, "upper": ["#####"] * 5}


def warned(design):
    return {one.code for one in warnings_for(raise_structure(design))}


def supports_of(design):
    return raise_structure(design).of_kind(Role.SUPPORT)


# --- The checker ---


def weakest(structure, index):
    """How far a floor spans, over its panels alone: edges as pairs of points (row, col)."""
    level = structure.design.levels[index]
    below = {
        (_edge(one.place), one.role)
        for one in structure.panels
        if one.place.face != "FLAT" and one.place.z == level.z - 1 and one.role != "guard"
    }
    straight = {edge for edge, _role in below}
    held = {point for edge in straight for point in edge}
    propped = {point for edge, role in below if role == "support" for point in edge}

    def is_carried(edge):
        return edge in straight or (edge <= held and bool(edge & propped))

    return max(_spans(level.cells, is_carried, *cell) for cell in level.cells)


def _edge(place):
    one = (place.row, place.col)
    return frozenset((one, (one[0], one[1] + 1) if place.face == "EW" else (one[0] + 1, one[1])))


def _spans(cells, is_carried, row, col):
    found = []
    for down, right in ((1, 0), (0, 1)):
        ends, length = [], 1
        for way in (1, -1):
            r, c = row, col
            while True:
                near = (r + (way > 0), c) if down else (r, c + (way > 0))
                edge = frozenset((near, (near[0], near[1] + 1) if down else (near[0] + 1, near[1])))
                if is_carried(edge) or (r + way * down, c + way * right) not in cells:
                    ends.append(is_carried(edge))
                    break
                r, c = r + way * down, c + way * right
                length += 1
        found.append((length, all(ends)))
    (one, one_held), (other, other_held) = found
    return min(
        one if one_held else max(2 * one, other), other if other_held else max(2 * other, one)
    )


def walkable(structure, level, *, with_supports):
    """In how many parts a level falls for who walks on it."""
    closed = {
        _edge(one.place)
        for one in structure.panels
        if one.place.face != "FLAT"
        and one.place.z == level.z
        and (with_supports or one.role != "support")
    }
    left, parts = set(level.cells), 0
    while left:
        parts += 1
        todo = [left.pop()]
        while todo:
            row, col = todo.pop()
            for (r, c), edge in (
                ((row - 1, col), {(row, col), (row, col + 1)}),
                ((row + 1, col), {(row + 1, col), (row + 1, col + 1)}),
                ((row, col - 1), {(row, col), (row + 1, col)}),
                ((row, col + 1), {(row, col + 1), (row + 1, col + 1)}),
            ):
                if (r, c) in left and frozenset(edge) not in closed:
                    left.remove((r, c))
                    todo.append((r, c))
    return parts


@settings(max_examples=40)
@given(designs())
def test_supports_help_every_floor_and_keep_clear_of_all_else(design):
    without = raise_structure(replace(design, supports=()))
    structure = raise_structure(replace(design, supports=None))

    standing = {one.place for one in structure.panels}
    assert {one.place for one in without.panels} <= standing
    for index, level in enumerate(structure.design.levels):
        if level.z:
            assert span_of(structure.design, index) == weakest(structure, index)
            assert weakest(structure, index) <= max(2, weakest(without, index))
        parts = [walkable(structure, level, with_supports=one) for one in (True, False)]
        assert parts[0] == parts[1]
    for panel in structure.with_role(Role.SUPPORT):
        place = panel.place
        own = {(place.row, place.col), (place.row - 1, place.col)}
        own = own if place.face == "EW" else {(place.row, place.col), (place.row, place.col - 1)}
        for ramp in structure.ramps:
            if structure.design.levels[ramp.landing].z <= place.z < ramp_top(structure, ramp):
                assert not own & {*ramp.lane}
        assert place.z == 0 or place._replace(z=place.z - 1) in standing


def ramp_top(structure, ramp):
    return structure.design.levels[ramp.level].z


# --- Where they are worked out ---


@pytest.mark.parametrize(
    ("changes", "count"),
    [
        ({"plan": ["####"] * 2, "upper": ["...#"] * 2}, 0),  # two cells between two walls
        (BAY, 1),
        (BALCONY, 1),
        ({**BALCONY, "ramps": (ramp_from(1, 3, Side.W),)}, 1),
        ({"plan": ["####"] * 3, "upper": ["####", "....", "...."]}, 1),
        (HALL, 4),
    ],
)
def test_a_floor_that_spans_too_far_gets_supports(changes, count):
    design = make_design(**changes)

    assert len(supports_of(design)) == count
    assert "long_span" not in warned(design)


@pytest.mark.parametrize("changes", [BAY, BALCONY])
def test_no_smaller_number_of_them_would_do(changes):
    design = make_design(**changes)
    inner = [
        Support(0, *cell, side)
        for cell in design.ground.cells
        for side in (Side.E, Side.S)
        if cell.beyond(side) in design.ground.cells
        and {cell, cell.beyond(side)} & design.levels[1].cells
    ]
    planned = len(supports_of(design))

    fewer = (some for count in range(planned) for some in combinations(inner, count))
    assert all(weakest(raise_structure(replace(design, supports=some)), 1) > 2 for some in fewer)


def test_a_support_two_floors_up_stands_on_one_below_it():
    tower = make_design(["###"] * 3, wall_panels=1)
    ground = tower.levels[0]
    levels = (ground, replace(ground, z=1), replace(ground, z=2))

    stands = raise_structure(replace(tower, levels=levels))

    assert sorted(one.place.z for one in stands.with_role(Role.SUPPORT)) == [0, 1]
    assert "long_span" not in warned(replace(tower, levels=levels))


# --- Files ---


def test_a_file_without_the_key_plans_as_before_with_a_warning():
    document = dict(document_of(make_design(**BAY)))
    del document["supports"]

    old = design_from(document)

    assert not supports_of(old)
    assert "long_span" in warned(old)
    assert "supports" not in document_of(old)


def test_a_file_asks_for_them_by_a_word_or_one_by_one():
    auto = make_design(**BAY)
    by_hand = replace(auto, supports=(Support(0, 0, 3, Side.S),))

    assert document_of(auto)["supports"] == "auto"
    assert document_of(by_hand)["supports"] == [{"z": 0, "row": 0, "col": 3, "side": "S"}]
    assert design_from(document_of(auto)) == auto
    assert design_from(document_of(by_hand)) == by_hand
    assert document_of(raise_structure(auto).design) == document_of(auto)


def test_what_was_worked_out_is_worked_out_anew_from_a_structure():
    stands = raise_structure(make_design(**BALCONY))

    assert raise_structure(stands.design) == stands


@pytest.mark.parametrize(
    ("support", "says"),
    [
        (Support(0, 0, 3, Side.N), "stands on no floor"),
        (Support(0, 0, 0, Side.E), "is no floor"),
        (Support(1, 0, 3, Side.S), "is no floor"),
    ],
)
def test_a_support_out_of_place_is_refused_with_its_place(support, says):
    with pytest.raises(BadDesign, match=rf"supports\[0\].*{says}"):
        raise_structure(make_design(**BAY, supports=(support,)))


def test_a_support_on_the_middle_of_a_floor_is_refused():
    ground = make_design(["###"] * 3).levels[0]
    tower = make_design(["###"] * 3, levels=(ground, replace(ground, z=1), replace(ground, z=2)))

    with pytest.raises(BadDesign, match="Nothing stands under the support"):
        raise_structure(replace(tower, supports=(Support(1, 1, 1, Side.S),)))


def test_a_divider_that_carries_a_floor_needs_no_support_beside_it():
    assert not supports_of(make_design(**BAY, dividers=(Divider(0, 0, 3, Side.S),)))


# --- Load ---


def test_the_load_of_an_upper_floor_is_told_in_kilograms_and_animals():
    # 3 kg a panel, 1 kg of it for what lies there; 1.2 kg a guinea pig: common practice, no source.
    (told,) = (
        one.sentence
        for one in warnings_for(raise_structure(make_design(["####"] * 2, upper=["...#"] * 2)))
        if one.code == "upper_load"
    )

    assert "6 kg" in told.replace("\xa0", " ")
    assert "3 guinea pigs of 1.2 kg" in told.replace("\xa0", " ")


def test_no_load_is_told_of_a_floor_that_spans_too_far():
    assert "upper_load" not in warned(make_design(**BAY, supports=()))
    assert "upper_load" in warned(make_design(**BAY))
