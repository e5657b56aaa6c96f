"""The PDF read back: what a printer and a reader of it get.

Page sizes: ISO 216 (A4, 210 × 297 mm) and ANSI/ASME Y14.1 (Letter, 8.5 × 11 in).
Tags and alternatives: ISO 14289-1 (PDF/UA-1). QR code: ISO/IEC 18004, read by zxing-cpp.
"""

import re
from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp

from builds.packet.paper import Section, pdf_from, printed
from habitats.common.addresses import address_of, static_file

LINK = "https://enclosures.example.org/d/K7MXQ2/"
MM = 72 / 25.4
PAPERS = {"balcony_pdf": (210 * MM, 297 * MM), "letter_pdf": (8.5 * 72, 11 * 72)}


def tags_in(pdf):
    """Every (tag, alternative) of the structure tree."""
    root = pypdf.PdfReader(BytesIO(pdf)).trailer["/Root"]["/StructTreeRoot"]
    found, todo = [], [root["/K"]]
    while todo:
        node = todo.pop()
        node = node.get_object() if hasattr(node, "get_object") else node
        if isinstance(node, pypdf.generic.ArrayObject):
            todo.extend(node)
        elif isinstance(node, pypdf.generic.DictionaryObject):
            if "/S" in node:
                found.append((node["/S"], node.get("/Alt")))
            todo.append(node.get("/K", pypdf.generic.NullObject()))
    return found


@pytest.mark.parametrize("name", PAPERS)
def test_every_page_has_the_size_of_its_paper(name, request):
    pdf = pypdfium2.PdfDocument(request.getfixturevalue(name))

    for page in pdf:
        assert page.get_size() == pytest.approx(PAPERS[name], abs=0.5)


@pytest.mark.parametrize("name", PAPERS)
def test_every_page_says_which_it_is_of_how_many_and_of_what_design(name, request, words_of):
    pages = words_of(request.getfixturevalue(name))

    for number, words in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in words
        assert "K7MXQ2" in words
        assert LINK in words.replace(" ", "")
        assert "Bramble and Nettle" in words


@pytest.mark.parametrize("name", PAPERS)
def test_the_code_on_every_page_opens_the_design(name, request):
    pdf = pypdfium2.PdfDocument(request.getfixturevalue(name))

    for page in pdf:
        found = zxingcpp.read_barcodes(page.render(scale=150 / 72).to_pil())

        assert [one.text for one in found] == [LINK]


def test_the_code_is_at_least_20_mm_wide(balcony_pdf):
    page = pypdfium2.PdfDocument(balcony_pdf)[0]
    dots_a_mm = 10

    corners = zxingcpp.read_barcodes(page.render(scale=dots_a_mm / MM).to_pil())[0].position

    assert corners.top_right.x - corners.top_left.x >= 20 * dots_a_mm


def test_steps_come_in_order_and_at_most_three_share_a_page(balcony_packet, balcony_pdf, words_of):
    seen = [
        [int(number) for number in re.findall(r"(\d+) done", words)]
        for words in words_of(balcony_pdf)
    ]

    assert [number for page in seen for number in page] == list(
        range(1, len(balcony_packet.cards) + 1)
    )
    assert max(len(page) for page in seen) <= 3


def test_one_step_a_page_is_one_step_a_page(balcony_packet, letter_pdf, words_of):
    seen = [len(re.findall(r"\d+ done", words)) for words in words_of(letter_pdf)]

    assert max(seen) == 1
    assert sum(seen) == len(balcony_packet.cards)


def test_every_step_is_told_with_its_cautions(balcony_packet, balcony_pdf, words_of):
    words = " ".join(words_of(balcony_pdf))

    for card in balcony_packet.cards:
        for sentence in (card.step.title, *card.step.instructions, *card.step.cautions):
            assert plain(sentence) in words


def plain(sentence):
    return " ".join(sentence.split())


