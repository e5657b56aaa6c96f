"""`manage.py rotate`: the document, its keys, and refusals on standard error with exit 2."""

import json
import subprocess
import sys
from copy import deepcopy
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

STATE = {
    "start": "2027-01-04",
    "days": 7,
    "sizes": {"A": {"kg": 0.6}, "B": {"kg": 0.45}},
    "enclosures": [
        {"id": "E1", "size": "A", "interval_days": 3, "last_changed": "2027-01-01"},
        {"id": "E2", "size": "B", "interval_days": 4, "last_changed": "2027-01-04"},
    ],
    "linens": [
        {"id": "L1", "size": "A", "state": "in_use", "enclosure": "E1", "ready": None,
         "set_aside": False},
        {"id": "L2", "size": "A", "state": "washing", "enclosure": None, "ready": "2027-01-05",
         "set_aside": False},
        {"id": "L3", "size": "B", "state": "soiled", "enclosure": None, "ready": None,
         "set_aside": True},
        {"id": "L4", "size": "B", "state": "clean", "enclosure": None, "ready": None,
         "set_aside": False},
    ],
    "laundry": {"wash_weekdays": [0, 3], "loads_per_day": 2, "load_kg": 5.0, "days_to_clean": 1},
}  # fmt: skip


@pytest.fixture
def write(tmp_path):
    def written(document):
        path = tmp_path / "state.json"
        path.write_bytes(document if isinstance(document, bytes) else json.dumps(document).encode())
        return str(path)

    return written


@pytest.fixture
def rotate(write):
    """The printed document of `manage.py rotate` for a state."""

    def told(document):
        call_command("rotate", write(document), stdout=(out := StringIO()))
        return json.loads(out.getvalue())

    return told


@pytest.fixture
def refused(write):
    """The lines on standard error of a refused state."""

    def lines(document):
        with pytest.raises(SystemExit) as stopped:
            call_command("rotate", write(document), stderr=(err := StringIO()))
        assert stopped.value.code == 2
        return err.getvalue().splitlines()

    return lines


def changed(path, value):
    """The state with one value changed; the path as in the faults' places."""
    state = deepcopy(STATE)
    *steps, last = path
    place = state
    for step in steps:
        place = place[step]
    place[last] = value
    return state


def test_what_comes_is_told_day_by_day(rotate):
    # E1 is due on Monday and waits until Tuesday, when L2 is back; L1 is then soiled, and washed
    # on Thursday. E2 is bare, so it is due at once, and has L4.
    told = rotate(STATE)

    assert told["shortages"] == [{"date": "2027-01-04", "size": "A", "enclosure": "E1"}]
    assert told["loads"] == [
        {
            "date": "2027-01-04",
            "linens": ["L3"],
            "kg": 0.45,
            "programme": "65 °C for 14 min or longer, twice in a row",
        },
        {"date": "2027-01-07", "linens": ["L1"], "kg": 0.6, "programme": "usual"},
    ]
    # One lies there, and what is taken out on a change is back before the next.
    assert told["par"] == {"A": 2, "B": 2}
    assert told["runs_dry"] == {"A": "2027-01-04", "B": None}


def test_what_to_do_about_it_is_told_too(rotate):
    state = deepcopy(STATE)
    del state["linens"][2:]

    assert rotate(state)["to_buy"] == {"A": 0, "B": 2}


def test_how_sure_it_is_and_what_more_washing_would_do_is_told(rotate):
    told = rotate(STATE)

    assert told["overloaded"] == []
    assert (told["bound"], told["proved"]) == (1, True)
    assert {one["name"] for one in told["one_more_wash_day"]} == {
        "Tuesday",
        "Wednesday",
        "Friday",
        "Saturday",
        "Sunday",
    }
    assert told["days"]["B"]["in_use"] == [1, 1, 1, 1, 1, 1, 1]


def test_an_empty_rescue_lacks_nothing(rotate):
    told = rotate({**STATE, "sizes": {}, "enclosures": [], "linens": []})

    assert (told["shortages"], told["loads"], told["par"]) == ([], [], {})


def test_keys_of_a_linen_that_say_nothing_may_be_left_out(rotate):
    state = deepcopy(STATE)
    state["linens"] = [
        {key: value for key, value in linen.items() if value not in (None, False)}
        for linen in STATE["linens"]
    ]

    assert rotate(state) == rotate(STATE)


def test_a_linen_that_is_set_aside_and_clean_is_pointed_out(rotate):
    (warning,) = rotate(changed(["linens", 3, "set_aside"], True))["warnings"]

    assert "L4" in warning


