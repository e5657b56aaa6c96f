"""Pages that look at homes: the list, one with all that stands there, closing."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext


def test_an_empty_list_says_what_to_do_first(coordinating, text_of):
    assert "Add home" in text_of(coordinating.get("/homes/"))


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("words=quay", ["Wren"]),
        ("words=ash", ["Ash"]),
        ("kind=depot", ["Ash"]),
        ("isolation=on", ["Ash"]),
        ("shown=closed", ["Elm"]),
        ("words=nobody", []),
        ("kind=castle", ["Ash", "Wren"]),
        ("page=999", ["Ash", "Wren"]),
    ],
)
def test_homes_are_found_by_what_they_are(coordinating, make_home, day, asked, found):
    make_home("Wren", area="North Quay")
    make_home("Ash", kind="depot", isolation_places=1)
    make_home("Elm").close(day(-1))

    page = coordinating.get(f"/homes/?{asked}").context["homes"]

    assert [home.name for home in page] == found


def test_a_home_is_found_by_its_code(coordinating, make_home):
    home, _other = make_home("Wren"), make_home("Ash")

    page = coordinating.get("/homes/", {"words": home.code.lower()}).context["homes"]

    assert list(page) == [home]


def test_the_list_counts_enclosures_and_animals_of_today(
    coordinating, make_home, make_enclosure, make_animal, make_group, coordinator, day
):
    from habitats.animals.models.stays import leave

    home = make_home()
    make_group(make_animal("Pip"), make_animal("Moss"), enclosure=make_enclosure("A", home))
    gone = make_group(make_animal("Nut"), enclosure=make_enclosure("B", home))
    leave(gone, day(-1), by=coordinator)

    listed = coordinating.get("/homes/").context["homes"][0]

    assert (listed.enclosures, listed.animals) == (2, 2)


def test_a_long_list_comes_in_pages_of_thirty(coordinating, make_home):
    for number in range(31):
        make_home(f"Home {number:02}")

    first = coordinating.get("/homes/").context["homes"]
    last = coordinating.get("/homes/?page=2").context["homes"]

    assert (len(first), [home.name for home in last]) == (30, ["Home 30"])


def test_a_home_shows_its_enclosures_and_who_lives_there(
    coordinating, text_of, answer_to, make_home, make_enclosure, make_animal, make_group
):
    answer_to("ch-tschv")
    home = make_home()
    make_group(make_animal("Pip"), make_animal("Moss"), enclosure=make_enclosure("Nook", home))

    page = text_of(coordinating.get(f"/homes/{home.code}/"))

    assert "Moss and Pip" in page
    # TSchV, Annex 2, Table 1: 0.5 m² for two; 2 × 4 panels of 355 mm are 710 × 1 420 mm inside.
    assert "Enough; 0.50 m² free" in page
    assert ">N</text>" in page


def test_a_code_is_found_in_small_letters_and_a_wrong_one_is_not(coordinating, make_home):
    assert coordinating.get(f"/homes/{make_home().code.lower()}/").status_code == 200
    assert coordinating.get("/homes/NOSUCH/").status_code == 404


# --- Closing ---


def test_a_home_is_closed_and_opened_again(coordinating, make_home, today):
    home = make_home()

    coordinating.post(f"/homes/{home.code}/close/", {"day": today.isoformat()})
    home.refresh_from_db()
    assert home.closed_on == today

    coordinating.post(f"/homes/{home.code}/reopen/")
    home.refresh_from_db()
    assert home.closed_on is None


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ("2027-03-11", "11 March 2027 is in the future. Enter today or an earlier day."),
        ("1989-12-31", "Enter 1 January 1990 or a later day."),
        ("yesterday", "Enter a valid date"),
        ("", "This field is required"),
    ],
)
def test_a_wrong_day_of_closing_is_refused_beside_it(
    coordinating, make_home, text_of, given, sentence
):
    home = make_home()

    response = coordinating.post(f"/homes/{home.code}/close/", {"day": given})

    assert response.status_code == 422
    assert sentence in text_of(response)
    home.refresh_from_db()
    assert not home.is_closed


def test_a_home_in_which_something_stands_is_not_closed(
    coordinating, make_home, make_enclosure, text_of, today
):
    home = make_home()
    make_enclosure("Nook", home)

    response = coordinating.post(f"/homes/{home.code}/close/", {"day": today.isoformat()})

    assert response.status_code == 422
    assert "Nook still stands here. Move or retire it first." in text_of(response)


# --- Figures: as many queries for many rows as for few ---


@pytest.mark.parametrize("address", ["/homes/", "/homes/{home}/"])
def test_pages_of_homes_ask_as_often_for_twelve_rows_as_for_three(
    coordinating, answer_to, make_home, make_enclosure, make_animal, make_group, address
):
    answer_to("ch-tschv")
    home = make_home(most_enclosures=40)
    counts = []
    for number in (3, 12):
        while home.standings.count() < number:
            make_home(f"Home {home.standings.count()}")
            label = f"Nook {home.standings.count()}"
            make_group(make_animal(), make_animal("Moss"), enclosure=make_enclosure(label, home))
        coordinating.get(address.format(home=home.code))  # sheds what is worked out once a day
        with CaptureQueriesContext(connection) as queries:
            coordinating.get(address.format(home=home.code))
        counts.append(len(queries))

    assert counts[0] == counts[1]
