"""The care and wash sheet of a kit's linens.

Ringworm: two washes of at least 14 minutes (J Feline Med Surg 18:457, 2016) at 60 °C (J Fungi
8:546, 2022); heat alone in a dryer does not release. Thermal disinfection: HTM 01-04.
"""

import pytest

from builds.making.advice import PRACTICE
from builds.packing import Cloth, linen_care
from habitats.rotation.cloth import Shrinkage

MEASURED = Cloth("terry", True, 1, 500, Shrinkage(42, 61, pieces=3))


@pytest.fixture
def sheet():
    return {one.code: one for one in linen_care(())}


def test_suspected_ringworm_asks_for_two_hot_washes_and_names_both_papers(sheet):
    advice = sheet["suspected"]

    assert "2 washes, each at 60 °C or more for at least 14 min" in advice.sentence
    assert "call a vet first" in advice.sentence
    assert "J Feline Med Surg 18:457 (2016)" in advice.source
    assert "J Fungi 8:546 (2022)" in advice.source


def test_dry_heat_is_said_to_release_nothing(sheet):
    assert "dry heat or freezing alone releases nothing" in sheet["suspected_how"].sentence


def test_disinfection_by_heat_has_its_figures_and_its_source(sheet):
    assert "65 °C or more for at least 10 min" in sheet["heat"].sentence
    assert "71 °C or more for at least 3 min" in sheet["heat"].sentence
    assert "HTM 01-04" in sheet["heat"].source


def test_what_has_no_source_is_marked_as_such(sheet):
    assert sheet["detergent"].source == PRACTICE
    assert sheet["everyday"].source == PRACTICE
    assert "No fabric softener" in sheet["detergent"].sentence
    assert sheet["no_bleach"].source == "from memory, not checked"


def test_the_vet_comes_last_and_first(sheet):
    assert list(sheet)[-1] == "vet_first"
    assert "your vet" in sheet["vet_first"].sentence


def test_the_first_wash_comes_before_everything(sheet):
    assert next(iter(sheet)) == "first_wash"


def test_shrinkage_that_was_measured_is_told_with_how_it_is_known():
    told = next(one for one in linen_care((MEASURED,)) if one.code == "shrinkage")

    assert told.sentence.replace("\xa0", " ").startswith(
        "Terry shrinks by about 5 % in width and 7 % in length"
    )
    assert told.source == "mean of 3 measured (ISO 5077)"


def test_shrinkage_of_unknown_goods_is_marked_as_a_weak_default(sheet):
    said = sheet["shrinkage"]

    assert "Cotton terry: 3 to 7" in said.sentence
    assert said.source == "from memory, not checked"


def test_a_kit_without_linens_has_no_sheet():
    assert linen_care((), has_linens=False) == ()
