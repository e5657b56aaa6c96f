"""A paper is printed once, and read from its file after that: the right one, and whole."""

import os
import stat
import time
from pathlib import Path

import pytest
from django.core.management import call_command
from django.utils import translation

from habitats.common.kept_prints import (
    BYTES_A_MB,
    DAYS_KEPT,
    kept_pdf_from,
    kept_pdf_of,
)
from habitats.common.print_facts import told
from habitats.designs.models.designs import Design
from tests.common.conftest import Facts, page_of
from tests.support.designs import make_design

ROOT = Path(__file__).resolve().parent.parent.parent
# What is kept, each with what it holds: nobody outside the rescue, no link that opens by itself.
ADOPTERS = {
    "builds/kits/pages/kit_pdf.py": "the set of a kit, for the rescue and for the adopter",
    "habitats/adoptions/views/papers.py": "agreement and receipt of an adoption",
}
KEEP = {
    "builds/batches/views/sheets.py": "sheets of a design",
    "builds/common/kept_layouts.py": "where pieces lie on sheets: measures alone",
    "builds/leaflets/views.py": "help for a role",
    "builds/packet/pages.py": "a packet, unless a name was typed for its cover",
    "builds/pulls/views/pulls.py": "what to take from the store",
    "builds/store/paper.py": "labels of stock and pieces",
    "habitats/linens/views/labels.py": "labels of linens",
}


# --- The same, and another ---


def test_the_same_paper_is_printed_once(printer, kept):
    assert kept_pdf_from(page_of()) == kept_pdf_from(page_of())
    assert len(kept()) == 1


@pytest.mark.parametrize(
    "other", [{"words": "Cut two."}, {"picture": b"<svg>.</svg>"}, {"sheet": "css/packet.css"}]
)
def test_another_word_picture_or_style_sheet_is_another_paper(printer, kept, other):
    assert kept_pdf_from(page_of()) != kept_pdf_from(page_of(**other))
    assert len(kept()) == 2


@pytest.mark.parametrize("changed", ["css/one.css", "fonts/one.ttf"])
def test_a_style_sheet_or_its_font_that_changed_is_another_paper(
    printer, kept, settings, tmp_path, changed
):
    for name, content in (
        ("css/one.css", '@font-face { src: url("../fonts/one.ttf") }'),
        ("fonts/one.ttf", "letters"),
    ):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(content)
    settings.STATICFILES_DIRS = [tmp_path]
    before = kept_pdf_from(page_of(sheet="css/one.css"))

    with (tmp_path / changed).open("a") as file:
        file.write(" ")

    assert kept_pdf_from(page_of(sheet="css/one.css")) != before


def test_a_newer_printer_prints_again(printer, kept, monkeypatch):
    before = kept_pdf_from(page_of())

    monkeypatch.setattr("habitats.common.kept_prints._printers", lambda: "weasyprint 999")

    assert kept_pdf_from(page_of()) != before


@pytest.mark.parametrize("path", ["/etc/passwd", "../settings.py", "css/none.css"])
def test_a_file_that_is_not_ours_or_not_there_stops_no_paper(printer, kept, path):
    assert b"Cut the tray." in kept_pdf_from(page_of(sheet=path))


def test_a_real_paper_is_the_same_from_its_file(data, words_of):
    first, second = kept_pdf_from(page_of()), kept_pdf_from(page_of())

    assert first == second
    assert "Cut the tray." in " ".join(words_of(second))


# --- Its file ---


@pytest.mark.parametrize(
    "damage",
    [
        lambda whole: whole[:-1],
        lambda whole: whole[:20],
        lambda whole: b"",
        lambda whole: whole.replace(b"tray", b"tree"),
    ],
)
def test_a_damaged_file_is_printed_again(printer, kept, damage):
    before = kept_pdf_from(page_of())
    (file,) = kept()
    file.write_bytes(damage(file.read_bytes()))

    after = kept_pdf_from(page_of())

    assert after != before
    assert b"Cut the tray." in after
    assert kept_pdf_from(page_of()) == after


def test_the_file_of_another_paper_is_not_read(printer, kept):
    kept_pdf_from(page_of())
    (one,) = kept()
    kept_pdf_from(page_of("Cut two."))
    (other,) = set(kept()) - {one}
    one.replace(other)

    assert b"Cut two." in kept_pdf_from(page_of("Cut two."))


