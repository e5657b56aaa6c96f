"""Cautions, inspection, first use and care: what must be said, and where it is from."""

import pytest

from builds.making.care import care_sheet, first_use_notes
from builds.making.cautions import general_cautions
from builds.making.inspection import inspection_list
from habitats.structure.lattice import Side
from habitats.structure.structure import Structure, raise_structure
from tests.support.designs import make_design, ramp_from


@pytest.fixture
def plain() -> Structure:
    return raise_structure(make_design())


@pytest.fixture
def balcony() -> Structure:
    ramp = ramp_from(0, 3, Side.W, panels=3)
    return raise_structure(make_design(upper=["...#", "...#"], ramps=(ramp,)))


def test_every_advice_has_a_sentence_and_a_source(balcony) -> None:
    advice = [*general_cautions(balcony), *first_use_notes(balcony), *care_sheet()]

    assert all(one.sentence.endswith(".") and one.source for one in advice)
    assert len({one.code for one in advice}) == len(advice)


def test_every_point_of_the_inspection_is_a_question_with_a_reason(balcony) -> None:
    points = inspection_list(balcony)

    assert all(point.question.endswith("?") and point.why and point.source for point in points)
    assert len({point.code for point in points}) == len(points)


def test_the_inspection_asks_for_all_that_can_hurt(balcony) -> None:
    codes = {point.code for point in inspection_list(balcony)}

    assert {"edges", "tails", "ramp_tied", "ramp_still", "grip", "gaps", "guards"} <= codes


def test_ramps_and_lids_are_inspected_only_where_there_are_any(plain) -> None:
    with_lid = raise_structure(make_design(lid=True))

    assert not {"ramp_tied", "grip", "lid"} & {p.code for p in inspection_list(plain)}
    assert "lid" in {point.code for point in inspection_list(with_lid)}


def test_cautions_defer_to_law_and_vet_first(plain) -> None:
    assert [one.code for one in general_cautions(plain)[:2]] == ["law", "vet"]


def test_the_ramp_is_introduced_with_food_in_sight(balcony, plain) -> None:
    # Behav Processes 2025, doi 10.1016/j.beproc.2025.105189: up to 63 cm with the food in sight,
    # never above 18 cm without, n = 10.
    note = next(one for one in first_use_notes(balcony) if one.code == "food_in_sight")

    assert "63 cm" in note.sentence
    assert "18 cm" in note.sentence
    assert "10.1016/j.beproc.2025.105189" in note.source
    assert "food_in_sight" not in {one.code for one in first_use_notes(plain)}


def test_the_care_sheet_gives_the_wash_that_disinfects(plain) -> None:
    # HTM 01-04: 65 °C for 10 minutes or 71 °C for 3 minutes, plus mixing time.
    wash = next(one for one in care_sheet() if one.code == "wash_hot")

    assert "65 °C for 10 minutes or 71 °C for 3 minutes" in wash.sentence
    assert "HTM 01-04" in wash.source


def test_suspected_ringworm_takes_two_hot_washes() -> None:
    # J Feline Med Surg 2016;18:457: two washes of at least 14 min, 22 of 34 positive after one.
    # J Fungi 2022;8:546: 60 °C laundering works, dryer heat does not.
    care = {one.code: one for one in care_sheet()}

    assert "twice" in care["ringworm"].sentence
    assert "60 °C or more for at least 14 minutes" in care["ringworm"].sentence
    assert "dryer alone" in care["ringworm_dryer"].sentence
