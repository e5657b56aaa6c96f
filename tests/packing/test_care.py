"""The care sheet of a kit: its linens are cared for in one place, beside or in it."""

import pytest

from builds.making.care import care_sheet, first_use_notes
from builds.packing import days_at_home, enclosure_care
from habitats.structure.structure import raise_structure
from tests.support.designs import make_design


@pytest.fixture(scope="module")
def structure():
    return raise_structure(make_design())


def test_without_linens_in_the_kit_the_sheet_is_the_builds():
    assert enclosure_care(has_linens=False) == tuple(care_sheet())


def test_with_linens_the_sheet_leaves_out_what_their_own_says():
    kept = {one.code for one in enclosure_care(has_linens=True)}

    assert kept < {one.code for one in care_sheet()}
    assert not kept & {"wash_hot", "no_softener", "ringworm"}


def test_the_first_wash_is_told_on_the_first_days_where_no_linens_tell_it(structure):
    alone = {one.code for one in days_at_home(structure, has_linens=False)}
    beside = {one.code for one in days_at_home(structure, has_linens=True)}

    assert alone == {one.code for one in first_use_notes(structure)}
    assert alone - beside == {"fit_after_wash"}
