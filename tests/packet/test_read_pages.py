"""The packet's pages as a reader of PDF finds them (pdfium): how full, how small, nothing over it.

No page is nearly empty but the last of a part, letters can be read, and words lie on no words: on
A4 and Letter, in English and in German, whose words are longer.
Common practice, no source: 55 hundredths of a page used, figures about 2 mm high.
"""

from itertools import combinations

import pypdfium2
import pytest

MM = 72 / 25.4
TOP, FOOT = 7, 35  # mm of margin above, and below for the title block
LEAST_USED, LEAST_FIGURE, LEAST_OVERLAP = 0.55, 1.9, 1.0
INK = 200  # of 255: what is darker is ink
GERMAN = ("german_pdf", "german_letter_pdf", "german_letter_you_pdf")
PRINTED = ("balcony_pdf", "large_letter_pdf", "letter_pdf", "you_pdf", *GERMAN)
PAGE = {"en": (" page ", " of "), "de": (" Seite ", " von ")}
WORK = {
    "At the bench: parts and wire",
    "At the bench: sheet",
    "Putting it together",
    "An der Werkbank: Teile und Draht",
    "An der Werkbank: Platten",
    "Zusammenbau",
}
OTHER_PARTS = {
    *("Cover", "Cautions", "Tools and parts", "Inspection", "First use", "Care sheet", "Glossary"),
    *("Deckblatt", "Sicherheitshinweise", "Werkzeuge und Teile", "Abnahme", "Erste Nutzung"),
    *("Pflegeblatt", "Glossar"),
}

each_print = pytest.mark.parametrize("name", PRINTED)
# By day some of the prints, which take seconds each; by night all.
pytestmark = pytest.mark.spread(days=3, by="name")


@pytest.fixture
def pages(name, request):
    return list(pypdfium2.PdfDocument(request.getfixturevalue(name)))


def used_share(page):
    """How far down the page anything is printed, above its title block."""
    image = page.render(scale=1).to_pil().convert("L")
    top, foot = round(TOP * MM), round(image.height - FOOT * MM)
    _left, _top, _right, bottom = (
        image.crop((0, 0, image.width, foot)).point(lambda grey: 255 * (grey < INK)).getbbox()
    )
    return (bottom - top) / (foot - top)


def part_of(page, name):
    """The part that its title block names; all work is one."""
    number, of = PAGE["de" if name in GERMAN else "en"]
    words = " ".join(page.get_textpage().get_text_range().split())
    named = words.rpartition(of)[0]
    (part,) = {one for one in WORK | OTHER_PARTS if f"{one}{number}" in named}
    return "work" if part in WORK else part


@each_print
def test_no_page_is_nearly_empty_but_the_last_of_a_part(pages, name):
    parts = [part_of(page, name) for page in pages]

    for number, (page, part) in enumerate(zip(pages, parts, strict=True)):
        if parts[number + 1 : number + 2] == [part]:
            assert used_share(page) >= LEAST_USED, f"page {number + 1} of {len(pages)}, {part}"


@each_print
def test_figures_can_be_read(pages):
    for number, page in enumerate(pages, start=1):
        text = page.get_textpage()
        for at, letter in enumerate(text.get_text_range(at, 1) for at in range(text.count_chars())):
            if letter in set("023456789"):  # a one is slim
                left, bottom, right, top = text.get_charbox(at)
                assert max(right - left, top - bottom) / MM >= LEAST_FIGURE, (number, at)


@each_print
def test_no_words_lie_on_others(pages):
    """Words along a ramp slant: the boxes round their pieces meet a little."""
    met = []
    for number, page in enumerate(pages, start=1):
        text = page.get_textpage()
        boxes = [text.get_rect(at) for at in range(text.count_rects())]
        met += [
            (number, *(text.get_text_bounded(*box) for box in pair))
            for pair in combinations(boxes, 2)
            if shared_mm(*pair) >= LEAST_OVERLAP
        ]

    assert met == []


def shared_mm(one, other):
    """The shorter side of what two boxes have in common, below zero if they are apart."""
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return min(wide, high) / MM


@pytest.mark.parametrize(
    ("name", "most"),
    [
        *((one, 18) for one in ("balcony_pdf", "large_letter_pdf", "german_pdf")),
        ("german_letter_pdf", 18),
        ("you_pdf", 28),
        ("german_letter_you_pdf", 28),
    ],
)
def test_the_packet_is_no_longer_than_can_be_carried_along(pages, most):
    """2 × 4 with an upper level and a ramp, and a U of joined trays."""
    assert len(pages) <= most
