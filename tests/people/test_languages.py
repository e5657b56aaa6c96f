"""A page is in the language that its reader chose, else the browser's, else the rescue's."""

import pytest

from habitats.rescue.models.rescue import Rescue

GERMAN = {"Accept-Language": "de-AT,de;q=0.9,en;q=0.5"}
FINNISH = {"Accept-Language": "fi"}


def language_of(response):
    return response.headers["Content-Language"]


def test_a_page_is_in_the_language_that_its_reader_chose(coordinator, client_of):
    coordinator.language = "en-gb"
    coordinator.save()

    response = client_of(coordinator).get("/my-settings/", headers=GERMAN)

    assert language_of(response) == "en-gb"
    assert '<html lang="en-gb">' in response.content.decode()


def test_a_page_is_in_the_browsers_language_where_none_was_chosen(coordinator, client_of):
    response = client_of(coordinator).get("/my-settings/", headers=GERMAN)

    assert language_of(response) == "de"
    assert "Accept-Language" in response.headers["Vary"]


def test_a_page_is_in_the_rescues_language_where_the_browser_speaks_none_of_ours(
    coordinator, client_of
):
    Rescue.ours()
    Rescue.objects.update(language="de")

    assert language_of(client_of(coordinator).get("/my-settings/", headers=FINNISH)) == "de"


def test_a_language_that_the_product_no_longer_speaks_is_passed_over(coordinator, client_of):
    coordinator.language = "fi"
    coordinator.save()
    Rescue.ours()
    Rescue.objects.update(language="fi")

    response = client_of(coordinator).get("/my-settings/", headers=FINNISH)

    assert language_of(response) == "en-gb"


@pytest.mark.parametrize("accepted", ["*", "", ";;q=,", "x" * 300])
def test_a_browser_that_names_no_language_is_no_fault(accepted, client, db):
    response = client.get("/log-in/", headers={"Accept-Language": accepted})

    assert response.status_code == 200
    assert language_of(response) == "en-gb"


def test_somebody_chooses_a_language_under_their_settings(coordinator, client_of):
    client = client_of(coordinator)
    sent = {"first_name": "Cora", "last_name": "Lind", "units": "metric", "paper": "A4"}

    client.post("/my-settings/", sent | {"language": "de"})

    coordinator.refresh_from_db()
    assert coordinator.language == "de"
    assert language_of(client.get("/my-settings/")) == "de"


def test_scripts_get_their_words_by_an_address_that_changes_with_them(client, db):
    page = client.get("/log-in/").content.decode()
    address = page.split('<script src="/words/')[1].split('"')[0]

    response = client.get("/words/" + address)

    assert b"gettext" in response.content
    assert "immutable" in response.headers["Cache-Control"]
    assert client.get("/words/fi.js").status_code == 404


def test_a_packet_is_printed_in_the_language_that_is_asked_for(builder, client_of, unprinted):
    from tests.support.builds import make_build

    client, build = client_of(builder), make_build(state="building")
    address = f"/builds/{build.code}/packet.pdf"

    assert b'<html lang="de">' in client.get(address, {"language": "de"}).content
    assert b'<html lang="en-gb">' in client.get(address).content
    assert client.get(address, {"language": "fi"}).status_code == 422