def test_a_mass_finer_than_a_gram_never_makes_a_load_too_heavy(rotate):
    state = changed(["sizes", "A", "kg"], 1.6667)
    state["linens"] = [{"id": f"L{n}", "size": "A", "state": "soiled"} for n in range(3)]

    assert [len(load["linens"]) for load in rotate(state)["loads"][:2]] == [2, 1]


@pytest.mark.parametrize(
    ("path", "value", "line"),
    [
        (["start"], "4 January", 'start: "4 January" given. Give a day as YYYY-MM-DD, such as'),
        (["start"], "2027-02-30", 'start: "2027-02-30" given. Give a day as YYYY-MM-DD'),
        (["start"], "20270104", 'start: "20270104" given.'),
        (["days"], 0, "days: 0 given. Give a whole number from 1 to 1100."),
        (["days"], True, "days: true given."),
        (["sizes", "A", "kg"], 0, "sizes.A.kg: 0 given. Give kilograms, more than 0"),
        (["sizes", "A", "kg"], -1.5, "sizes.A.kg: -1.5 given. Give kilograms"),
        (["sizes", "A", "kg"], True, "sizes.A.kg: true given. Give kilograms"),
        (["sizes", "A", "kg"], 5.1, "sizes.A.kg: 5.1 given, which is more than a load of 5 kg"),
        (["enclosures", 0, "interval_days"], 0, "enclosures[0].interval_days: 0 given."),
        (["enclosures", 0, "interval_days"], -2, "enclosures[0].interval_days: -2 given."),
        (["enclosures", 0, "size"], "C", 'enclosures[0].size: "C" given. Give one that sizes has'),
        (["enclosures", 1, "id"], "E1", 'enclosures[1].id: "E1" given a second time.'),
        (["enclosures", 0, "last_changed"], "2027-01-05", "Give a day up to the start, 2027-01-04"),
        (["linens", 1, "id"], "L1", 'linens[1].id: "L1" given a second time.'),
        (["linens", 0, "enclosure"], "E9", 'linens[0].enclosure: "E9" given.'),
        (["linens", 0, "enclosure"], None, "linens[0].enclosure: null given. Give the id"),
        (["linens", 0, "enclosure"], "E2", 'linens[0].enclosure: "E2" given, which takes "B".'),
        (["linens", 1, "ready"], None, "linens[1].ready: null given. A linen in the wash has one."),
        (["linens", 2, "ready"], "2027-01-05", "given for one that is soiled."),
        (["linens", 3, "enclosure"], "E2", "given for a clean linen."),
        (["linens", 3, "state"], "dirty", 'linens[3].state: "dirty" given. Give "clean" or'),
        (["linens", 3, "set_aside"], 1, "linens[3].set_aside: 1 given. Give true or false."),
        (["laundry", "wash_weekdays"], [7], "laundry.wash_weekdays: a list given. Give a list of"),
        (["laundry", "wash_weekdays"], [1, 1], "each at most once."),
        (["laundry", "loads_per_day"], -1, "laundry.loads_per_day: -1 given."),
        (["laundry", "load_kg"], 0, "laundry.load_kg: 0 given."),
        (["laundry", "days_to_clean"], 0.5, "laundry.days_to_clean: 0.5 given."),
        (["laundry", "soap"], 1, "laundry.soap: Unknown key"),
    ],
)
def test_a_slip_is_one_line_with_place_value_and_what_is_allowed(refused, path, value, line):
    lines = refused(changed(path, value))

    assert len(lines) == 1
    assert line in lines[0]


def test_two_linens_in_one_enclosure_are_refused(refused):
    state = deepcopy(STATE)
    state["linens"].append({"id": "L9", "size": "A", "state": "in_use", "enclosure": "E1"})

    assert refused(state) == ['linens[4].enclosure: "E1" given, in which "L1" lies. Give another.']


def test_nan_is_no_number(refused):
    text = json.dumps(STATE).replace("0.45", "NaN").encode()

    assert refused(text) == ["file: NaN is not a number in JSON. Write a plain number."]


def test_every_fault_is_named_at_once(refused):
    state = changed(["days"], 0)
    state["laundry"]["load_kg"] = "5"

    assert [line.split(":")[0] for line in refused(state)] == ["days", "laundry.load_kg"]


def test_what_is_no_object_is_refused(refused):
    assert refused([1]) == ["A round is one JSON object, not a list."]


def test_the_command_ends_with_2_and_a_line_by_itself(write):
    command = [sys.executable, "manage.py", "rotate", write(changed(["days"], -1))]
    root = Path(__file__).parents[2]

    done = subprocess.run(command, cwd=root, capture_output=True, text=True, check=False)

    assert done.returncode == 2
    assert done.stderr.splitlines() == ["days: -1 given. Give a whole number from 1 to 1100."]
