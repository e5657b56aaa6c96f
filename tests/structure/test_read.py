"""Reading design files: what is right comes back the same, what is wrong is named."""

import json
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from habitats.structure.faults import BadDesign
from habitats.structure.read import design_from, document_of, read_design
from habitats.structure.structure import raise_structure


def faults_of(document):
    with pytest.raises(BadDesign) as refusal:
        raise_structure(design_from(document))
    return {fault.place: fault.message for fault in refusal.value.faults}


@pytest.fixture
def document(make_document):
    return make_document(
        ["####", "####"],
        upper=["...#", "...#"],
        ramps=[{"level": 1, "row": 0, "col": 3, "side": "W", "panels": "auto"}],
    )


def test_what_was_read_and_written_reads_the_same(document):
    design = design_from(document)

    assert design_from(document_of(design)) == design


def test_missing_choices_take_their_usual_values(make_document):
    short = make_document(["##"])
    for key in ("tray", "name"):
        del short[key]

    design = design_from(short)

    assert design.tray.wall_mm == 150
    assert design.guards is None
    assert not design.lid


@pytest.mark.parametrize(
    ("path", "value", "place", "sentence"),
    [
        (("format",), "enclosure-design/2", "format", "enclosure-design/1"),
        (("species",), "hamster", "species", '"hamster" given'),
        (("panel", "size_mm"), -355, "panel.size_mm", "from 150 to 1000"),
        (("panel", "size_mm"), 355.6, "panel.size_mm", "whole number"),
        (("panel", "size_mm"), True, "panel.size_mm", "true given"),
        (("panel", "squares"), 0, "panel.squares", "from 3 to 40"),
        (("tray", "wall_mm"), 400, "tray.wall_mm", "taller than a panel"),
        (("tray", "clearance_mm"), 51, "tray.clearance_mm", "from 0 to 50"),
        (("levels",), [], "levels", "a list of 0 given"),
        (("levels",), "ground", "levels", '"ground" given'),
        (("levels", 0), 7, "levels[0]", "7 given"),
        (("levels", 0, "plan"), ["####", "##"], "levels[0].plan[1]", "is 2 wide"),
        (("levels", 0, "plan"), ["##x#", "####"], "levels[0].plan[0]", '"x" at column 3'),
        (("levels", 0, "plan"), ["#" * 25], "levels[0].plan[0]", "25 marks given"),
        (("levels", 0, "plan"), ["#"] * 25, "levels[0].plan", "1 to 24 rows"),
        (("levels", 0, "plan"), ["....", "...."], "levels[0].plan", "no cell"),
        (("levels", 0, "plan"), ["#..#", "#..#"], "levels[0].plan", "2 pieces"),
        (("levels", 0, "z"), 1, "levels[0].z", "ground, at height 0"),
        (("levels", 1, "z"), 0, "levels[1].z", "from the ground up"),
        (("levels", 1, "z"), 3, "levels[1].z", "No wall reaches up"),
        (("levels", 1, "wall_panels"), 0, "levels[1].wall_panels", "from 1 to 4"),
        (("levels", 1, "plan"), ["...#"], "levels[1].plan", "share one lattice"),
        (("ramps", 0, "panels"), "some", "ramps[0].panels", 'or "auto"'),
        (("ramps", 0, "side"), "left", "ramps[0].side", '"left" given'),
        (("ramps", 0, "bend_squares"), 5, "ramps[0].bend_squares", "from 1 to 4"),
        (("dividers",), [{"z": 0, "row": 9, "col": 0, "side": "E"}], "dividers[0]", "no cell"),
        (("dividers",), [{"z": 0, "row": 0, "col": 0, "side": "N"}], "dividers[0]", "outer wall"),
        (("guards",), "yes", "guards", '"yes" given'),
        (("lid",), 1, "lid", "true or false"),
        (("name",), "", "name", "1 to 120"),
        (("height",), 2, "height", "Unknown key"),
        (("levels", 0, "color"), 2, "levels[0].color", "Unknown key"),
    ],
)
def test_a_fault_is_named_with_its_place(document, path, value, place, sentence):
    target = document
    for key in path[:-1]:
        target = target[key]
    target[path[-1]] = value

    faults = faults_of(document)

    assert sentence in faults[place]


