"""The health log of an animal on one page, however much there is."""

import re
from datetime import UTC, datetime, time

import pytest

pytestmark = pytest.mark.usefixtures("at_nine", "no_print_warnings")


@pytest.fixture
def printed(coordinating, words_of):
    """`printed(pip, "?for=adopter")`: the text of each page."""
    return lambda animal, query="": words_of(
        coordinating.get(f"/animals/{animal.code}/health/print.pdf{query}").content
    )


def test_the_page_for_a_vet_has_what_was_found_and_given(pip, treat, printed, coordinator, day):
    treat(pip, first_day=day(-1))
    pip.health_entries.create(
        kind="visit", on=day(-1), words="Front teeth filed.", vet="Dr Quail", made_by=coordinator
    )

    (page,) = printed(pip)

    assert "Amber drops" in page
    assert "0 given, 0 not given, 2 without an entry" in page
    assert "Front teeth filed." in page
    assert "A guinea pig or rabbit that does not eat is an emergency." in page
    assert "Lind" not in page  # nobody who recorded it is named


@pytest.mark.parametrize("query", ["", "?for=adopter"])
def test_all_that_the_vet_wrote_is_on_the_page(pip, treat, printed, query):
    treat(pip, note="Left eye first.\nWash your hands. Stop and call me if it swells.")

    (page,) = printed(pip, query)

    assert "More of what the vet wrote: Left eye first. Wash your hands." in page
    assert "Stop and call me if it swells." in page


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("note", ["every word of it " * 58, "a line\n" * 140])
def test_a_treatment_that_has_no_room_is_left_out_whole_and_told(
    pip, treat, printed, coordinator, note, paper
):
    coordinator.paper = paper
    coordinator.save()
    for number in range(3):
        treat(pip, drug=f"Drops {number} " + "x" * 100, note=note + "the end")

    pages = printed(pip)

    assert len(pages) == 1
    told = int(re.search(r"(\d) more treatments? (is|are) running: ask us", pages[0])[1])
    assert pages[0].count("the end") == 3 - told > 0


def test_the_page_for_an_adopter_has_no_box_for_what_was_given(
    pip, treat, printed, coordinator, day
):
    treatment = treat(pip, last_day=day(1), times=["09:00", "20:00"])
    assert "09:00 20:00" in printed(pip, "?for=adopter")[0]

    treatment.doses.create(
        due_day=day(0),
        due_time=time(9),
        outcome="given",
        at=datetime(2027, 3, 10, 9, tzinfo=UTC),
        made_by=coordinator,
    )

    assert "09:00 – 20:00" in printed(pip, "?for=adopter")[0]


def test_the_page_for_an_adopter_has_boxes_for_the_doses_to_come(pip, treat, printed):
    treat(pip)

    (page,) = printed(pip, "?for=adopter")

    assert "10 Mar 11 Mar" in page
    assert "16 Mar" in page  # the last day


@pytest.mark.parametrize("query", ["", "?for=adopter"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_much_has_room_on_one_page(pip, treat, printed, coordinator, day, query, paper):
    coordinator.paper = paper
    coordinator.save()
    for number in range(4):
        treat(
            pip,
            drug=f"Drops {number} " + "x" * 100,
            how="by mouth, " + "slowly " * 15,
            how_often="as the vet wrote " * 11,
            times=["06:00", "12:00", "18:00", "23:00"],
            last_day=None,
        )
    for number in range(30):
        pip.health_entries.create(
            kind="visit",
            on=day(-number),
            words="A long story of teeth.\n" * (number % 9 + 1),
            vet="Dr Quail",
            again_on=day(9),
            made_by=coordinator,
        )
    for number in range(9):
        pip.weigh(900 + number, day(-number), by=coordinator)

    pages = printed(pip, query)

    assert len(pages) == 1
    assert "earlier entries stand in our log" in pages[0]
    assert "1 more treatment is running: ask us for it." in pages[0]


def test_what_was_corrected_is_printed_as_it_stands(pip, printed, coordinator, day):
    first = pip.health_entries.create(
        kind="visit", on=day(-1), words="Left tooth.", made_by=coordinator
    )
    pip.health_entries.create(
        kind="visit",
        on=day(-1),
        words="Right tooth.",
        corrects=first,
        first=first,
        why="wrong side",
        made_by=coordinator,
    )

    (page,) = printed(pip)

    assert "Right tooth." in page
    assert "Left tooth." not in page
