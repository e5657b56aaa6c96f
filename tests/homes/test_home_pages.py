"""Pages of homes, without a browser: written down, how they are reached, who looks after them."""

import uuid

import pytest
from django.db import IntegrityError, transaction

from habitats.homes.models.homes import Home, HomeContact
from habitats.structure.design import Species
from habitats.welfare.other_pets import OtherPet

SENT = {"name": "Wren", "area": "North Quay", "kind": "foster", "most_enclosures": "2"}


def test_a_home_is_written_down_in_the_readers_units(coordinating, coordinator):
    coordinator.units = "inches"
    coordinator.save()
    sizes = {"largest_width_mm": "6 ft", "largest_depth_mm": "32"}

    coordinating.post("/homes/new/", SENT | sizes)

    home = Home.objects.get()
    assert (str(home), home.made_by) == ("Wren, North Quay", coordinator)
    assert (home.largest_width_mm, home.largest_depth_mm) == (1829, 813)


def test_a_home_sent_twice_is_written_down_once(coordinating):
    idempotency_key = {"once": str(uuid.uuid4())}

    for _ in range(2):
        coordinating.post("/homes/new/", SENT | idempotency_key)

    assert Home.objects.count() == 1


FOLDED, OPEN = "<details>", "<details open>"


def main_of(answer):
    return answer.content.decode().split("<main", 1)[1]


def test_what_is_seldom_known_of_a_new_home_is_folded_until_it_was_filled_in(coordinating):
    def refused(**more):
        answer = coordinating.post(
            "/homes/new/", SENT | {"name": "", "isolation_places": "0"} | more
        )
        return main_of(answer)

    assert FOLDED in main_of(coordinating.get("/homes/new/"))
    assert FOLDED in refused()
    assert OPEN in refused(notes="Ring twice.")
    assert OPEN in refused(largest_depth_mm="900")


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "This field is required"),
        ({"kind": "castle"}, "Select a valid choice"),
        ({"most_enclosures": "201"}, "Enter 200 or less"),
        ({"most_enclosures": "-1"}, "Enter 0 or more"),
        ({"largest_width_mm": "wide"}, "is not a length"),
        (
            {"largest_width_mm": "200", "largest_depth_mm": "900"},
            "200 mm is not allowed. Enter 300 mm to 20 000 mm.",
        ),
        ({"largest_depth_mm": "900"}, "Enter both sides of the largest footprint"),
    ],
)
def test_a_wrong_home_is_refused_beside_its_field_and_nothing_is_lost(
    coordinating, text_of, wrong, sentence
):
    response = coordinating.post("/homes/new/", SENT | {"notes": "Ring twice."} | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert "Ring twice." in text_of(response)
    assert not Home.objects.exists()


def test_a_changed_home_keeps_what_was_not_touched(coordinating, make_home):
    home = make_home(largest_width_mm=1829, largest_depth_mm=813, notes="Ring twice.")
    shown = {"largest_width_mm": "1 829 mm", "largest_depth_mm": "813 mm", "notes": home.notes}

    coordinating.post(f"/homes/{home.code}/edit/", SENT | shown)

    home.refresh_from_db()
    assert (home.area, home.largest_width_mm, home.notes) == ("North Quay", 1829, "Ring twice.")


# --- What it can take ---


def test_a_home_is_written_down_with_its_limits(coordinating):
    limits = {
        "most_animals": "6",
        "isolation_places": "2",
        "known_species": ["rabbit"],
        "pet_kinds": ["cat", "dog"],
        "other_pets": "both old",
    }

    coordinating.post("/homes/new/", SENT | limits)

    home = Home.objects.get()
    assert (home.most_animals, home.isolation_places) == (6, 2)
    assert home.species == (Species.RABBIT,)
    assert home.pets == (OtherPet.DOG, OtherPet.CAT)
    assert home.brief == "2 isolation places, dog and cat, both old"


def test_a_home_of_which_nothing_is_told_has_no_limits(coordinating):
    coordinating.post("/homes/new/", SENT)

    home = Home.objects.get()
    assert (home.most_animals, home.isolation_places) == (None, 0)
    assert (home.species, home.pets) == ((), ())


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"most_animals": "1001"}, "Enter 1000 or less"),
        ({"isolation_places": "51"}, "Enter 50 or less"),
        ({"isolation_places": "two"}, "Enter a whole number"),
        ({"known_species": ["hamster"]}, "hamster is not one of the available choices"),
        ({"pet_kinds": ["cat", "dragon"]}, "dragon is not one of the available choices"),
    ],
)
def test_a_wrong_limit_is_refused_beside_its_field(coordinating, text_of, wrong, sentence):
    response = coordinating.post("/homes/new/", SENT | wrong)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Home.objects.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {"most_animals": 1_001},
        {"isolation_places": 51},
        {"known_species": "hamster"},
        {"known_species": "rabbit,guinea_pig"},
        {"pet_kinds": "cat,dragon"},
    ],
)
def test_the_database_takes_no_limit_that_the_form_refuses(make_home, wrong):
    with pytest.raises(IntegrityError), transaction.atomic():
        make_home(**wrong)


