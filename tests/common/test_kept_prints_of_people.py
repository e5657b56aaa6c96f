"""A kept paper that names an adopter, or one of the team, goes when they are erased."""

from pathlib import Path

import pytest
from django.core.management import call_command

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.erasing import erase
from habitats.common import kept_prints
from habitats.common.kept_prints import (
    forget_adopters,
    kept_pdf_from,
    kept_pdf_of,
)
from habitats.people.models.erasing import erase as erase_person
from tests.common.conftest import Facts, page_of


def adopters_in(data: Path) -> list[Path]:
    """All that is kept there of papers that name adopters."""
    return [path for path in (data / "prints/adopters").rglob("*") if path.is_file()]


def test_what_names_adopters_goes_when_one_is_erased(
    printer, kept, data, coordinator, django_capture_on_commit_callbacks
):
    kept_pdf_from(page_of("For Ada Fern."), names_adopter=True)
    kept_pdf_from(page_of())
    assert adopters_in(data)
    adopter = Adopter.objects.write_down(by=coordinator, name="Ada Fern")

    with django_capture_on_commit_callbacks(execute=True):
        erase(adopter, by=coordinator)

    assert not adopters_in(data)
    assert len([path for path in kept() if path.is_file()]) == 1


@pytest.mark.django_db
@pytest.mark.parametrize("asked", ["a paper", "the health check"])
def test_what_another_server_kept_is_forgotten_when_it_is_next_asked(
    printer, data, coordinator, settings, client, django_capture_on_commit_callbacks, asked
):
    kept_pdf_from(page_of("For Ada Fern."), names_adopter=True)
    adopter = Adopter.objects.write_down(by=coordinator, name="Ada Fern")
    settings.DATA_DIR = data.with_name("the other")
    with django_capture_on_commit_callbacks(execute=True):
        erase(adopter, by=coordinator)
    settings.DATA_DIR = data
    assert adopters_in(data)

    if asked == "a paper":
        kept_pdf_from(page_of("For Ben Moss."), names_adopter=True)
    else:
        client.get("/server/health/")

    assert [b"Ada Fern" in path.read_bytes() for path in adopters_in(data)] == [False] * (
        asked == "a paper"
    )


@pytest.mark.django_db
def test_every_paper_goes_when_one_of_the_team_is_erased(
    printer, kept, data, coordinator, foster, django_capture_on_commit_callbacks
):
    """Pull lists, receipts and agreements name who of us was there."""
    kept_pdf_from(page_of("Picked by Fay Odell."))
    kept_pdf_from(page_of("Fay Odell hands over to Ada Fern."), names_adopter=True)

    with django_capture_on_commit_callbacks(execute=True):
        erase_person(foster, by=coordinator)

    assert not [path for path in kept() if path.is_file()]
    assert not adopters_in(data)


@pytest.mark.django_db
def test_what_another_server_kept_of_the_team_goes_with_its_next_health_check(
    printer, kept, data, coordinator, foster, settings, client, django_capture_on_commit_callbacks
):
    client.get("/server/health/")
    kept_pdf_from(page_of("Picked by Fay Odell."))
    settings.DATA_DIR = data.with_name("the other")
    with django_capture_on_commit_callbacks(execute=True):
        erase_person(foster, by=coordinator)
    settings.DATA_DIR = data
    assert [path for path in kept() if path.is_file()]

    client.get("/server/health/")

    assert not [path for path in kept() if path.is_file()]


@pytest.mark.django_db
def test_what_is_being_made_when_an_adopter_is_erased_is_not_kept(printer, data):
    def page():
        forget_adopters()
        return page_of("For Ada Fern.")

    assert b"Ada Fern" in kept_pdf_of(Facts(), page, names_adopter=True)
    assert not adopters_in(data)


@pytest.mark.django_db
def test_what_names_adopters_is_kept_for_a_day(printer, data):
    kept_pdf_from(page_of("For Ada Fern."), names_adopter=True)

    call_command("tidy")

    assert not adopters_in(data)


def test_a_folder_that_another_process_deleted_first_is_no_fault(tmp_path, monkeypatch):
    monkeypatch.setattr(kept_prints, "_folders", lambda: [tmp_path / "gone", tmp_path / "too"])

    assert forget_adopters() == 0
