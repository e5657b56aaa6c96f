"""A new enclosure, without a browser: set up from a design, in a home or in store."""

import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from habitats.designs.models.designs import Design
from habitats.enclosures.models.enclosures import Enclosure, EnclosureState
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from


@pytest.fixture
def sent(make_drawn, today):
    """What the form of a new enclosure sends."""
    return {
        "design": make_drawn().code,
        "label": "North wall",
        "home": "",
        "state": "standing",
        "day": today.isoformat(),
    }


def test_an_enclosure_is_set_up_in_a_home(coordinating, sent, make_home, today):
    home = make_home()

    coordinating.post("/enclosures/new/", sent | {"home": home.code, "notes": "Mind the cat."})

    made = Enclosure.objects.get()
    assert (made.label, made.notes, made.state_now()) == (
        "North wall",
        "Mind the cat.",
        EnclosureState.STANDING,
    )
    assert made.standings.on(today).get().home == home
    assert {one.kind for one in made.components.all()} >= {"panel", "connector", "tray"}


@pytest.mark.parametrize("home", ["😀", "two words", "a/b", "²"])
def test_a_home_that_can_be_no_code_is_refused_and_not_a_fault_of_ours(coordinating, sent, home):
    assert coordinating.get("/enclosures/new/", {"home": home}).status_code == 200
    assert coordinating.post("/enclosures/new/", sent | {"home": home}).status_code == 422


def test_an_enclosure_sent_twice_is_set_up_once(coordinating, sent, make_home):
    twice = sent | {"home": make_home().code, "once": str(uuid.uuid4())}

    for _ in range(2):
        assert coordinating.post("/enclosures/new/", twice).status_code == 302

    assert Enclosure.objects.get().standings.count() == 1


def test_a_draft_is_refused_beside_the_design(coordinating, sent, make_drawn, text_of):
    # A ramp that has no floor to run over.
    draft = make_drawn(plan=["###"], upper=["#.."], ramps=(ramp_from(0, 0, Side.W),), name="Half")
    assert draft.faults()

    response = coordinating.post("/enclosures/new/", sent | {"design": draft.code})

    assert response.status_code == 422
    assert "“Half” is a draft. Finish it on its drawing board first." in text_of(response)
    assert not Enclosure.objects.exists()


