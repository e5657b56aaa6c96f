"""The part list: counts by the design file's definitions, cloth by the worked values."""

from hypothesis import given, settings

from builds.making.blank import BlankSet
from builds.making.blanks import make_blanks
from builds.making.parts import PartList, StoredAs, list_parts
from habitats.structure.design import Design, PanelSize
from habitats.structure.kinds import Role
from habitats.structure.lattice import Side
from habitats.structure.structure import raise_structure
from tests.support.designs import Guard, designs, make_design, ramp_from


def parts_of(design: Design) -> PartList:
    structure = raise_structure(design)
    return list_parts(structure, make_blanks(structure))


def with_ramp() -> Design:
    return make_design(upper=["...#", "...#"], ramps=(ramp_from(0, 3, Side.W, panels=3),))


def part(parts: PartList, what: str):
    return next(one for one in parts.parts if one.what == what)


def test_a_plain_enclosure_is_panels_and_connectors_round_its_edge() -> None:
    # 2 × 4 cells: 12 edges, 12 lattice points round them, below and above.
    parts = parts_of(make_design())

    assert parts.count_of("plain-panel") == 12
    assert parts.count_of("connector") == 24
    assert parts.count_of("panel-to-bend") == 0


def test_panels_are_counted_by_what_they_are_for() -> None:
    # Definitions of enclosure-design/1: ground 12 edges; upper 6 edges, 2 floors; the ramp
    # leaves through one of the upper walls.
    panels = parts_of(with_ramp()).panels

    assert (panels.of | {Role.GUARD: 0}) == {
        Role.WALL: 18,
        Role.FLOOR: 2,
        Role.LID: 0,
        Role.DIVIDER: 0,
        Role.GUARD: 0,
        Role.SUPPORT: 0,
        Role.DOOR: 0,
    }
    assert (panels.ramp, panels.doorway) == (3, 1)
    assert panels.total == 18 + 2 + panels.of[Role.GUARD] + 3
    assert panels.plain == panels.total - 1 - 3


def test_guards_are_plain_panels_and_named_among_them() -> None:
    parts = parts_of(make_design(guards=(Guard(0, 0, Side.N, 1),)))

    assert parts.count_of("plain-panel") == 13
    assert "1 as guards" in part(parts, "plain-panel").note


@settings(max_examples=25)
@given(designs())
def test_the_list_holds_every_panel_and_one_connector_a_joint(design) -> None:
    structure = raise_structure(design)
    parts = list_parts(structure, BlankSet((), (), 0))

    listed = sum(one.count for one in parts.of_kind(StoredAs.PANEL))

    assert listed == len(structure.panels) + sum(ramp.panels for ramp in structure.ramps)
    assert listed == parts.panels.total
    corners = {corner for panel in structure.panels for corner in panel.place.corners}
    assert parts.count_of("connector") == len(corners)


def test_consumables_carry_spares_shown_apart() -> None:
    parts = parts_of(with_ramp())

    ties = part(parts, "cable-tie")

    assert ties.count == sum(group.count for group in parts.ties)
    assert ties.spare == -(-ties.count // 10)
    assert part(parts, "plain-panel").spare == 0


def test_every_blank_is_on_the_list_with_its_size() -> None:
    structure = raise_structure(with_ramp())
    blanks = make_blanks(structure)

    sheet = list_parts(structure, blanks).of_kind(StoredAs.SHEET)

    assert [(one.what, one.size, one.count) for one in sheet if not one.unit] == [
        (blank.code, (blank.width_mm, blank.height_mm), blank.quantity) for blank in blanks.blanks
    ]


def test_tape_is_listed_in_whole_metres_rounded_up() -> None:
    structure = raise_structure(make_design(["#"]))

    tape = part(list_parts(structure, BlankSet((), (), 1001)), "sheet-tape")

    assert (tape.count, tape.unit) == (2, "m")


def test_the_towel_covers_the_strip_in_four_layers_and_tucks_in_at_the_top() -> None:
    # Worked value, common practice: 3 panels of 355 mm, strip 200 × 830 mm, at least 200 longer.
    towel = part(parts_of(with_ramp()), "towel-for-the-ramp")

    assert towel.size == (200, 1030)
    assert towel.cut == (4 * 200, 1030)


def test_new_cloth_is_cut_oversize() -> None:
    # Worked value: to finish 1 400 mm at 5 % shrinkage cut 1 474 mm.
    liner = part(parts_of(make_design(panel=PanelSize(350))), "liner-ground")

    assert liner.size == (1400, 700)
    assert liner.cut == (1474, 737)


def test_tools_to_cut_wire_are_listed_only_where_a_doorway_is_cut() -> None:
    with_doorway = {tool.what for tool in parts_of(with_ramp()).tools}
    without = {tool.what for tool in parts_of(make_design()).tools}

    assert {"metal file", "eye protection", "work gloves"} <= with_doorway
    assert "metal file" not in without
