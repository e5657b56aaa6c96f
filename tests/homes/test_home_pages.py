"""Pages of homes, without a browser: written down, how they are reached, who looks after them."""

import uuid

import pytest

from habitats.homes.models.homes import Home, HomeContact

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


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"name": ""}, "This field is required"),
        ({"kind": "castle"}, "Select a valid choice"),
        ({"most_enclosures": "201"}, "less than or equal to 200"),
        ({"most_enclosures": "-1"}, "greater than or equal to 0"),
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
            assert "0300 41" not in page
            assert "Aldous" not in page


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