@pytest.mark.parametrize(
    ("pets", "needs_lids"),
    [("", False), ("bird", False), ("cat", True), ("ferret,bird", True), ("other", True)],
)
def test_kinds_of_pets_decide_whether_lids_are_needed_and_a_note_does_not(
    make_home, pets, needs_lids
):
    assert make_home(pet_kinds=pets).needs_lids is needs_lids
    assert make_home(pet_kinds=pets, other_pets="a cat").needs_lids is needs_lids


def test_a_note_on_pets_without_kinds_is_told_on_the_page(coordinating, make_home, text_of):
    noted, ticked = make_home(other_pets="a cat"), make_home(other_pets="a cat", pet_kinds="cat")

    sentence = "no page checks whether enclosures here need a lid"
    assert sentence in text_of(coordinating.get(f"/homes/{noted.code}/"))
    assert sentence not in text_of(coordinating.get(f"/homes/{ticked.code}/"))


def test_ticks_are_shown_again_and_stay(coordinating, make_home):
    home = make_home(known_species="guinea_pig,rabbit", pet_kinds="cat")

    form = coordinating.get(f"/homes/{home.code}/edit/").context["form"]

    assert form["known_species"].value() == ["guinea_pig", "rabbit"]
    assert form["pet_kinds"].value() == ["cat"]


# --- Contact: kept apart ---


@pytest.fixture
def reached(make_home, foster):
    home = make_home("Wren", area="North Quay", people=[foster])
    HomeContact.objects.create(home=home, full_name="Wren Aldous", phone="0300 41", address="3 Row")
    return home


def test_the_contact_stands_on_no_other_page(coordinating, fostering, text_of, reached):
    for client in (coordinating, fostering):
        for address in ("/homes/", f"/homes/{reached.code}/"):
            page = text_of(client.get(address, follow=True))
            assert "3 Row" not in page
            assert "Aldous" not in page


def test_coordinators_call_a_home_from_its_page_with_one_tap(coordinating, reached):
    assert 'href="tel:030041"' in coordinating.get(f"/homes/{reached.code}/").content.decode()


def test_a_foster_and_the_list_of_homes_are_told_no_number(coordinating, fostering, reached):
    for answer in (fostering.get(f"/homes/{reached.code}/"), coordinating.get("/homes/")):
        assert "0300 41" not in answer.content.decode()


def test_a_home_s_own_people_read_how_it_is_reached(fostering, text_of, reached):
    page = text_of(fostering.get(f"/homes/{reached.code}/contact/"))

    assert "0300 41" in page
    assert '<form method="post" class="card">' not in page


def test_a_foster_changes_no_contact(fostering, reached):
    fostering.post(f"/homes/{reached.code}/contact/", {"phone": "1"})

    assert HomeContact.objects.get().phone == "0300 41"


def test_a_foster_with_one_home_is_led_to_it(fostering, make_home, foster):
    home = make_home(people=[foster])

    assert fostering.get("/homes/").url == f"/homes/{home.code}/"


def test_a_foster_with_two_homes_is_shown_both(fostering, make_home, foster):
    make_home("Wren", people=[foster])
    make_home("Ash", people=[foster])
    make_home("Elm")

    assert [one.name for one in fostering.get("/homes/").context["homes"]] == ["Ash", "Wren"]


def test_another_foster_finds_neither_home_nor_contact(client_of, make_person, reached, this_day):
    other = client_of(make_person("olga", role="foster"))

    for page in ("", "contact/", "cards.pdf"):
        assert other.get(f"/homes/{reached.code}/{page}").status_code == 404
    assert list(other.get("/homes/").context["homes"]) == []


def test_a_coordinator_writes_how_a_home_is_reached(coordinating, make_home):
    home = make_home()

    coordinating.post(f"/homes/{home.code}/contact/", {"phone": "0300 42", "address": "4 Row"})

    assert home.contact.phone == "0300 42"


def test_a_wrong_email_is_refused_beside_it(coordinating, make_home, text_of):
    response = coordinating.post(f"/homes/{make_home().code}/contact/", {"email": "wren"})

    assert response.status_code == 422
    assert "Enter a valid email address" in text_of(response)


# --- People ---


def test_who_looks_after_a_home_sees_it_from_then_on(
    coordinating, fostering, make_home, foster, coordinator
):
    home = make_home()
    assert fostering.get(f"/homes/{home.code}/").status_code == 404

    coordinating.post(f"/homes/{home.code}/people/", {"person": foster.pk})
    assert fostering.get(f"/homes/{home.code}/").status_code == 200

    coordinating.post(f"/homes/{home.code}/people/{foster.pk}/leave/")
    assert fostering.get(f"/homes/{home.code}/").status_code == 404


def test_only_a_foster_can_look_after_a_home(coordinating, make_home, builder, text_of):
    home = make_home()

    response = coordinating.post(f"/homes/{home.code}/people/", {"person": builder.pk})

    assert response.status_code == 422
    assert not home.people.exists()
