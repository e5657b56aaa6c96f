"""Designs for the structure tests, given as little as each test needs to say."""

import pytest

from habitats.structure.design import Design
from habitats.structure.read import design_from


@pytest.fixture
def make_document():
    """`make_document(plan, upper, size_mm=355)` gives the document of a design file."""

    def make(plan, upper=None, *, size_mm=355, squares=9, tray=None, **changes):
        levels = [{"z": 0, "wall_panels": 1, "plan": plan}]
        if upper is not None:
            levels.append({"z": 1, "wall_panels": 1, "plan": upper})
        return {
            "format": "enclosure-design/1",
            "name": "Test",
            "species": "guinea_pig",
            "panel": {"size_mm": size_mm, "squares": squares},
            "tray": tray or {"wall_mm": 150, "clearance_mm": 0, "round_mm": 10},
            "levels": levels,
            **changes,
        }

    return make


@pytest.fixture
def make_design(make_document):
    def make(*args, **changes) -> Design:
        return design_from(make_document(*args, **changes))

    return make


@pytest.fixture(name="design_from")
def design_from_document():
    return design_from
