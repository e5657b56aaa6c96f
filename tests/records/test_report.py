"""The inspection report: any day, from what was recorded; on the screen, as PDF and as CSV."""

import csv
import re
from datetime import date
from io import BytesIO, StringIO

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pypdf import PdfReader

from habitats.animals.models.groups import Override
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import leave, move_in
from habitats.csv_cells import BYTE_ORDER_MARK, cell, plain
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.measures import NO_BREAK

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def rules(answer_to):
    answer_to("ch-tschv")


@pytest.fixture
def pair(make_home, make_animal, make_enclosure, make_group, day):
    """Pip and Moss, since 100 days ago, in 2 × 4 panels of 355 mm."""
    animals = [make_animal(name, born=day(-600), grams=850) for name in ("Pip", "Moss")]
    enclosure = make_enclosure("North wall", make_home("Wren", area="Larkrise"))
    make_group(*animals, enclosure=enclosure)
    return enclosure


@pytest.fixture(autouse=True)
def on_our_day(monkeypatch, today):
    monkeypatch.setattr("django.utils.timezone.localdate", lambda *_: today)


def rows_of(response):
    text = b"".join(response.streaming_content).decode().removeprefix(BYTE_ORDER_MARK)
    return list(csv.DictReader(StringIO(text)))


def in_enclosures(response):
    return [row for row in rows_of(response) if row["enclosure"]]


def words_of(response):
    """The page with plain spaces, where a number and its unit are held together."""
    return response.content.decode().replace(NO_BREAK, " ")


def asked(client, name, **query):
    return client.get(reverse(name), query)


def test_the_report_names_the_animals_and_every_clause(client_of, coordinator, pair):
    page = words_of(asked(client_of(coordinator), "report"))

    assert "Pip" in page
    assert "Moss" in page
    assert "850 g on 9 March 2027" in page
    assert "met" in page


def test_an_earlier_day_shows_who_lived_there_then(
    client_of, coordinator, pair, make_animal, make_group, day
):
    leave(pair.stays.get().group, day(-10), by=coordinator)
    move_in(make_group(make_animal("Otter")), pair, day(-5), by=coordinator)
    client = client_of(coordinator)

    then = {row["animals"] for row in in_enclosures(asked(client, "report_csv", day=day(-11)))}
    between = {row["animals"] for row in in_enclosures(asked(client, "report_csv", day=day(-7)))}
    now = {row["animals"] for row in in_enclosures(asked(client, "report_csv"))}

    assert all("Pip" in names and "Moss" in names for names in then)
    assert between == {""}
    assert all("Otter" in names for names in now)


def test_a_weight_read_later_is_not_known_on_an_earlier_day(client_of, coordinator, pair, day):
    page = asked(client_of(coordinator), "report", day=day(-50)).content.decode()

    assert "never weighed" in page


def test_the_csv_has_a_row_a_clause_with_its_source(client_of, coordinator, pair):
    rows = rows_of(asked(client_of(coordinator), "report_csv"))

    # Two grown guinea pigs: 0.5 m² (Swiss TSchV, Annex 2 Table 1, quoted second-hand).
    assert {row["required_cm2"] for row in rows} == {"5000"}
    # 2 × 4 panels of 355 mm, no clearance: inside 710 × 1 420 mm.
    assert {row["ground_cm2"] for row in rows} == {"10082"}
    assert len({row["clause"] for row in rows}) == len(rows) > 1
    assert all("455.1" in row["source"] for row in rows)


def test_the_state_is_that_of_the_day(client_of, coordinator, make_enclosure, make_home, day):
    enclosure = make_enclosure("Lean-to", make_home(), state=EnclosureState.BUILDING)
    enclosure.set_state(EnclosureState.STANDING, on=day(-3), by=coordinator)
    client = client_of(coordinator)

    assert rows_of(asked(client, "report_csv", day=day(-4)))[0]["state"] == "Building"
    assert rows_of(asked(client, "report_csv"))[0]["state"] == "Standing"


def test_the_pdf_says_its_day_on_every_page(client_of, coordinator, pair, make_enclosure):
    home = pair.standings.get().home
    for number in range(40):
        make_enclosure(f"Row {number}", home)

    pages = PdfReader(BytesIO(asked(client_of(coordinator), "report_pdf").content)).pages

    assert len(pages) > 1
    assert all("10 March 2027" in page.extract_text() for page in pages)
    assert "Pip" in "".join(page.extract_text() for page in pages)


def test_the_field_names_the_day_that_is_told_of(client_of, coordinator, today, this_day):
    page = client_of(coordinator).get("/report/")

    assert page.context["form"]["day"].value() == today.isoformat()


def test_a_report_can_be_of_one_area(client_of, coordinator, pair, make_enclosure, make_home):
    make_enclosure("Far away", make_home("Ash", area="Fenny End"))

    rows = rows_of(asked(client_of(coordinator), "report_csv", area="Larkrise"))

    assert {row["enclosure"] for row in rows} == {"North wall"}


@pytest.mark.parametrize("name", ["report", "report_pdf", "report_csv"])
@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ({"day": "2031-01-01"}, "1 January 2031 is in the future"),
        ({"day": "yesterday"}, "Enter a valid date"),
        ({"area": "Nowhere"}, "Nowhere is not one of the available choices"),
    ],
)
def test_what_cannot_be_reported_is_refused_in_a_sentence(
    name, query, sentence, client_of, coordinator, pair
):
    response = asked(client_of(coordinator), name, **query)

    assert response.status_code == 422
    assert sentence in response.content.decode()