def test_upper_cells_over_nothing_are_named(make_document):
    faults = faults_of(make_document(["##..", "##.."], upper=[".##.", "...."]))

    assert "row 1, column 3 is over nothing" in faults["levels[1].plan"]


def test_an_upper_level_in_the_middle_of_a_room_hangs_on_nothing(make_document):
    faults = faults_of(make_document(["###"] * 3, upper=["...", ".#.", "..."]))

    assert "No wall reaches up to height 1" in faults["levels[1].z"]


def test_a_level_on_a_divider_does_not_hang(make_document):
    divider = {"z": 0, "row": 1, "col": 1, "side": "E"}
    document = make_document(["###"] * 3, upper=["...", ".#.", "..."], dividers=[divider])

    assert raise_structure(design_from(document))


def test_two_levels_at_one_height_may_not_share_a_cell(make_document):
    document = make_document(["###"], upper=["##."])
    document["levels"].append({"z": 1, "wall_panels": 1, "plan": [".##"]})

    assert "row 1, column 2 is already floor" in faults_of(document)["levels[2].plan"]


def test_a_fault_stays_on_one_line_whatever_it_quotes(document):
    document["species"] = "guinea\npig\x1b[31m"
    document["li\u2028d"] = True

    faults = faults_of(document)

    assert "guinea\\npig\\x1b[31m" in faults["species"]
    assert "li\\u2028d" in faults


def test_of_very_many_unknown_keys_the_first_are_named(document):
    document["panel"].update({f"key{number}": 0 for number in range(1000)})

    faults = faults_of(document)

    assert len(faults) == 21
    assert faults["panel"] == "980 more unknown keys."


def test_a_name_is_one_line(document):
    document["name"] = "Corner\nL"

    assert "on one line" in faults_of(document)["name"]


def test_a_refused_panel_puts_no_blame_on_ramp_or_tray(document):
    document["panel"] = {"size_mm": 0, "squares": 0}
    document["tray"]["wall_mm"] = 300

    assert set(faults_of(document)) == {"panel.size_mm", "panel.squares"}


def test_a_coarse_mesh_bends_and_overlaps_as_far_as_it_can_unless_told(make_document):
    ramp = {"level": 1, "row": 0, "col": 3, "side": "W"}

    design = design_from(make_document(["####"], ["...#"], squares=3, ramps=[ramp]))

    assert (design.ramps[0].overlap_squares, design.ramps[0].bend_squares) == (2, 1)


def test_all_faults_of_a_file_are_named_in_one_go(document):
    document["panel"]["size_mm"] = 0
    document["levels"][0]["plan"] = ["####", "##"]
    document["lid"] = "no"
    document["foo"] = 1

    assert set(faults_of(document)) == {"panel.size_mm", "levels[0].plan[1]", "lid", "foo"}


@pytest.mark.parametrize(
    "text",
    [b"", b"{", b"[]", b"null", b"\xff\xfe", b'{"levels": NaN}', b"[" * 100_000, b'"' + b"a" * 20],
)
def test_what_is_no_design_at_all_is_one_sentence(text):
    with pytest.raises(BadDesign) as refusal:
        read_design(text)

    assert all(str(fault).endswith((".", ")")) for fault in refusal.value.faults)


json_values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner),
    max_leaves=8,
)


@given(st.data())
def test_no_value_in_any_place_breaks_the_reader(data):
    document = json.loads(VALID)
    path = data.draw(st.sampled_from(sorted(_paths(document), key=str)))
    target = document
    for key in path[:-1]:
        target = target[key]
    target[path[-1]] = data.draw(json_values)

    # Whatever is wrong is a BadDesign, which the reader promises; anything else fails the test.
    with suppress(BadDesign):
        raise_structure(design_from(document))


def _paths(value, path=()):
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, inner in items:
        yield (*path, key)
        if isinstance(inner, dict | list):
            yield from _paths(inner, (*path, key))


VALID = (Path(__file__).parent / "data" / "two_levels.json").read_text()
