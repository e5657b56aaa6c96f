"""Wall anchors: where they grip, what they hold, and how files tell them.

That what is higher than its shorter side is held to a wall at two places is common practice, no
source.
"""

import pytest

from habitats.structure.design import Limits
from habitats.structure.faults import BadDesign
from habitats.structure.kinds import Role
from habitats.structure.lattice import Side
from habitats.structure.motion import Motion, mirrored, moved_design
from habitats.structure.read import design_from, document_of
from habitats.structure.structure import raise_structure
from habitats.structure.tipping import is_anchored
from habitats.structure.warnings import warnings_for
from habitats.structure.wishes import wishes_for
from tests.support.designs import Anchor, Door, make_design, replace

# Two panels deep and three high, with floor three panels up at its east end.
TOWER = make_design(["####", "####"], wall_panels=2, upper=["...#", "...#"])
HELD = replace(
    TOWER,
    anchors=(Anchor(0, 0, 0, Side.N), Anchor(2, 0, 3, Side.N)),
    room_walls=frozenset({Side.N}),
)


def warned(design):
    return {one.code: one.sentence for one in warnings_for(raise_structure(design))}


def wish(design):
    return next(one for one in wishes_for(design, Limits()) if one.code == "anchors")


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"anchors": (Anchor(0, 0, 1, Side.E),)}, "is at no wall"),
        ({"anchors": (Anchor(1, 0, 1, Side.N),)}, "is at no wall"),
        ({"anchors": (Anchor(2, 0, 3, Side.W),)}, "faces floor"),
        ({"anchors": (Anchor(2, 0, 3, Side.E),), "doors": (Door(2, 0, 3, Side.E),)}, "front door"),
    ],
)
def test_an_anchor_out_of_place_is_refused_with_its_place(changes, says):
    with pytest.raises(BadDesign, match=says):
        raise_structure(replace(TOWER, **changes))


def test_it_is_no_panel_and_no_joint():
    plain, held = raise_structure(TOWER), raise_structure(HELD)

    assert (held.panels, held.joints, held.trays) == (plain.panels, plain.joints, plain.trays)
    assert len(held.of_kind(Role.ANCHOR)) == 2


@pytest.mark.parametrize(
    ("anchors", "holds"),
    [
        ((), False),
        ((Anchor(2, 0, 3, Side.N),), False),  # one alone
        ((Anchor(0, 0, 0, Side.N), Anchor(0, 0, 1, Side.N)), True),  # one panel below the top
        ((Anchor(2, 0, 3, Side.N), Anchor(2, 0, 3, Side.N)), False),  # told twice
    ],
)
def test_two_near_the_top_hold_what_may_tip(anchors, holds):
    design = replace(TOWER, anchors=anchors, room_walls=frozenset({Side.N}))

    assert is_anchored(raise_structure(design)) == holds
    assert ("may_tip" in warned(design)) != holds


def test_two_far_below_the_top_do_not():
    low = make_design(["##", "##"], upper=["##", "##"])
    high = replace(low, levels=(low.levels[0], replace(low.levels[1], wall_panels=3)))
    anchors = (Anchor(0, 0, 0, Side.N), Anchor(0, 0, 1, Side.N))

    assert not is_anchored(raise_structure(replace(high, anchors=anchors)))


def test_an_anchor_says_what_holds_in_the_wall_and_asks_for_the_wall():
    assert "ask the landlord and a tradesperson" in warned(HELD)["anchor_holds"]
    assert "anchor_without_wall" not in warned(HELD)
    assert (
        "Walls of the room" in warned(replace(HELD, room_walls=frozenset()))["anchor_without_wall"]
    )


# --- Files and moves ---


def test_anchors_are_an_optional_key():
    assert "anchors" not in document_of(TOWER)
    assert document_of(HELD)["anchors"] == [
        {"z": 0, "row": 0, "col": 0, "side": "N"},
        {"z": 2, "row": 0, "col": 3, "side": "N"},
    ]
    assert design_from(document_of(HELD)) == HELD


def test_anchors_turn_and_mirror_with_the_wall_they_are_at():
    turned, swapped = moved_design(HELD, Motion(1)), mirrored(HELD)

    assert {one.side for one in turned.of_kind(Role.ANCHOR)} == turned.room_walls == {Side.E}
    assert [one.col for one in swapped.of_kind(Role.ANCHOR)] == [3, 0]
    assert is_anchored(raise_structure(swapped))


# --- The usual wish ---


def test_the_wish_holds_its_top_at_both_ends_of_its_longest_side():
    moved = wish(TOWER).moved.design

    assert document_of(moved)["anchors"] == document_of(HELD)["anchors"]
    assert "may_tip" not in warned(moved)
    assert moved.room_walls == {Side.N}


def test_the_wish_keeps_to_the_walls_of_the_room_that_are_told():
    moved = wish(replace(TOWER, room_walls=frozenset({Side.E}))).moved.design

    assert {one.side for one in moved.of_kind(Role.ANCHOR)} == moved.room_walls == {Side.E}


@pytest.mark.parametrize(
    ("design", "why"),
    [
        (make_design(), "stands by itself"),
        (HELD, "hold its top already"),
        (
            replace(make_design(["####"], wall_panels=2), room_walls=frozenset({Side.E})),
            "no side of two panels",
        ),
    ],
)
def test_where_anchors_are_not_needed_or_find_no_wall_the_wish_says_why(design, why):
    assert why in wish(design).why
