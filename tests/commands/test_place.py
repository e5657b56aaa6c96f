"""`manage.py place`: the document, and refusals on standard error with exit 2."""

import json
from io import StringIO

import pytest
from django.core.management import call_command

PIGS = {"species": "guinea_pig"}
A = {"ref": "A", **PIGS, "animals": 5, "needs_cm2": 12_000}
B = {"ref": "B", **PIGS, "animals": 2, "needs_cm2": 5_000, "lives_in": "e0"}
C = {"ref": "C", **PIGS, "animals": 3, "needs_cm2": 8_000, "lives_in": "e1"}
CASE = {
    "groups": [A, B, C],
    "enclosures": [
        {"ref": "e0", "home": "Two Elms", **PIGS, "floor_cm2": 18_000},
        {"ref": "e1", "home": "Two Elms", **PIGS, "floor_cm2": 12_000},
        {"ref": "e2", "home": "Two Elms", **PIGS, "floor_cm2": 7_000},
    ],
    "homes": [{"ref": "Two Elms"}],
}


@pytest.fixture
def write(tmp_path):
    def written(document):
        path = tmp_path / "case.json"
        path.write_text(document if isinstance(document, str) else json.dumps(document))
        return str(path)

    return written


@pytest.fixture
def placed(write):
    """The printed document of `manage.py place` for a case."""

    def document(case):
        call_command("place", write(case), stdout=(out := StringIO()))
        return json.loads(out.getvalue())

    return document


@pytest.fixture
def refused(write):
    """The lines on standard error of a refused case."""

    def lines(case):
        with pytest.raises(SystemExit) as stopped:
            call_command("place", write(case), stderr=(err := StringIO()))
        assert stopped.value.code == 2
        return err.getvalue().splitlines()

    return lines


def test_stays_and_moves_are_told(placed):
    told = placed(CASE)

    assert told["stays"][0] == {
        "groups": ["A"],
        "place": {"enclosure": "e0", "home": "Two Elms"},
        "suits": True,
    }
    assert told["moves"] == [
        {
            "group": "B",
            "from": {"enclosure": "e0", "home": "Two Elms"},
            "to": {"enclosure": "e2", "home": "Two Elms"},
        },
        {"group": "A", "from": None, "to": {"enclosure": "e0", "home": "Two Elms"}},
    ]
    assert told["waiting"] == []


def test_goals_are_told_with_their_bounds_in_words(placed):
    told = {(one["goal"], one.get("urgency")): one for one in placed(CASE)["reached"]}

    assert told["waiting", "soon"]["told"] == (
        "Still waiting, needed soon. Proved: no placing leaves fewer of them waiting."
    )
    assert (told["moves", None]["value"], told["moves", None]["bound"]) == (1, 1)


def test_who_waits_is_told_with_the_places_that_came_nearest(placed):
    told = placed({**CASE, "groups": [{**A, "needs_cm2": 19_000}, B, C]})

    assert told["waiting"][0]["group"] == "A"
    assert told["waiting"][0]["nearest"][0]["told"] == "1000 cm² too small"


@pytest.mark.parametrize(
    ("case", "line"),
    [
        ("[", "file: "),
        ([], "A case is one JSON object, not a list."),
        ({}, "groups: This key is missing. Give a list of 1 to 10000 objects."),
        ({**CASE, "groups": [A, A]}, 'groups[1].ref: "A" is given before; give each ref once.'),
        ({**CASE, "groups": [B, {**C, "lives_in": "e0"}]}, "groups[1].lives_in: "),
        ({**CASE, "homes": []}, 'enclosures[0].home: "Two Elms" is not in the file'),
        ({**CASE, "groups": [{**A, "animals": 0}]}, "groups[0].animals: 0 given."),
        ({**CASE, "groups": [{**A, "mood": 1}]}, "groups[0].mood: Unknown key"),
        ({**CASE, "pins": [{"group": "A"}]}, "pins[0].enclosure: Give either enclosure or home."),
        ({**CASE, "unions": [{"of": ["A"], "needs_cm2": 1}]}, "unions[0].of: Give two groups"),
        ({**CASE, "homes": [{"ref": "Two Elms", "width_mm": 900}]}, "homes[0].width_mm: Give both"),
        (
            {**CASE, "pins": [{"group": "A", "enclosure": "e2"}]},
            "pins: A in e2 is not possible: 5000 cm² too small. Take it back",
        ),
        (
            {**CASE, "pins": [{"group": one, "enclosure": "e0"} for one in "AB"]},
            "pins: These cannot hold together: A in e0; B in e0. Take one of them back.",
        ),
    ],
)
def test_a_case_with_a_fault_is_refused_in_one_line(refused, case, line):
    assert refused(case)[0].startswith(line)