def test_only_its_owner_reads_what_is_kept(printer, kept, data):
    kept_pdf_from(page_of())

    modes = [stat.S_IMODE(path.stat().st_mode) for path in (data, data / "prints", *kept())]
    assert modes == [0o700, 0o700, 0o600]


def test_a_disk_that_cannot_be_written_prints_all_the_same(printer, kept, monkeypatch):
    def full(*args):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)

    assert b"Cut the tray." in kept_pdf_from(page_of())
    assert kept() == []


def test_two_at_once_have_the_same_words_and_leave_one_file(printer, kept, at_once):
    one, other = at_once(lambda: kept_pdf_from(page_of()), lambda: kept_pdf_from(page_of()))

    assert b"Cut the tray." in one
    assert b"Cut the tray." in other
    assert len(kept()) == 1


# --- How much, and for how long ---


def test_the_oldest_go_where_there_is_no_room(printer, kept):
    printer.size = 400_000
    oldest = kept_pdf_from(page_of("Step 1"))
    os.utime(kept()[0], (1, 1))
    newer = kept_pdf_from(page_of("Step 2"))
    kept_pdf_from(page_of("Step 3"))

    assert sum(path.stat().st_size for path in kept()) <= BYTES_A_MB
    assert kept_pdf_from(page_of("Step 2")) == newer
    assert kept_pdf_from(page_of("Step 1")) != oldest


def test_none_is_kept_where_no_room_is_given(printer, kept, settings):
    settings.PRINTS_MB = 0

    assert kept_pdf_from(page_of()) != kept_pdf_from(page_of())
    assert kept() == []


@pytest.mark.django_db
def test_what_was_printed_long_ago_goes_at_night(printer, kept, data, capsys):
    for words, days in (("old", DAYS_KEPT + 1), ("new", DAYS_KEPT - 1)):
        before = set(kept())
        kept_pdf_from(page_of(words))
        (file,) = set(kept()) - before
        moment = time.time() - days * 24 * 60 * 60
        os.utime(file, (moment, moment))

    call_command("tidy")

    assert "1 old prints" in capsys.readouterr().out
    assert kept() == [file]


# --- Which ---


def test_papers_that_are_kept_are_those_that_may_be():
    found = {
        str(path.relative_to(ROOT))
        for room in ("builds", "habitats")
        for path in (ROOT / room).rglob("*.py")
        if any(f"import {one}" in path.read_text() for one in ("kept_pdf_", "kept_bytes"))
    }

    assert found == KEEP.keys() | ADOPTERS.keys()


def test_papers_that_name_adopters_are_kept_as_such():
    told = {path: (ROOT / path).read_text() for path in [*KEEP, *ADOPTERS]}

    assert {path for path, text in told.items() if "names_adopter=True" in text} == ADOPTERS.keys()


# --- By what it is made of ---


def test_what_takes_long_to_make_is_made_once(printer, kept):
    made = []

    def page():
        made.append(1)
        return page_of()

    assert kept_pdf_of(Facts(), page) == kept_pdf_of(Facts(), page)
    assert len(made) == 1


@pytest.mark.parametrize(
    "other", [Facts("Cut two."), Facts(sections=frozenset({"steps"})), (Facts(), 30.0)]
)
def test_another_fact_is_another_paper(printer, other):
    assert kept_pdf_of(Facts(), page_of) != kept_pdf_of(other, page_of)


def test_another_language_and_another_program_are_another_paper(printer, monkeypatch):
    before = kept_pdf_of(Facts(), page_of)

    with translation.override("de"):
        german = kept_pdf_of(Facts(), page_of)
    monkeypatch.setattr("habitats.common.kept_prints.program", lambda: "another")
    newer = kept_pdf_of(Facts(), page_of)

    assert len({before, german, newer}) == 3


def test_facts_that_cannot_be_told_are_printed_all_the_same(printer, kept):
    assert kept_pdf_of(object(), page_of) == kept_pdf_of(object(), page_of)
    assert len(kept()) == 1


def test_a_packet_asks_the_database_nothing_that_is_not_among_its_facts(
    coordinating, coordinator, django_assert_num_queries, monkeypatch
):
    design = Design.objects.draw(make_design(["###"], name="Three"), by=coordinator)
    asked = []
    monkeypatch.setattr(
        "builds.packet.pages.kept_pdf_of", lambda facts, page: asked.append((facts, page)) or b"%"
    )
    coordinating.get(f"/designs/{design.code}/packet.pdf")
    ((facts, page),) = asked

    with django_assert_num_queries(0):
        page()
    assert told(facts) == told(facts)
