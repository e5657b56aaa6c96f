"""`manage.py plan`: the document, its keys, and refusals on standard error with exit 2."""

import json
import subprocess
import sys
import time
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

DESIGN = {
    "format": "enclosure-design/1",
    "name": "Test",
    "species": "guinea_pig",
    "panel": {"size_mm": 355, "squares": 9},
    "tray": {"wall_mm": 150, "clearance_mm": 0, "round_mm": 10},
    "levels": [
        {"z": 0, "wall_panels": 1, "plan": ["####", "####"]},
        {"z": 1, "wall_panels": 1, "plan": ["...#", "...#"]},
    ],
    "dividers": [],
    "ramps": [{"level": 1, "row": 0, "col": 3, "side": "W", "panels": "auto"}],
    "guards": "auto",
    "lid": False,
}
STANDING = {**DESIGN, "levels": DESIGN["levels"][:1], "ramps": []}


@pytest.fixture
def write(tmp_path):
    def written(document, name="design.json"):
        path = tmp_path / name
        path.write_bytes(document if isinstance(document, bytes) else json.dumps(document).encode())
        return str(path)

    return written


@pytest.fixture
def plan(write):
    """The printed document of `manage.py plan` for a design, and one that stands if given."""

    def planned(document, standing=None):
        out = StringIO()
        more = {} if standing is None else {"standing": write(standing, "standing.json")}
        call_command("plan", write(document), stdout=out, **more)
        return json.loads(out.getvalue())

    return planned


@pytest.fixture
def refused(write):
    """The lines on standard error of a refused design."""

    def lines(document, standing=None):
        err = StringIO()
        more = {} if standing is None else {"standing": write(standing, "standing.json")}
        with pytest.raises(SystemExit) as stopped:
            call_command("plan", write(document), stderr=err, **more)
        assert stopped.value.code == 2
        return err.getvalue().splitlines()

    return lines


def test_panels_are_counted_by_what_they_are_there_for(plan):
    # 12 walls round 2 x 4 cells, 6 round the upper level (one of them the doorway panel), 2 floor
    # panels, 2 guards beside the ramp, 3 ramp panels.
    assert plan(DESIGN)["panels"] == {
        "wall": 18,
        "floor": 2,
        "lid": 0,
        "divider": 0,
        "guard": 2,
        "support": 0,
        "door": 0,
        "ramp": 3,
        "doorway": 1,
        "total": 25,
    }


def test_joints_include_the_corners_of_guards(plan):
    # 24 of the ground, 6 on top of the upper level, one in its open floor edge; two guards end at
    # the upper level's corner and bring 2 more on top.
    assert plan(DESIGN)["joints"] == 33


def test_floor_is_the_inside_of_the_trays(plan):
    floor = plan(DESIGN)["floor"]

    assert floor["ground_cm2"] == 10082  # 710 x 1420 mm
    assert floor["upper_cm2"] == 2485  # 350 x 710 mm
    assert floor["levels"] == [
        {"level": 0, "z": 0, "cm2": 10082},
        {"level": 1, "z": 1, "cm2": 2485},
    ]


def test_the_ramp_has_its_worked_figures(plan):
    # Worked value: 828 mm, rise 355, run 748, 25.4 degrees; common practice and arithmetic.
    ramp = plan(DESIGN)["ramps"][0]

    assert (ramp["length_mm"], ramp["rise_mm"], ramp["run_mm"]) == (828, 355, 748)
    assert (ramp["slope_deg"], ramp["panels"], ramp["strip"]) == (25.4, 3, [200, 830])


def test_blanks_are_every_piece_cut_from_sheet(plan):
    # Worked value: inside 710 x 1420 makes a blank of 1010 x 1720 (here lying east to west).
    blanks = {one["name"]: one for one in plan(DESIGN)["blanks"]}

    ground = blanks["Ground tray"]
    assert (ground["width_mm"], ground["height_mm"]) == (1720, 1010)
    assert len(ground["slits"]) == 4
    assert len(blanks) == 3


def test_steps_need_only_steps_that_come_before(plan):
    seen = set()
    for step in plan(DESIGN)["steps"]:
        assert set(step["needs"]) <= seen
        seen.add(step["id"])


def test_a_new_build_turns_no_connector(plan):
    assert plan(DESIGN)["connectors_to_turn"] == []


def test_an_upper_level_on_what_stands_turns_three_connectors(plan):
    # Worked value, common practice, no source.
    target = {**DESIGN, "ramps": [], "guards": []}

    alteration = plan(target, STANDING)

    assert alteration["connectors_to_turn"] == [[0, 3, 1], [1, 4, 1], [2, 3, 1]]
    assert alteration["goes_on"]["panel"] == 8
    assert alteration["comes_off"]["panel"] == 0
    assert alteration["stays"]["panel"] == 12


def test_the_steps_of_an_alteration_are_not_those_of_building_anew(plan):
    # Worked value, common practice, no source: three connectors are turned.
    steps = plan({**DESIGN, "ramps": [], "guards": []}, STANDING)["steps"]

    ids = [step["id"] for step in steps]
    turning = steps[ids.index("turn-connectors")]
    assert turning["turns"] == [[0, 3, 1], [1, 4, 1], [2, 3, 1]]
    assert not [one for one in ids if one.startswith("wall-ground")]
    assert ids[-1] == "animals-back"


