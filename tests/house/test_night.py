"""What runs by night: each target runs, and the end says which failed."""

import subprocess
from pathlib import Path

from django.conf import settings

NIGHT = settings.BASE_DIR / ".ci/night"
MAKEFILE = """
bad:
	@exit 3
good:
	@touch made
"""


def by_night(folder: Path, *targets: str) -> tuple[int, str]:
    (folder / "Makefile").write_text(MAKEFILE)
    done = subprocess.run([NIGHT, *targets], cwd=folder, capture_output=True, text=True)
    return done.returncode, done.stdout


def test_a_target_that_fails_hides_none_of_those_after_it(tmp_path):
    code, said = by_night(tmp_path, "bad", "good")

    assert (tmp_path / "made").exists()
    assert code == 1
    assert "bad          FAILED after 0:0" in said
    assert "good         passed after 0:0" in said


def test_a_night_without_a_failure_ends_well(tmp_path):
    assert by_night(tmp_path, "good")[0] == 0
