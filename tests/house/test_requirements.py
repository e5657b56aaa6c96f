"""What gets installed is exact, hashed, and names no address."""

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
GROUPS = ["dev", "audit", "reference", "bucket"]
FILES = ["requirements.txt", *(f"requirements-{group}.txt" for group in GROUPS)]


def pinned(file: str) -> set[str]:
    return set(re.findall(r"^([a-z0-9.-]+)==", (ROOT / file).read_text(), flags=re.M))


def named(requirements: list[str]) -> set[str]:
    return {re.match(r"[a-z0-9-]+", requirement)[0] for requirement in requirements}


@pytest.mark.parametrize("file", FILES)
def test_every_requirement_is_exact_and_hashed(file):
    for requirement in re.split(r"\n(?=[a-z])", (ROOT / file).read_text()):
        assert re.match(r"[a-z0-9.-]+==[0-9]", requirement)
        assert "--hash=sha256:" in requirement


@pytest.mark.parametrize("file", FILES)
def test_no_address_is_named(file):
    text = (ROOT / file).read_text()

    assert "://" not in text
    assert "index" not in text.replace("indexed", "")


def test_what_the_project_asks_for_is_pinned():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())

    assert named(project["project"]["dependencies"]) <= pinned("requirements.txt")
    for group in GROUPS:
        assert named(project["dependency-groups"][group]) <= pinned(f"requirements-{group}.txt")
    assert pinned("requirements.txt") <= pinned("requirements-dev.txt")