def test_a_draft_is_not_offered_and_the_page_leads_to_its_drawing(coordinating, sent, make_drawn):
    draft = make_drawn(plan=["##..#"], name="Half")

    page = coordinating.get("/enclosures/new/").content.decode()

    assert f'value="{draft.code}"' not in page
    assert f'value="{sent["design"]}"' in page
    assert f'href="{reverse("builds:board", args=[draft.code])}">Half</a>' in page


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"design": ""}, "This field is required"),
        ({"design": "NOSUCH"}, "Select a valid choice"),
        ({"label": ""}, "This field is required"),
        ({"home": "NOSUCH"}, "No home is called “NOSUCH”. Type its name, its code"),
        ({"home": "x" * 201}, "Enter 200 characters at most"),
        ({"home": "\0"}, "Null characters are not allowed"),
        ({"state": "retired"}, "Select a valid choice"),
        ({"day": "2027-04-01"}, "1 April 2027 is in the future."),
        ({"day": "30.2.2027"}, "Enter a valid date"),
    ],
)
def test_a_wrong_enclosure_is_refused_beside_its_field_and_nothing_is_lost(
    coordinating, sent, text_of, wrong, sentence
):
    response = coordinating.post("/enclosures/new/", sent | {"notes": "Mind the cat."} | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert "Mind the cat." in text_of(response)
    assert not Enclosure.objects.exists()


def test_without_a_design_a_new_enclosure_says_what_to_do_first(coordinating, sent, text_of):
    told = "there is none yet that can be made"

    assert told not in text_of(coordinating.get("/enclosures/new/"))
    Design.objects.get().archive(at=timezone.now())
    assert told in text_of(coordinating.get("/enclosures/new/"))


def test_an_empty_enclosure_leads_to_the_groups_once_it_stands(
    coordinating, make_enclosure, text_of
):
    told = "Move group in"
    standing, planned = make_enclosure("Bay 1"), make_enclosure("Bay 2", state="planned")

    assert told in text_of(coordinating.get(f"/enclosures/{standing.code}/"))
    assert told not in text_of(coordinating.get(f"/enclosures/{planned.code}/"))


def test_a_closed_home_takes_no_enclosure(coordinating, sent, make_home, text_of, day):
    home = make_home()
    home.close(day(-1))

    response = coordinating.post("/enclosures/new/", sent | {"home": home.code})

    assert response.status_code == 422
    assert "Wren is closed. Choose a home that is open." in text_of(response)


@pytest.mark.parametrize(
    "typed", ["wren", "Wren, Hill", "Hill", "H-03", "{code}", "Wren, Hill ({code})", "  wren "]
)
def test_a_home_is_found_by_what_people_call_it(coordinating, sent, make_home, typed):
    home = make_home("Wren", area="Hill", own_id="H-03")
    make_home("Wrenfield", area="Dale")

    coordinating.post("/enclosures/new/", sent | {"home": typed.format(code=home.code)})

    assert Enclosure.objects.get().standings.get().home == home


def test_a_name_of_several_homes_is_asked_about_and_names_them(
    coordinating, sent, make_home, text_of
):
    first, second = make_home("Wren", area="Hill"), make_home("Wren", area="Dale")

    response = coordinating.post("/enclosures/new/", sent | {"home": "Wren"})

    assert response.status_code == 422
    assert (
        f"“Wren” could be several homes: Wren, Dale ({second.code}); Wren, Hill ({first.code}). "
        "Type the code of one."
    ) in text_of(response)


def test_open_homes_are_offered_and_the_one_asked_for_is_written_in(
    coordinating, make_home, text_of, day
):
    wren, ash = make_home("Wren", area="Hill"), make_home("Ash")
    ash.close(day(-1))

    page = text_of(coordinating.get(f"/enclosures/new/?home={wren.code}"))

    assert page.count(f'value="Wren, Hill ({wren.code})"') == 2
    assert 'list="home_offers"' in page
    assert "Ash" not in page


# The usual design is 2 × 4 panels of 355 mm: 710 × 1 420 mm.
@pytest.mark.parametrize(
    ("home", "sentence"),
    [
        (
            {"largest_width_mm": 1400, "largest_depth_mm": 800},
            "the largest that fits into Wren is 1 400 mm × 800 mm.",
        ),
        ({"most_enclosures": 0}, "Wren has 0 enclosures already, and can look after 0."),
    ],
)
def test_what_speaks_against_a_home_is_asked_about_once_more(
    coordinating, sent, make_home, text_of, home, sentence
):
    there = sent | {"home": make_home(**home).code}

    response = coordinating.post("/enclosures/new/", there)
    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Enclosure.objects.exists()

    coordinating.post("/enclosures/new/", there | {"anyway": "on"})
    assert Enclosure.objects.count() == 1


@pytest.mark.parametrize("sides", [(710, 1420), (1420, 710), (None, None)])
def test_a_footprint_fits_either_way_round_or_where_nobody_has_measured(
    coordinating, sent, make_home, sides
):
    home = make_home(largest_width_mm=sides[0], largest_depth_mm=sides[1])

    response = coordinating.post("/enclosures/new/", sent | {"home": home.code})

    assert response.status_code == 302


def test_a_second_label_of_one_home_is_asked_about(
    coordinating, sent, make_home, make_enclosure, text_of
):
    home = make_home(most_enclosures=2)
    make_enclosure("North wall", home)

    response = coordinating.post("/enclosures/new/", sent | {"home": home.code})

    assert "Another enclosure of Wren is called “North wall” too." in text_of(response)
