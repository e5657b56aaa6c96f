"""A sheet plan that was found once is read from its file by every process after that."""

from dataclasses import replace

import pytest
from hypothesis import given, settings

from builds.common import kept_layouts
from builds.common.kept_layouts import kept_layout
from builds.cutting import Layout, cut
from builds.making.blank import SheetSize
from builds.making.blanks import make_blanks
from builds.sheets import WORK, single
from builds.sheets.single import sheet_plan
from builds.store.models.needs import sheets_for
from habitats.structure.structure import raise_structure
from tests.support.designs import designs, make_design

BLANKS = make_blanks(raise_structure(make_design(["####", "####"])), SheetSize(1220, 2440)).blanks


@pytest.fixture
def searched(monkeypatch, settings, tmp_path):
    """The jobs that were searched for, in the order; files are kept in this test."""
    settings.DATA_DIR, settings.PRINTS_MB = tmp_path, 1
    jobs = []

    def search(job, **how):
        jobs.append(job)
        return cut(job, **how)

    monkeypatch.setattr(single, "cut", search)
    return jobs


def _in_a_new_process(*asked, **how):
    """What only this process knows is forgotten."""
    single._counted.cache_clear()
    sheets_for.cache_clear()
    return sheet_plan(*asked, work=WORK, **how)


def test_a_new_process_searches_for_no_plan_that_was_found_before(searched):
    first = _in_a_new_process(BLANKS)
    second = _in_a_new_process(BLANKS)

    assert first == second
    assert len(searched) == 1


def test_the_sheets_of_a_design_are_counted_once_for_all_processes(searched):
    shape, size = make_design(["####", "####"]), SheetSize(1220, 2440)
    counted = set()
    for _process in range(2):
        _in_a_new_process(BLANKS)
        counted.add(sheets_for(shape, size, size))

    assert len(counted) == 1
    assert len(searched) == 1


def test_on_sheets_of_another_size_it_is_another_plan(searched):
    _in_a_new_process(BLANKS, SheetSize(1220, 2440))
    larger = _in_a_new_process(BLANKS, SheetSize(1500, 3000))

    assert len(searched) == 2
    assert {one.stock.width for one in larger.plan.sheets} == {1500}


def test_whatever_a_job_asks_makes_it_another(searched):
    _in_a_new_process(BLANKS)
    (job,) = searched
    others = [
        replace(job, kerf=3),
        replace(job, trim=5),
        replace(job, guillotine=not job.guillotine),
        replace(job, pieces=job.pieces[1:]),
    ]
    found = [kept_layout(one, WORK, lambda one=one: single.cut(one, work=WORK)) for one in others]

    assert len(searched) == 1 + len(others)
    assert all(isinstance(one, Layout) for one in found)


def test_another_cutter_searches_again(searched, monkeypatch):
    _in_a_new_process(BLANKS)
    monkeypatch.setattr(kept_layouts, "_cutter", lambda: b"of the next version")

    _in_a_new_process(BLANKS)

    assert len(searched) == 2


def test_where_nothing_is_kept_each_process_searches(searched, settings):
    settings.PRINTS_MB = 0

    assert _in_a_new_process(BLANKS) == _in_a_new_process(BLANKS)
    assert len(searched) == 2


@settings(max_examples=10, deadline=None)
@given(design=designs())
def test_what_is_kept_is_what_was_found(design):
    job = single.job_of(make_blanks(raise_structure(design)).blanks)
    found = cut(job, work=WORK)

    assert kept_layout(job, WORK, lambda: found) == found
