"""The lid lies on walls, or on a neighbour that does; what hangs in the air is refused."""

import pytest

from habitats.structure.faults import BadDesign
from habitats.structure.structure import Role, raise_structure


@pytest.fixture
def raised(make_document, design_from):
    def make(ground, upper=None, tiers=1):
        document = make_document(ground, upper=upper, lid=True)
        document["levels"][0]["wall_panels"] = tiers
        return raise_structure(design_from(document))

    return make


def test_the_middle_of_a_wide_lid_is_held_by_its_neighbours(raised):
    assert len(raised(["###"] * 3).with_role(Role.LID)) == 9


def test_a_lid_beside_an_upper_floor_is_held_by_it(raised):
    assert len(raised(["##", "##"], upper=[".#", ".#"]).with_role(Role.LID)) == 4


def test_a_lid_over_a_well_whose_walls_end_lower_is_refused(raised):
    ring = ["###", "#.#", "###"]

    with pytest.raises(BadDesign, match="over row 2, column 2 lies at height 3") as refusal:
        raised(["###"] * 3, upper=ring, tiers=3)

    assert refusal.value.faults[0].place == "lid"
