"""Enclosure cards: A6, read back from the PDF, their codes by another reader."""

from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp

from habitats.residence.paper import LONGEST_NOTE, FrontCard

A6_MM = (105, 148)  # ISO 216
POINTS_A_MM = 72 / 25.4


@pytest.fixture
def nook(make_home, make_enclosure, make_animal, make_group, foster, day):
    home = make_home("Wren", area="North Quay", people=[foster])
    enclosure = make_enclosure("By the stove", home)
    enclosure.notes = "Moss hides under the ramp."
    enclosure.save()
    animals = [
        make_animal("Pip", born=day(-500)),
        make_animal("Moss", sex="M", is_castrated=True, born=day(-400), born_margin_days=30),
    ]
    make_group(*animals, enclosure=enclosure)
    return enclosure


def test_a_card_is_one_page_of_a6(fostering, nook):
    pdf = pypdf.PdfReader(BytesIO(fostering.get(f"/enclosures/{nook.code}/card.pdf").content))

    assert len(pdf.pages) == 1
    sides = [round(float(one) / POINTS_A_MM) for one in pdf.pages[0].mediabox[2:]]
    assert tuple(sides) == A6_MM


def test_a_card_tells_who_lives_there_and_what_to_know(fostering, nook, words_of):
    (words,) = words_of(fostering.get(f"/enclosures/{nook.code}/card.pdf").content)

    for told in ("Wren", "By the stove", "Pip female, born Oct 2025", "Moss hides under the ramp."):
        assert told in words
    assert "Moss castrated male, born about Feb 2026" in words
    assert "a vet at once" in words


def test_a_card_tells_no_area_and_no_family_name(fostering, nook, words_of):
    (words,) = words_of(fostering.get(f"/enclosures/{nook.code}/card.pdf").content)

    assert "North Quay" not in words
    assert "Odell" not in words


def test_the_code_on_a_card_opens_its_enclosure(fostering, nook):
    pdf = fostering.get(f"/enclosures/{nook.code}/card.pdf").content

    picture = pypdfium2.PdfDocument(pdf)[0].render(scale=3).to_pil()

    assert zxingcpp.read_barcode(picture).text == f"http://testserver/e/{nook.code}/"


def test_a_quarantine_is_told_with_its_end(
    fostering, nook, coordinator, make_enclosure, day, words_of
):
    from habitats.animals.models.animals import Animal
    from habitats.animals.models.quarantines import Quarantine

    pip = Animal.objects.get(name="Pip")
    Quarantine.objects.create(animal=pip, since=day(-3), made_by=coordinator)

    (words,) = words_of(fostering.get(f"/enclosures/{nook.code}/card.pdf").content)

    # Guidance for rescues: 14 days at least, from 7 March on.
    assert "In quarantine until 21 March 2027: Pip." in words.replace("\xa0", " ")


def test_all_cards_of_a_home_are_printed_at_once(
    fostering, nook, make_enclosure, words_of, no_print_warnings
):
    home = nook.standings.get().home
    make_enclosure("Attic", home)
    make_enclosure("Old", home, state="retired")

    pages = words_of(fostering.get(f"/homes/{home.code}/cards.pdf").content)

    assert ["Attic" in pages[0], "By the stove" in pages[1], len(pages)] == [True, True, 2]
    assert "No animals live here." in pages[0]


def test_a_home_without_enclosures_has_no_cards(coordinating, make_home):
    assert coordinating.get(f"/homes/{make_home().code}/cards.pdf").status_code == 404


def test_the_fullest_card_is_still_one_page(
    coordinating, make_home, make_enclosure, make_animal, make_group, words_of, no_print_warnings
):
    enclosure = make_enclosure("W" * 60, make_home("M" * 60))
    enclosure.notes = "wide words " * 180
    enclosure.save()
    make_group(*[make_animal("M" * 60, born_margin_days=9) for _ in range(12)], enclosure=enclosure)

    pages = words_of(coordinating.get(f"/enclosures/{enclosure.code}/card.pdf").content)

    assert len(pages) == 1
    assert "and 4 more" in pages[0]
    assert "call the rescue" in pages[0]


def test_notes_are_shortened_to_what_has_room():
    card = FrontCard("A", "BCD234", "Wren", (), "", ("long " * 99, "never seen"), "", "today")

    assert sum(len(line) for line in card.lines) <= LONGEST_NOTE
    assert card.lines[-1].endswith("…")
    assert "never seen" not in card.lines
