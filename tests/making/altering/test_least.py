"""The laying with the least work: against every other one, and against panels counted by hand."""

import time
from itertools import product

import pytest
from hypothesis import given, settings

from builds.making.altering.alteration import Made, laid
from builds.making.altering.laying import AS_DRAWN, Laying
from builds.making.altering.least import alter
from builds.making.blanks import make_blanks
from habitats.structure.design import PanelSize, Species
from habitats.structure.faults import BadDesign
from habitats.structure.lattice import Face, Side
from habitats.structure.motion import mirrored
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design, ramp_from, replace, stands

LOFT = make_design(["####", "####"], upper=["...#", "...#"])


def altered(standing, target, **how):
    return alter(raise_structure(standing), raise_structure(target), **how)


# --- Worked value ---


@pytest.mark.parametrize(
    ("plan", "upper"),
    [
        (["####", "####"], ["...#", "...#"]),
        (["####", "####"], ["#...", "#..."]),
        (["##"] * 4, ["##", "..", "..", ".."]),
        (["##"] * 4, ["..", "..", "..", "##"]),
        (["......", ".####.", ".####."], ["......", "....#.", "....#."]),
    ],
)
def test_an_upper_level_across_a_short_end_turns_three_connectors_however_it_is_drawn(plan, upper):
    # Worked value, common practice, no source.
    change = altered(make_design(["####", "####"]), make_design(plan, upper=upper))

    assert len(change.turns) == 3
    assert (change.goes_on["panel"], change.comes_off["panel"], change.stays["panel"]) == (8, 0, 12)


# --- Least ---


def corners_of(structure):
    """Panels as sets of corners, with what tells a doorway panel from a plain one."""
    return {(frozenset(one.place.corners), one.doorway) for one in structure.panels}


def every_overlap(standing, target):
    """Panels that fall on panels of their kind, for each way to turn, mirror and shift by hand."""
    had = corners_of(standing)
    for turn, mirror in product(range(4), (False, True)):
        for down, right in product(range(-7, 8), repeat=2):
            yield len(
                had
                & {
                    (frozenset(by_hand(c, turn, mirror, down, right) for c in corners), doorway)
                    for corners, doorway in corners_of(target)
                }
            )


def by_hand(corner, turn, mirror, down, right):
    row, col, z = corner
    col = -col if mirror else col
    row, col = [(row, col), (col, -row), (-row, -col), (-col, row)][turn]
    return row + down, col + right, z


PAIRS = [
    (make_design(["##", "#."]), make_design([".##", "##."])),
    (make_design(["###"]), make_design(["#", "#", "#"])),
    (make_design(["##."] * 2, wall_panels=2), make_design(["####"])),
    (make_design(["##"], upper=["#."]), make_design(["#", "#"], upper=["#", "."])),
    (make_design(["###", "#.."]), make_design(["###", "..#"])),
]


@pytest.mark.parametrize(("standing", "target"), PAIRS)
def test_as_many_panels_stay_in_place_as_in_any_laying_worked_out_by_hand(standing, target):
    change = altered(standing, target)

    most = max(every_overlap(raise_structure(standing), raise_structure(target)))
    assert change.stays["panel"] + change.stays["doorway"] == most


@pytest.mark.parametrize(("standing", "target"), PAIRS)
def test_no_other_laying_is_less_work(standing, target):
    chosen = altered(standing, target)

    for turns, mirror in product(range(4), (False, True)):
        drawn = mirrored(target) if mirror else target
        before, after = made(standing), made(drawn)
        for rows, cols in product(range(-3, 4), repeat=2):
            assert chosen.work <= laid(before, after, Laying(mirror, turns, rows, cols)).work


def made(design):
    structure = raise_structure(design)
    return Made(structure, make_blanks(structure))


def test_a_drawing_turned_by_a_quarter_asks_for_nothing():
    change = altered(LOFT, make_design(["##"] * 4, upper=["##", "..", "..", ".."]))

    assert change.laying.words == "turned a quarter to the right"
    assert sum(change.goes_on.values()) == sum(change.comes_off.values()) == 0


def test_the_words_say_how_the_drawing_is_turned_not_what_stands():
    # The upper level is drawn north and stands east: the drawing goes a quarter to the right.
    change = altered(LOFT, make_design(["##"] * 4, upper=["##", "..", "..", ".."]))

    assert change.motion.inverse.side(Side.N) is Side.E


def test_the_mirror_image_of_what_stands_is_laid_mirrored_and_keeps_its_tray():
    # Four cells in an L are not their own mirror image, whichever way they are turned.
    change = altered(make_design(["###", "#.."]), make_design(["###", "..#"]))

    assert change.laying.mirrored
    assert sum(change.goes_on.values()) == sum(change.comes_off.values()) == 0


def test_a_place_in_the_mirrored_plan_is_told_as_it_is_drawn():
    standing = make_design(["###", "#.."])
    target = make_design(["###", "..#"], upper=["...", "..#"])

    change = altered(standing, target)

    drawn = {change.as_drawn(joint) for joint in change.target.joints}
    assert change.laying.mirrored
    assert drawn == set(raise_structure(target).joints)


def test_a_drawing_with_a_margin_is_shifted_over_what_stands():
    change = altered(make_design(["##", "##"]), make_design(["....", "..##", "..##"]))

    assert change.laying == Laying(False, 0, -1, -2)
    assert change.laying.words == "shifted 2 cells west and 1 cell north"