def test_an_alteration_says_how_the_target_is_laid(plan):
    turned = {**STANDING, "levels": [{"z": 0, "wall_panels": 1, "plan": ["##"] * 4}]}

    alteration = plan(turned, STANDING)

    assert alteration["laid"] == {
        "mirrored": False,
        "quarter_turns": 1,
        "shift": [0, 0],
        "words": "turned a quarter to the right",
    }
    assert alteration["steps"] == []


def test_positions_are_those_of_the_target_as_it_is_drawn(plan):
    upright = {
        **DESIGN,
        "levels": [
            {"z": 0, "wall_panels": 1, "plan": ["##"] * 4},
            {"z": 1, "wall_panels": 1, "plan": ["##", "..", "..", ".."]},
        ],
        "ramps": [],
        "guards": [],
    }

    assert plan(upright, STANDING)["connectors_to_turn"] == [[0, 1, 1], [1, 0, 1], [1, 2, 1]]


def test_what_goes_on_is_moved_or_new_and_what_comes_off_may_be_left_over(plan):
    alteration = plan(STANDING, DESIGN)

    for kind in ("panel", "doorway", "ramp", "connector", "tie", "clip", "blank", "towel", "liner"):
        assert alteration["moved"][kind] + alteration["new"][kind] == alteration["goes_on"][kind]
        assert alteration["left_over"][kind] <= alteration["comes_off"][kind]
    assert alteration["left_over"]["doorway"] == 1


def test_trays_and_linens_of_an_alteration_are_told(plan):
    alteration = plan({**DESIGN, "ramps": []}, STANDING)

    assert [(one["level"], one["how"]) for one in alteration["trays"]] == [(0, "kept"), (1, "new")]
    assert alteration["linens"]["in_use"][0]["stays"]
    assert [one["name"] for one in alteration["linens"]["new"]] == ["liner, level 1"]


def test_a_target_that_keeps_hardly_anything_is_said_to_be_as_good_as_new(plan):
    # A tower of one cell can share a corner with a square of six by six: two of its 16 panels.
    square = {**STANDING, "levels": [{"z": 0, "wall_panels": 1, "plan": ["#" * 6] * 6}]}
    tower = {**STANDING, "levels": [{"z": 0, "wall_panels": 4, "plan": ["#"]}]}

    told = {one["code"]: one["sentence"] for one in plan(tower, square)["warnings"]}

    assert "Only 2 of 24 panels stay where they are" in told["little_kept"]
    assert "14 panels" in told["little_kept"]


def test_standing_for_other_animals_is_refused_with_what_is_possible(refused):
    lines = refused(STANDING, {**STANDING, "species": "rabbit"})

    assert lines == [
        "species: What stands was made for rabbits, the target is for guinea pigs, whose doorways "
        "and walls differ. Draw the target for rabbits, or build it from new parts and take back "
        "12 plain panels and 24 connectors."
    ]


def test_the_same_file_gives_the_same_document(plan):
    assert plan(DESIGN) == plan(DESIGN)


def test_every_fault_is_one_line_with_its_place(refused):
    broken = {**DESIGN, "lid": "yes", "panel": {"size_mm": -1, "squares": 9}}

    lines = refused(broken)

    assert [line.split(":")[0] for line in lines] == ["panel.size_mm", "lid"]


def test_faults_of_what_stands_are_told_apart(refused):
    lines = refused(DESIGN, {**STANDING, "species": "cat"})

    assert lines[0].startswith("standing species:")


def test_standing_panels_of_another_size_are_refused_in_words(refused):
    lines = refused(DESIGN, {**STANDING, "panel": {"size_mm": 300, "squares": 9}})

    assert "300 mm" in lines[0]
    assert "355 mm" in lines[0]


@pytest.mark.parametrize(
    "data",
    [
        b"not json",
        b"\xff\xfe\x00",
        b'{"levels": NaN}',
        b"[" * 1000 + b"]" * 1000,
        b" " * 10_000_000,
        b'{"format": "enclosure-design/1", "levels": [{"plan": ["' + b"#" * 400_000 + b'"]}]}',
    ],
)
def test_a_file_that_is_no_design_is_refused_within_a_second(refused, data):
    start = time.perf_counter()

    lines = refused(data)

    assert lines
    assert time.perf_counter() - start < 1


def test_of_very_many_faults_the_first_are_named_and_the_rest_counted(refused):
    astray = {"z": 0, "row": 23, "col": 23, "side": "E"}

    lines = refused({**DESIGN, "dividers": [astray] * 200})

    assert len(lines) == 51
    assert lines[-1] == "150 more faults are not listed."


def test_two_files_cannot_both_come_from_standard_input():
    err = StringIO()
    with pytest.raises(SystemExit) as stopped:
        call_command("plan", "-", standing="-", stderr=err)

    assert stopped.value.code == 2
    assert "Only one" in err.getvalue()


def test_a_file_that_is_not_there_is_one_line(capsys):
    with pytest.raises(SystemExit) as stopped:
        call_command("plan", "nowhere.json", stderr=(err := StringIO()))

    assert stopped.value.code == 2
    assert "nowhere.json" in err.getvalue()


def test_the_command_line_prints_faults_on_standard_error_and_exits_2(write):
    root = Path(__file__).parents[2]
    command = [sys.executable, "manage.py", "plan", write({**DESIGN, "lid": 3})]

    ran = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)

    assert ran.returncode == 2
    assert ran.stdout == ""
    assert ran.stderr.splitlines() == ["lid: 3 given. Give true or false."]