def test_every_picture_has_its_alternative_in_words(balcony_packet, balcony_pdf):
    figures = [alternative for tag, alternative in tags_in(balcony_pdf) if tag == "/Figure"]

    # The cover's view, two plans and their legends, a sheet, a picture a step, a blank turned over,
    # the ramp from its side, and the lines of the glossary: guard, flap, score and slit.
    signs = sum(len(plan.legend) for plan in balcony_packet.plans)
    assert len(figures) == 1 + 2 + signs + 1 + len(balcony_packet.cards) + 1 + 1 + 4
    assert all(figures)


def test_headings_tables_and_lists_are_tagged_as_such(balcony_pdf):
    tags = {tag for tag, _alternative in tags_in(balcony_pdf)}

    assert {"/H2", "/H3", "/Table", "/TH", "/TD", "/L", "/LI", "/P", "/Figure"} <= tags


def test_the_file_names_its_language_its_title_and_its_standard(balcony_pdf):
    root = pypdf.PdfReader(BytesIO(balcony_pdf)).trailer["/Root"]

    assert root["/Lang"] == "en-gb"
    assert root["/MarkInfo"]["/Marked"] is not None
    assert b"pdfuaid:part" in root["/Metadata"].get_object().get_data()
    assert pypdf.PdfReader(BytesIO(balcony_pdf)).metadata.title == (
        "Packet: Bramble and Nettle (K7MXQ2)"
    )


def test_the_same_packet_is_the_same_bytes(balcony, packet_for, balcony_pdf):
    again = packet_for(balcony, who_for="the Larkrise home")

    assert pdf_from(printed(again)) == balcony_pdf


def test_two_levels_are_printed_in_reasonable_time(balcony_print):
    # Under 3 s on a quiet machine (tests/benchmarks/packet_time.py); tests share theirs.
    _pdf, seconds = balcony_print

    assert seconds < 15


def test_black_and_white_uses_no_colour(letter_pdf):
    for page in pypdfium2.PdfDocument(letter_pdf):
        red, green, blue = page.render(scale=1).to_pil().convert("RGB").split()

        assert red.tobytes() == green.tobytes() == blue.tobytes()


def test_lengths_are_in_inches_for_readers_of_inches(letter_pdf, words_of):
    work = [words for words in words_of(letter_pdf) if re.search(r"\d+ done|Sheet plans", words)]

    assert any("14 in" in words for words in work)  # a panel of 355 mm, to the nearest sixteenth
    assert not any(re.search(r"\d mm\b", words) for words in work)


def test_only_the_sections_asked_for_are_printed(balcony, packet_for, print_pdf, words_of):
    packet = packet_for(balcony, sections=frozenset({Section.CARE, Section.INSPECTION}))

    pages = words_of(print_pdf(packet))

    assert len(pages) == 2
    assert pages[0].startswith("Inspection")
    assert pages[1].startswith("Care sheet")


def test_another_design_prints_without_a_warning_too(rabbit_house, packet_for, print_pdf):
    packet = packet_for(rabbit_house)

    assert len(pypdfium2.PdfDocument(print_pdf(packet))) > len(packet.work_pages)


def test_the_inspection_is_one_page_to_sign(balcony_pdf, letter_pdf, words_of):
    for pdf in (balcony_pdf, letter_pdf):
        (signed,) = (words for words in words_of(pdf) if words.startswith("Inspection"))

        assert "Signature" in signed


def test_a_name_that_looks_like_markup_is_printed_as_it_is(
    balcony, packet_for, print_pdf, words_of
):
    sections = frozenset({Section.COVER})
    packet = packet_for(balcony, who_for='<img src="file:///etc/hostname">', sections=sections)

    assert '<img src="file:///etc/hostname">' in words_of(print_pdf(packet))[0]


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/hostname",
        "https://enclosures.example.org/photo.png",
        "https://packet.invalid/",
        "https://packet.invalid/static/../manage.py",
        "https://packet.invalid/static/css/none.css",
        "data:text/css,body{}",
    ],
)
def test_nothing_but_static_files_is_fetched(address):
    with pytest.raises(ValueError):
        static_file(address)


def test_a_static_file_is_found_by_its_address():
    assert static_file(address_of("css/print.css")).name == "print.css"