def test_equal_work_is_laid_as_drawn():
    assert altered(LOFT, LOFT).laying == AS_DRAWN
    assert altered(LOFT, LOFT).laying.words == "as drawn"


def test_all_layings_of_two_structures_of_forty_panels_are_weighed_in_half_a_second():
    ramp = ramp_from(1, 4, Side.W, panels=3)
    standing = raise_structure(
        make_design(["######"] * 3, upper=["....##"] * 3, ramps=(ramp,), guards=())
    )
    target = raise_structure(
        make_design(
            ["######", "######", "####..", "####.."],
            upper=["....##", "....##", "......", "......"],
            ramps=(ramp,),
        )
    )
    start = time.process_time()

    alter(standing, target)

    assert min(len(standing.panels), len(target.panels)) + 3 >= 35
    assert time.process_time() - start < 0.5


# --- Parts ---


@settings(max_examples=8)
@given(designs(), designs())
def test_what_is_kept_removed_and_added_is_what_there_was_and_will_be(one, other):
    other = replace(other, panel=one.panel, species=one.species)
    if not stands(other):
        return
    had, wanted = raise_structure(one), raise_structure(other)

    change = alter(had, wanted)

    for kind, before, after in (
        ("panel", plain(had), plain(wanted)),
        ("doorway", len(had.panels) - plain(had), len(wanted.panels) - plain(wanted)),
        ("connector", len(had.joints), len(wanted.joints)),
        ("ramp", sum(r.panels for r in had.ramps), sum(r.panels for r in wanted.ramps)),
    ):
        assert change.stays[kind] + change.comes_off[kind] == before
        assert change.stays[kind] + change.goes_on[kind] == after
        assert change.moved[kind] + change.new[kind] == change.goes_on[kind]
        assert 0 <= change.left[kind] <= change.comes_off[kind]


def plain(structure):
    return sum(not panel.doorway for panel in structure.panels)


@settings(max_examples=8)
@given(designs(), designs())
def test_panels_to_fetch_are_what_is_lacking_whatever_way_it_lies(one, other):
    # Panels of all kinds are cut and bent from plain ones; those that are not plain any more
    # can lie idle, so the store gives at least the difference of all.
    other = replace(other, panel=one.panel, species=one.species)
    if not stands(other):
        return
    had, wanted = raise_structure(one), raise_structure(other)

    change = alter(had, wanted)

    fetched = sum(change.new[kind] for kind in ("panel", "doorway", "ramp"))
    idle = change.left["doorway"] + change.left["ramp"]
    lacking = all_panels(wanted) - all_panels(had)
    assert max(0, lacking) <= fetched <= max(0, lacking) + idle


def all_panels(structure):
    return len(structure.panels) + sum(ramp.panels for ramp in structure.ramps)


def test_removed_panels_serve_elsewhere_before_new_ones_are_fetched():
    # A row of three becomes a square of four: eight walls both, six of them in place.
    change = altered(make_design(["###"]), make_design(["##", "##"]))

    assert change.moved["panel"] == change.goes_on["panel"] > 0
    assert change.new["panel"] == change.left["panel"] == 0


def test_a_doorway_panel_is_cut_from_a_plain_one_but_never_serves_as_one():
    with_ramp = replace(LOFT, ramps=(ramp_from(0, 3, Side.W, panels=3),), guards=())

    there, back = altered(LOFT, with_ramp), altered(with_ramp, LOFT)

    # The wall that comes off is the panel that the doorway is cut from.
    assert (there.moved["doorway"], there.new["doorway"], there.left["panel"]) == (1, 0, 0)
    assert (back.new["panel"], back.left["doorway"]) == (1, 1)


def test_a_ramp_made_alike_serves_again_at_another_doorway():
    plan = ["#####", "#####"]
    west = make_design(plan, upper=["....#", "....#"], ramps=(ramp_from(0, 4, Side.W, panels=3),))
    other = make_design(plan, upper=["....#", "....#"], ramps=(ramp_from(1, 4, Side.W, panels=3),))

    change = altered(west, other, laying=AS_DRAWN)

    assert change.ramps_moved == {0: 0}
    assert (change.moved["ramp"], change.new["ramp"], change.moved["towel"]) == (3, 0, 1)


# --- What cannot be ---


def test_panels_of_another_size_are_refused_with_what_can_be_taken_back():
    with pytest.raises(BadDesign, match=r"take back 12 plain panels and 24 connectors"):
        altered(make_design(), make_design(panel=PanelSize(300)))


def test_a_target_for_other_animals_is_refused_with_both_named():
    with pytest.raises(BadDesign, match=r"guinea pigs.*rabbits.*take back 12 plain panels"):
        altered(make_design(), make_design(species=Species.RABBIT))


def test_two_faults_are_both_told():
    with pytest.raises(BadDesign) as refused:
        altered(make_design(), make_design(species=Species.RABBIT, panel=PanelSize(300)))

    assert [fault.place for fault in refused.value.faults] == ["panel", "species"]


def test_the_same_pair_gives_the_same_laying():
    one, other = PAIRS[0]

    assert altered(one, other).laying == altered(one, other).laying


def test_a_wall_falls_on_a_wall_of_its_own_plane_only():
    change = altered(make_design(["#"]), make_design(["#"], wall_panels=2))

    assert {place.z for place in change.staying.places} == {0}
    assert {place.face for place in change.staying.places} == {Face.EW, Face.NS}
