"""One field finds what a person may see, by name, code, own number or label."""

import pytest
from django.urls import reverse

from habitats.linens.models.spots import LinenSize
from tests.support.builds import make_build
from tests.support.store import make_item

pytestmark = pytest.mark.django_db


def search(client, words):
    return client.get(reverse("builds:search"), {"q": words})


def names_in(response):
    return [hit.name for kind in response.context["kinds"] for hit in kind.hits]


@pytest.fixture
def clover(client_of, coordinator, make_animal, make_home, make_enclosure):
    """The word “clover” in one of many kinds of thing; a coordinator's client."""
    make_animal("Clover", own_id="A-17")
    home = make_home("Clover Lane")
    make_enclosure(label="Clover", home=home)
    make_build("Clover")
    make_item(name="Clover clips")
    return client_of(coordinator)


def test_hits_are_told_by_kind(clover):
    kinds = [str(kind.title) for kind in search(clover, "clover").context["kinds"]]

    assert {"Animals", "Homes", "Enclosures", "Builds and kits", "Store items"} <= set(kinds)


def test_the_only_thing_of_that_number_opens_at_once(clover):
    response = search(clover, "A-17")

    assert response.status_code == 302
    assert "/animals/" in response["Location"]


def test_a_linen_is_found_by_its_label_typed_in_small_letters(
    client_of, cast, make_home, make_pool, make_linen
):
    size = LinenSize.of("liner", 700, 1400)
    linen = make_linen(make_pool(home=make_home()), size)

    response = search(client_of(cast["laundry"]), linen.label.lower())

    assert response["Location"] == reverse("linen_link", args=[linen.label])


def test_a_scanned_address_of_ours_opens_whatever_host_it_was_printed_with(clover):
    response = search(clover, "https://old.example/animals/ABCDE/")

    assert response["Location"] == "/animals/ABCDE/"


def test_an_address_of_others_is_no_way_out(clover):
    response = search(clover, "https://old.example//elsewhere.example/x")

    assert response.status_code == 200
    assert names_in(response) == []


def test_a_foster_finds_no_animal_of_another_home(clover, client_of, cast):
    response = search(client_of(cast["foster"]), "clover")

    assert names_in(response) == []
    assert "Nothing found." in response.content.decode()


def test_a_builder_finds_no_animal_and_no_adopter(clover, client_of, cast):
    make_build("Nook", adopter="Clover Reed", home=None)

    kinds = [
        str(kind.title) for kind in search(client_of(cast["builder"]), "clover").context["kinds"]
    ]

    assert "Animals" not in kinds
    assert "Nook" not in names_in(search(client_of(cast["builder"]), "clover"))
    assert "Nook" in names_in(search(clover, "clover reed"))


def test_of_many_only_some_are_shown_and_the_rest_counted(client_of, coordinator, make_animal):
    for number in range(13):
        make_animal(f"Clover {number}")

    page = search(client_of(coordinator), "clover").content.decode()

    assert "3 more are not shown" in page


def test_a_search_asks_as_much_for_twelve_as_for_three(
    client_of, coordinator, make_animal, django_assert_num_queries, django_assert_max_num_queries
):
    client = client_of(coordinator)
    for number in range(3):
        make_animal(f"Clover {number}")
    with django_assert_max_num_queries(40) as few:
        search(client, "clover")
    for number in range(9):
        make_animal(f"Clover {number + 3}")

    # One more counts what is not shown.
    with django_assert_num_queries(len(few) + 1):
        search(client, "clover")
