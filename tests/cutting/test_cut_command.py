"""`manage.py cut`: JSON in, JSON out, and one line a fault with exit 2."""

import io
import json
import subprocess
import sys
import time
from pathlib import Path

import pytest
from django.core.management import call_command

ROOT = Path(__file__).parents[2]
JOB = {
    "pieces": [{"id": "blank", "width": 700, "height": 900, "quantity": 2, "rotate": False}],
    "stock": [{"id": "sheet", "width": 1400, "height": 900, "quantity": None, "cost": 8}],
    "kerf": 0,
    "trim": 0,
    "guillotine": True,
    "seconds": 2,
}


def refused(path: Path) -> list[str]:
    out, err = io.StringIO(), io.StringIO()
    with pytest.raises(SystemExit) as exit_:
        call_command("cut", str(path), stdout=out, stderr=err)
    assert exit_.value.code == 2
    assert out.getvalue() == ""
    return err.getvalue().splitlines()


def test_a_job_file_becomes_a_plan(tmp_path: Path) -> None:
    path, out = tmp_path / "job.json", io.StringIO()
    path.write_text(json.dumps(JOB))

    call_command("cut", str(path), stdout=out)

    plan = json.loads(out.getvalue())
    assert [p["x"] for p in plan["sheets"][0]["placements"]] == [0, 700]
    assert (plan["cost"], plan["optimal"], plan["used_fraction"]) == (8, True, 1)


def test_standard_input_becomes_a_plan_on_standard_output() -> None:
    run = subprocess.run(
        [sys.executable, "manage.py", "cut", "-"],
        input=json.dumps(JOB),
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=True,
    )

    assert json.loads(run.stdout)["cost"] == 8
    assert run.stderr == ""


def test_each_fault_is_one_line(tmp_path: Path) -> None:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(JOB | {"kerf": -1, "seconds": "long"}))

    assert refused(path) == [
        "kerf: -1 is given; give a whole number from 0 to 100.",
        "seconds: 'long' is given; give a number from 0.05 to 120.",
    ]


def test_a_missing_file_is_one_line(tmp_path: Path) -> None:
    (line,) = refused(tmp_path / "nothing.json")

    assert line.startswith("job: The file ")


@pytest.mark.parametrize(
    "data",
    [b"[" * 1000, b"not JSON", b'{"kerf": NaN}', b" " * 10_000_000, b'{"a": ' * 1000],
    ids=["nested", "words", "nan", "ten megabytes", "objects"],
)
def test_hostile_files_are_refused_under_a_second(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "job.json"
    path.write_bytes(data)
    start = time.perf_counter()

    (line,) = refused(path)

    assert time.perf_counter() - start < 1
    assert line.startswith("job: ")


def test_a_large_job_keeps_its_deadline(tmp_path: Path) -> None:
    pieces = [
        {"id": f"p{n}", "width": 50 + n * 37 % 251, "height": 50 + n * 83 % 241, "quantity": 40}
        for n in range(500)
    ]
    path, out = tmp_path / "job.json", io.StringIO()
    path.write_text(json.dumps(JOB | {"pieces": pieces, "seconds": 0.3}))
    start = time.perf_counter()

    call_command("cut", str(path), stdout=out)

    # Reading and writing so much takes a while too; the search itself stops in time.
    assert time.perf_counter() - start < 3
    assert json.loads(out.getvalue())["unplaced"][0]["reason"].startswith("The time ran out")
