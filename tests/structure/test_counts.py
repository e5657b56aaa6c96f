"""Panels and joints against a reckoning by brute force over the lattice, written from the
definitions of the design file alone."""

from collections import Counter

from habitats.structure.structure import Role, raise_structure


def reckoned(document):
    """Unit squares by role, as plain tuples: the naive reading of the format's definitions."""
    stood = {}
    levels = document["levels"]
    marked = [
        {(r, c) for r, row in enumerate(level["plan"]) for c, ch in enumerate(row) if ch == "#"}
        for level in levels
    ]
    for level, cells in zip(levels, marked, strict=True):
        for z in range(level["z"], level["z"] + level["wall_panels"]):
            for r, c in cells:
                for points, beyond in _sides(r, c):
                    if beyond not in cells:
                        stood.setdefault(_upright(points, z), "wall")
        if level["z"]:
            for r, c in cells:
                stood.setdefault(_flat(r, c, level["z"]), "floor")
    for one in document.get("dividers", []):
        level = next(
            lv
            for lv, cells in zip(levels, marked, strict=True)
            if lv["z"] == one["z"] and (one["row"], one["col"]) in cells
        )
        points = dict(zip("NESW", (p for p, _ in _sides(one["row"], one["col"])), strict=True))
        for z in range(level["z"], level["z"] + level["wall_panels"]):
            stood.setdefault(_upright(points[one["side"]], z), "divider")
    if document.get("lid"):
        for r, c in marked[0]:
            top = max(
                lv["z"] + lv["wall_panels"]
                for lv, cells in zip(levels, marked, strict=True)
                if (r, c) in cells
                and lv["z"]
                == max(l2["z"] for l2, c2 in zip(levels, marked, strict=True) if (r, c) in c2)
            )
            stood.setdefault(_flat(r, c, top), "lid")
    return stood


def _sides(r, c):
    """North, east, south, west: the two points of the edge and the cell beyond."""
    return [
        (((r, c), (r, c + 1)), (r - 1, c)),
        (((r, c + 1), (r + 1, c + 1)), (r, c + 1)),
        (((r + 1, c), (r + 1, c + 1)), (r + 1, c)),
        (((r, c), (r + 1, c)), (r, c - 1)),
    ]


def _upright(points, z):
    return frozenset((*p, h) for p in points for h in (z, z + 1))


def _flat(r, c, z):
    return frozenset((r + dr, c + dc, z) for dr in (0, 1) for dc in (0, 1))


def assert_agrees(document, make_design_from):
    structure = raise_structure(make_design_from(document))

    expected = reckoned(document)
    without_guards = [panel for panel in structure.panels if panel.role is not Role.GUARD]
    assert {frozenset(map(tuple, p.place.corners)) for p in without_guards} == set(expected)
    assert Counter(p.role.value for p in without_guards) == Counter(expected.values())
    corners = {tuple(joint) for panel in structure.panels for joint in panel.place.corners}
    assert {tuple(joint) for joint in structure.joints} == corners


def test_one_cell_has_four_walls_and_eight_joints(make_design):
    structure = raise_structure(make_design(["#"]))

    assert len(structure.panels) == 4
    assert len(structure.joints) == 8


def test_two_by_four_has_twelve_walls_and_24_joints(make_design):
    # Perimeter 2 x (2 + 4) = 12 panels; 12 lattice points round it, at two heights.
    structure = raise_structure(make_design(["##"] * 4))

    assert len(structure.panels) == 12
    assert len(structure.joints) == 24


def test_a_wall_shared_by_two_levels_stands_once(make_document, design_from):
    document = make_document(["##", "##"], upper=["##", ".."])
    document["levels"][0]["wall_panels"] = 2

    structure = raise_structure(design_from(document))

    # Two tiers round 2 x 2 cells: 16. The upper level adds its open south edge: 2 more.
    assert len(structure.with_role(Role.WALL)) == 18


def test_shapes_of_every_kind_agree_with_brute_force(make_document, design_from):
    plans = [["#"], ["####", "##..", "##.."], ["###", "#.#", "###"], ["#.#", "###"], [".#.", "###"]]

    for plan in plans:
        assert_agrees(make_document(plan), design_from)


def test_levels_dividers_and_lid_agree_with_brute_force(make_document, design_from):
    document = make_document(
        ["####", "####", "##.."],
        upper=["...#", "...#", "...."],
        dividers=[{"z": 0, "row": 1, "col": 1, "side": "E"}],
        lid=True,
    )
    document["levels"][0]["wall_panels"] = 2

    assert_agrees(document, design_from)


def test_three_levels_agree_with_brute_force(make_document, design_from):
    document = make_document(["###", "###"], upper=["###", "..."])
    document["levels"].append({"z": 2, "wall_panels": 1, "plan": ["#..", "..."]})

    assert_agrees(document, design_from)


def test_lid_lies_over_the_highest_level_of_each_cell(make_design):
    structure = raise_structure(make_design(["##"], upper=[".#"], lid=True))

    assert [panel.place.z for panel in structure.with_role(Role.LID)] == [1, 2]


def test_a_divider_named_from_both_sides_stands_once(make_document, design_from):
    both = [{"z": 0, "row": 0, "col": 0, "side": "E"}, {"z": 0, "row": 0, "col": 1, "side": "W"}]
    document = make_document(["##", "##"], dividers=both)

    structure = raise_structure(design_from(document))

    assert len(structure.with_role(Role.DIVIDER)) == 1
    assert_agrees(document, design_from)
