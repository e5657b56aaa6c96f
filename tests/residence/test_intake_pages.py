"""Rows and photos of the form of an intake, what comes after it, and its cards."""

import pytest
from PIL import Image

from habitats.animals.models.animals import Animal
from habitats.animals.models.waiting_photos import FOLDER
from tests.support.intakes import SENT, photo, rows


def test_more_rows_come_without_script_and_nothing_is_lost(coordinating, text_of):
    sent = {**SENT, **rows({"name": "Pip", "sex": "F?"}, {}, {}), "more": "1", "a1-photo": photo()}
    del sent["is_apart"]

    page = coordinating.post("/intake/", sent)

    assert page.status_code == 200
    assert len(page.context["rows"]) == 6
    assert 'value="Pip"' in page.content.decode()
    assert page.context["rows"][0]["sex"].value() == "F?"
    assert "Its photo is kept." in text_of(page)
    assert not page.context["form"]["is_apart"].value()
    assert not Animal.objects.exists()


def test_more_rows_alone_come_with_script(coordinating):
    page = coordinating.get("/intake/?row=4", headers={"HX-Request": "true"})

    assert "a4-name" in page.content.decode()
    assert "a3-name" not in page.content.decode()
    assert "/intake/?row=7" in page.content.decode()


def test_a_photo_comes_with_the_animal(send):
    send({"name": "Pip", "photo": photo()})

    with Animal.objects.get().photo.open() as file, Image.open(file) as kept:
        assert kept.size == (64, 48)


def test_a_photo_of_a_refused_form_is_kept_for_who_sent_it(send, coordinator, other_files):
    refused = send({"name": "Pip", "grams": "heavy", "photo": photo()})
    name = refused.context["rows"][0].waits_as

    send({"name": "Pip", "grams": "800", "waiting": name})

    assert Animal.objects.get().photo
    assert f"{name}.jpg" not in other_files()


@pytest.fixture
def other_files():
    """Photos that wait."""
    from django.core.files.storage import default_storage

    def files():
        if not default_storage.exists(FOLDER):
            return []
        folders = default_storage.listdir(FOLDER)[0]
        return [file for one in folders for file in default_storage.listdir(f"{FOLDER}/{one}")[1]]

    return files


def test_the_page_asks_as_many_queries_for_twelve_rooms_as_for_three(
    bay, make_enclosure, coordinating, queries_for
):
    home = bay.standings.get().home
    home.most_enclosures = 99
    home.save()
    for number in range(2):
        make_enclosure(f"A{number}", home, plan=("##", "##"))
    few = queries_for(coordinating, "/intake/")
    for number in range(9):
        make_enclosure(f"B{number}", home, plan=("##", "##"))

    assert queries_for(coordinating, "/intake/") == few


def test_places_are_proposed_with_company_for_who_is_in_no_group(make_animal, coordinating):
    page = coordinating.get("/intake/taken-in/", {"animal": make_animal("Pip").code})

    assert "/placing/?together=yes" in page.text


def test_what_comes_after_asks_as_many_queries_for_twelve_as_for_three(
    make_animal, coordinating, queries_for
):
    codes = [make_animal(f"A{number}", grams=800).code for number in range(12)]
    few = queries_for(
        coordinating, "/intake/taken-in/?" + "&".join(f"animal={c}" for c in codes[:3])
    )

    many = queries_for(coordinating, "/intake/taken-in/?" + "&".join(f"animal={c}" for c in codes))

    assert many == few


def test_a_carrier_card_is_a_page_for_each_animal(send, coordinating, words_of):
    answer = send(
        {
            "name": "Pip",
            "sex": "F?",
            "grams": "812",
            "colour": "agouti",
            "chip": "276098100021417",
            "condition": "crusty eyes",
        },
        {"name": "Moss", "sex": "F"},
    )
    chosen = answer.url.partition("?")[2]

    second, first = words_of(coordinating.get(f"/intake/carrier-cards.pdf?{chosen}").content)

    for told in (
        "Pip",
        "probably female, not sure",
        "agouti",
        "812 g on 10 Mar 2027",
        "Chip 276 0981 0002 1417",
        "crusty eyes",
        "In quarantine until 24 March 2027",
    ):
        assert told in first.replace("\xa0", " ")
    assert "Moss" in second


def test_the_cards_of_their_enclosures_come_together(send, bay, coordinating, words_of):
    answer = send({"name": "Pip", "sex": "F"}, {"name": "Moss", "sex": "F"}, place=bay.code)
    chosen = answer.url.partition("?")[2]

    (card,) = words_of(coordinating.get(f"/intake/enclosure-cards.pdf?{chosen}").content)

    assert "Bay 1" in card
    assert "In quarantine until 24 March 2027" in card


def test_carrier_cards_ask_as_many_queries_for_twelve_as_for_three(
    make_animal, coordinating, queries_for
):
    codes = [f"animal={make_animal(f'A{number}', grams=800).code}" for number in range(12)]
    few = queries_for(coordinating, f"/intake/carrier-cards.pdf?{'&'.join(codes[:3])}")

    assert queries_for(coordinating, f"/intake/carrier-cards.pdf?{'&'.join(codes)}") == few


def test_a_mixed_intake_is_offered_as_a_group_of_each_sex(send, coordinating, text_of):
    sows = [{"name": f"Nova{number}", "sex": "F"} for number in (10, 2)]
    boars = [{"name": name, "sex": "M"} for name in ("Ben", "Bob")]
    answer = send(*sows, *boars, together="on", separated_on=SENT["since"])
    page = coordinating.get(answer.url)
    females, males = page.context["groups_to_make"]
    assert (females.words, females.names) == ("Make group of 2 females", "Nova2 and Nova10")
    assert (males.words, males.names) == ("Make group of 2 males", "Ben and Bob")
    assert not page.context["may_be_proposed"]


def test_a_new_group_begins_with_those_who_came_together(send, coordinating):
    send({"name": "Ida", "sex": "F"}, {"name": "Una", "sex": "F"}, together="on")
    chosen = coordinating.get("/groups/new/").context["chosen"]
    assert [row.animal.name for row in chosen] == ["Ida", "Una"]
    # Both taken out again, nobody is chosen
    assert coordinating.get("/groups/new/?words=").context["chosen"] == []


def test_after_one_group_of_an_intake_the_page_leads_to_the_rest(send, coordinating, text_of):
    animals = [
        {"name": name, "sex": sex} for name, sex in (("Ida", "F"), ("Una", "F"), ("Ben", "M"))
    ]
    send(*animals, came_from="a flat")
    ida, una = (Animal.objects.get(name=name) for name in ("Ida", "Una"))
    coordinating.post("/groups/lived-together/", {"animal": [ida.code, una.code]})
    sent = {"animal": [ida.code, una.code], "since": SENT["since"], "reason": "Together before"}
    page = text_of(coordinating.post("/groups/new/", sent, follow=True))
    assert "Came with them, and still in no group: Ben." in page