def test_too_many_enclosures_for_paper_are_refused_in_a_sentence(
    client_of, coordinator, pair, monkeypatch
):
    monkeypatch.setattr("habitats.records.views.report.MOST_ON_PAPER", 0)

    response = asked(client_of(coordinator), "report_pdf")

    assert response.status_code == 422
    assert "Choose an area or a home, or download the CSV." in response.content.decode()


def test_queries_do_not_grow_with_rows(
    client_of, coordinator, make_home, make_animal, make_enclosure, make_group, monkeypatch
):
    monkeypatch.setattr("habitats.records.views.report.ON_A_PAGE", 30)
    client, home = client_of(coordinator), make_home()

    def fill(count):
        for number in range(count):
            make_group(make_animal(grams=800), enclosure=make_enclosure(f"E{number}", home))

    def queries(name):
        with CaptureQueriesContext(connection) as caught:
            response = asked(client, name)
            if response.streaming:
                list(response.streaming_content)
        return len(caught)

    fill(3)
    few = [queries(name) for name in ("report", "report_csv")]
    fill(27)
    assert [queries(name) for name in ("report", "report_csv")] == few


@pytest.mark.parametrize("formula", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
def test_a_cell_never_is_a_formula_and_comes_back_as_it_was(formula):
    assert cell(formula).startswith("'")
    assert plain(cell(formula)) == formula


def test_a_day_of_which_nothing_is_recorded_says_what_to_do(client_of, coordinator):
    page = asked(client_of(coordinator), "report", day=date(1999, 1, 1)).content.decode()

    assert "No enclosure was recorded for this choice on that day" in page


# --- Who was apart, what stood against it, who signed ---


def paper(client, **query):
    pages = PdfReader(BytesIO(asked(client, "report_pdf", **query).content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())


def test_animals_in_no_enclosure_are_told_with_the_others(
    client_of, coordinator, pair, make_animal, make_group, day
):
    make_animal("Otter", grams=700)
    make_group(make_animal("Wim"), since=day(-9))
    make_animal("Gone", left_on=day(-1), left_why="adopted")
    make_animal("Later", came_on=day(1))
    client = client_of(coordinator)

    nowhere = [row["animals"] for row in rows_of(asked(client, "report_csv")) if not row["home"]]
    told = paper(client)

    assert [one.split(" (")[0] for one in nowhere] == ["Otter", "Wim"]
    assert "Animals in no enclosure" in told
    assert "Gone" not in told
    assert "Otter" not in paper(client, area="Larkrise")


def test_on_the_screen_they_end_the_report_and_the_first_page_leads_there(
    client_of, coordinator, pair, make_home, make_enclosure, make_animal, monkeypatch
):
    monkeypatch.setattr("habitats.records.views.report.ON_A_PAGE", 1)
    make_enclosure("Second", make_home())
    make_animal("Otter", grams=700)
    client = client_of(coordinator)

    first, last = (asked(client, "report", page=page).content.decode() for page in (1, 2))

    assert 'href="?page=2#unhoused"' in first
    assert "Otter" not in first
    assert 'id="unhoused"' in last
    assert "Otter" in last


def test_who_was_in_quarantine_that_day_is_told_and_not_a_day_later(
    client_of, coordinator, pair, make_animal, day
):
    otter = make_animal("Otter")
    kept = {"animal": otter, "why": "illness", "made_by": coordinator}
    Quarantine.objects.create(since=day(-9), until=day(-4), **kept)
    client = client_of(coordinator)

    def apart(on):
        rows = rows_of(asked(client, "report_csv", day=on))
        return [row["quarantine"] for row in rows if row["quarantine"]]

    assert [bool(apart(day(number))) for number in (-10, -9, -5, -4)] == [False, True, True, False]
    assert "in quarantine since 1 March 2027: Illness" in paper(client, day=day(-5))


def test_reasons_against_and_who_overrode_them_are_told(
    client_of, coordinator, lives, this_day, day
):
    group, (pip,), _nook = lives("Pip", sex="")
    client = client_of(coordinator)

    before = paper(client)
    Override.objects.create(
        group=group,
        key=f"never_alone {pip.code} -",
        sentence="alone",
        reason="waits for a companion",
        is_block=True,
        confirmed=True,
        made_by=coordinator,
    )
    after = paper(client)

    # TSchV (SR 455.1), Annex 2 Table 1: guinea pigs never singly.
    assert "Not allowed: Pip is alone, and your space standard forbids" in before
    assert "Overridden" not in before.replace("not overridden", "")
    assert "Overridden: waits for a companion (Cora" in after


def test_a_reason_shared_by_several_pairs_is_said_once_and_counted_for_each(
    client_of, coordinator, make_animal, make_group, make_enclosure
):
    """Oak can sire with each of three, and a birth with him there is a reason of its own."""
    boar = make_animal("Oak", sex="M")
    make_group(boar, *map(make_animal, ("Pip", "Moss", "Fern")), enclosure=make_enclosure())

    told = paper(client_of(coordinator))

    assert told.count("they may not live together") == 1
    assert "This also applies to" in told
    assert re.search(r"not overridden\W+6\b", told)


def test_the_paper_says_who_checked_who_printed_and_where_to_sign(client_of, coordinator, pair):
    told = paper(client_of(coordinator))

    assert "Safety check: 9 March 2027, Cora" in told
    assert "Printed by Cora" in told
    assert "For the inspection" in told
