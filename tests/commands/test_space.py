"""`manage.py space`: the document, its keys, and refusals on standard error with exit 2."""

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from django.core.management import call_command

from habitats.welfare.rule_sets import rule_sets_for
from habitats.welfare.values import Species

ANIMAL = {"weight_g": 900, "age_days": 400, "sex": "F", "castrated": False, "with_litter": False}
CASE = {
    "species": "guinea_pig",
    "ground_cm2": 4500,
    "upper_cm2": 2500,
    "height_mm": 355,
    "tall_share": 1.0,
    "longest_side_mm": 900,
    "shortest_side_mm": 500,
    "raised_cm2": 0,
    "animals": [ANIMAL, ANIMAL, ANIMAL],
}


@pytest.fixture
def write(tmp_path):
    def written(document):
        path = tmp_path / "case.json"
        path.write_bytes(document if isinstance(document, bytes) else json.dumps(document).encode())
        return str(path)

    return written


@pytest.fixture
def space(write):
    """The printed document of `manage.py space` for a case."""

    def judged(document):
        call_command("space", write(document), stdout=(out := StringIO()))
        return json.loads(out.getvalue())

    return judged


@pytest.fixture
def refused(write):
    """The lines on standard error of a refused case."""

    def lines(document):
        with pytest.raises(SystemExit) as stopped:
            call_command("space", write(document), stderr=(err := StringIO()))
        assert stopped.value.code == 2
        return err.getvalue().splitlines()

    return lines


@pytest.fixture
def of(space):
    """What one rule set says of a case."""

    def one(id, document):
        (found,) = [one for one in space(document)["rule_sets"] if one["id"] == id]
        return found

    return one


@pytest.mark.parametrize("species", Species)
def test_a_case_is_judged_by_every_rule_set_of_its_species_and_no_other(space, species):
    """Which there are stands in ``tests/welfare/test_rule_sets.py``."""
    judged = [one["id"] for one in space({**CASE, "species": species.value})["rule_sets"]]

    assert judged == [one.id for one in rule_sets_for(species)]


def test_credit_for_a_level_is_told_in_whole_square_centimetres(of):
    # Switzerland, TSchV Annex 2 Table 1, arithmetic: a third of 7 000 is 2 333; 4 500 + 2 333.
    swiss = of("ch-tschv", CASE)

    assert (swiss["required_cm2"], swiss["counted_cm2"]) == (7000, 6833)
    assert swiss["passes"] is False


def test_each_clause_says_what_is_needed_given_and_where_from(of):
    # Directive 2010/63/EU, Annex III, Table 1.5: 3 of 900 g 2 700 cm2, 230 mm.
    floor, height, tall = of("eu-2010-63", CASE)["clauses"]

    assert floor == {
        "text": "Floor for 3 guinea pigs",
        "bound": "at least",
        "unit": "cm2",
        "needed": 2700,
        "given": 4500,
        "passes": True,
        "verified": True,
        "source": "Directive 2010/63/EU, Annex III, Table 1.5",
    }
    assert (height["needed"], height["given"], height["unit"]) == (230, 355, "mm")
    assert (tall["bound"], tall["needed"], tall["given"]) == ("more than", 1350, 4500)


def test_small_areas_are_told_to_a_tenth(of):
    # ILAR Guide, 8th ed. 2011, Table 3.2: 60 in2 = 387.1 cm2.
    one_young = {**CASE, "animals": [{**ANIMAL, "weight_g": 350}]}

    assert of("ilar-2011", one_young)["required_cm2"] == 387.1


def test_rescue_guidance_is_told_in_whole_square_centimetres(of):
    # Humane Society of the United States (second-hand quotations) for two: 7.5 and 10.5 ft2;
    # 1 ft2 = 929.0304 cm2.
    pair = {**CASE, "animals": [ANIMAL] * 2}

    assert of("us-rescue-minimum", pair)["required_cm2"] == 6968
    assert of("us-rescue-preferred", pair)["required_cm2"] == 9755


def test_what_cannot_be_told_is_null(of):
    found = of("at-2thv", {"species": "guinea_pig", "ground_cm2": 9000, "animals": [{}, {}]})

    assert found["passes"] is None
    assert found["clauses"][1]["given"] is None
    assert found["clauses"][1]["passes"] is None


def test_a_laboratory_minimum_is_told_as_one_and_never_as_enough(space):
    laboratories = [one for one in space(CASE)["rule_sets"] if one["standing"] == "laboratory"]

    assert len(laboratories) == 4
    for one in laboratories:
        assert one["choosable"] is False
        assert any("never enough" in caution for caution in one["cautions"])


def test_local_law_and_the_vet_are_named_once(space):
    printed = json.dumps(space(CASE))

    assert printed.count("Local law comes first") == 1
    assert printed.count("ask a vet") == 1


def test_the_same_file_gives_the_same_document(space):
    assert space(CASE) == space(CASE)


def test_every_fault_is_one_line_with_its_place(refused):
    broken = {**CASE, "ground_cm2": -1, "animals": [{**ANIMAL, "weight_g": 40_000}], "lid": True}

    assert [line.split(":")[0] for line in refused(broken)] == [
        "lid",
        "ground_cm2",
        "animals[0].weight_g",
    ]


def test_a_fault_says_what_was_given_and_what_is_allowed(refused):
    assert refused({**CASE, "animals": [{**ANIMAL, "weight_g": 0}]}) == [
        "animals[0].weight_g: 0 given. Give a whole number from 20 to 4000."
    ]


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b'{"ground_cm2": NaN}', "NaN"),
        (b'{"ground_cm2": 1e999}', "too large"),
        (b'{"ground_cm2": 1, "ground_cm2": 2}', "given twice"),
        (b"not json", "is not JSON"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"", "empty"),
        (b"[]", "one JSON object"),
        (b"[" * 1000 + b"]" * 1000, "nested"),
    ],
)
def test_what_is_no_case_is_one_line(refused, data, said):
    (line,) = refused(data)

    assert said in line


def test_of_very_many_faults_the_first_are_named_and_the_rest_counted(refused):
    lines = refused({**CASE, "animals": [{**ANIMAL, "weight_g": 0}] * 200})

    assert len(lines) == 51
    assert lines[-1] == "150 more faults are not listed."


def test_a_file_that_is_not_there_is_one_line():
    with pytest.raises(SystemExit) as stopped:
        call_command("space", "nowhere.json", stderr=(err := StringIO()))

    assert stopped.value.code == 2
    assert "nowhere.json" in err.getvalue()


def test_the_command_line_reads_standard_input_and_prints_json():
    root = Path(__file__).parents[2]

    ran = subprocess.run(
        [sys.executable, "manage.py", "space", "-"],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
        input=json.dumps(CASE),
    )

    assert (ran.returncode, ran.stderr) == (0, "")
    assert len(json.loads(ran.stdout)["rule_sets"]) == 12
