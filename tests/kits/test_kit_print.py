"""The papers of a kit, read back as a PDF.

Page sizes: ISO 216 (A4) and ANSI/ASME Y14.1 (Letter). QR code: ISO/IEC 18004, read by zxing-cpp.
"""

import re
from html import unescape
from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp
from django.utils.html import strip_tags

from builds.kits.models.kits import Packing
from builds.kits.pages.kit_pdf import print_kit
from habitats.designs.models.designs import Design
from habitats.rescue.models.rescue import Rescue
from habitats.structure.lattice import Side
from tests.support.builds import make_build, planner
from tests.support.designs import make_design, ramp_from
from tests.support.kits import hand_over, home_steps, make_kit, make_link, pack_all

pytestmark = pytest.mark.django_db
MM = 72 / 25.4
A4, LETTER = (210 * MM, 297 * MM), (8.5 * 72, 11 * 72)
OURS = ("receipt", "box", "linens", "card")
SHORT = {"leaves_asked": list(OURS)}


def pages_of(response):
    reader = pypdf.PdfReader(BytesIO(response.content))
    return [" ".join(page.extract_text().replace("\xa0", " ").split()) for page in reader.pages]


@pytest.fixture
def kit(coordinator):
    """Two levels and a ramp, all of it in the box."""
    shape = make_design(
        ["####", "####"], upper=["#...", "#..."], ramps=(ramp_from(0, 0, Side.E, panels=3),)
    )
    kit = make_kit(design=Design.objects.draw(shape, by=coordinator))
    pack_all(kit)
    return kit


@pytest.fixture
def papers(coordinating, kit):
    """`papers(**options)`: the four leaves of our own."""
    return lambda **options: coordinating.get(f"/builds/{kit.code}/kit.pdf", SHORT | options)


@pytest.fixture
def leaves(papers, unprinted):
    """`leaves()`: the words of each leaf, of the page before it is printed, which takes seconds."""

    def read():
        found = re.findall(r'<section id="kit-.*?</section>', papers().content.decode(), re.S)
        return [" ".join(unescape(strip_tags(leaf)).split()) for leaf in found]

    return read


def test_the_leaves_take_a_page_each_and_the_care_sheet_two_on_both_papers(papers):
    for paper, size in (("A4", A4), ("Letter", LETTER)):
        answer = papers(paper=paper, units="inches" if paper == "Letter" else "metric")
        pdf = pypdfium2.PdfDocument(answer.content)

        assert answer.headers["Content-Type"] == "application/pdf"
        firsts = [words.split(" ")[0] for words in pages_of(answer)]
        assert len(pdf) == 5
        assert [firsts[at] for at in (0, 1, 2, 4)] == ["Receipt", "Contents", "Care", "Card"]
        box = pages_of(answer)[1]
        assert bool(re.search(r"\d m \(\d+ ft\)", box)) == (paper == "Letter")
        cited_in_both = re.compile(r"\d+ cm \(\d+ in\)")
        words = cited_in_both.sub("", " ".join(pages_of(answer)))
        assert bool(re.search(r"\d (mm|cm|m²)\b", words)) == (paper == "A4")
        for page in pdf:
            assert page.get_size() == pytest.approx(size, abs=0.5)


def test_every_page_says_which_it_is_and_of_which_build(papers, kit):
    pages = pages_of(papers())

    for number, words in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in words
        assert kit.code in words


def test_the_code_on_every_page_opens_the_kit_without_an_account(papers, kit, client_of):
    link = make_link(kit, days=200)

    for page in pypdfium2.PdfDocument(papers().content):
        found = zxingcpp.read_barcodes(page.render(scale=200 / 72).to_pil())
        assert [one.text for one in found] == [f"http://testserver/k/{link.token}/"]
    assert client_of(None).get(f"/k/{link.token}/").status_code == 200


def test_without_a_link_the_pages_name_no_address_that_asks_for_a_log_in(coordinating, leaves, kit):
    assert "/b/" not in coordinating.get(f"/builds/{kit.code}/kit.pdf", SHORT).text
    page = coordinating.get(f"/builds/{kit.code}/kit/set/").text
    assert "the papers carry no address" in page


def test_every_page_says_how_to_reach_the_rescue(papers, this_day):
    Rescue.objects.update_or_create(pk=1, defaults={"name": "Burrow Lane", "phone": "01632 960111"})

    for words in pages_of(papers()):
        assert "Questions? Burrow Lane 01632 960111" in words


def test_the_receipt_is_there_to_be_signed_and_asks_for_no_address(leaves):
    receipt = leaves()[0]

    assert receipt.startswith("Receipt")
    for words in (
        "Handed over by",
        "Received by",
        "Signature: received",
        "Signature: handed over",
        "Nothing: the box is complete.",
        "Local law comes first",
        "Nothing here is veterinary advice",
    ):
        assert words in receipt
    assert "Address:" not in receipt


def test_what_is_missing_stands_on_the_receipt(leaves, kit):
    line = Packing(kit).lines[0]
    kit.kit_ticks.create(what=line.what, count=line.to_pack - 2, made_by=planner())

    assert f"2 × {line.name}" in leaves()[0]


def test_a_signed_receipt_says_who_and_when(leaves, kit):
    hand_over(kit)

    receipt = leaves()[0]

    assert "Cora Lind" in receipt
    assert "Signed: Ada Quill, 8 March 2027" in receipt


def test_every_line_is_in_the_box_with_its_count(leaves, kit):
    box = leaves()[1]

    assert box.startswith("Contents of the box")
    for line in Packing(kit).lines:
        assert f"{line.counted} {line.name[0].upper()}{line.name[1:]}" in box


def test_the_wash_sheet_has_the_sizes_of_this_kits_linens(leaves, kit):
    sheet = leaves()[2]

    assert sheet.startswith("Care and wash sheet")
    for line in Packing(kit).linens:
        assert f"{line.size[0]:,} mm × {line.size[1]:,} mm".replace(",", " ") in sheet
        assert f"{line.cut[0]:,} mm × {line.cut[1]:,} mm".replace(",", " ") in sheet
    assert "2 washes, each at 60 °C or more for at least 14 min" in sheet
    assert "J Feline Med Surg 18:457 (2016)" in sheet
    assert "Where no source is named: common practice, no source." in sheet


def test_the_card_says_when_to_call_a_vet_and_when_we_ask(leaves, kit):
    before = leaves()[3]
    hand_over(kit)
    after = leaves()[3]

    assert "call a vet at once" in before
    assert "After 2 days" in before
    assert "our own suggestion" in before
    assert "Wed 10 Mar 2027" in after


def test_black_and_white_uses_no_colour(papers):
    for page in pypdfium2.PdfDocument(papers(ink="black").content):
        red, green, blue = page.render(scale=1).to_pil().convert("RGB").split()

        assert red.tobytes() == green.tobytes() == blue.tobytes()


def test_in_german_on_letter_no_leaf_runs_over_by_a_few_lines(coordinating, kit):
    """Its words are the longest, and the page is the lowest."""
    asked = {"paper": "Letter", "leaves_asked": ["packet", "linens"]}
    german = {"accept-language": "de"}

    answer = coordinating.get(f"/builds/{kit.code}/kit.pdf", asked, headers=german)

    leaf = re.compile(r"(Aufbau|Pflege- und Waschanleitung) Seite \d")
    leaves = [found[1] for words in pages_of(answer) if (found := leaf.search(words))]
    assert leaves == ["Aufbau", *["Pflege- und Waschanleitung"] * 2]


def test_words_of_the_leaves_are_twelve_points(papers):
    """Sizes as the PDF has them; remarks and sources may be smaller."""
    reader = pypdf.PdfReader(BytesIO(papers().content))
    for page in reader.pages:
        letters: dict[float, int] = {}

        def count(text, _matrix, _text_matrix, _font, size, letters=letters):
            letters[round(size, 1)] = letters.get(round(size, 1), 0) + len(text.strip())

        page.extract_text(visitor_text=count)
        scale = 0.75  # CSS pixels to points, as WeasyPrint writes them
        body = max(letters, key=lambda size: letters[size])
        assert body in (12.0, round(12 / scale, 1)), letters


def test_the_whole_set_has_the_work_with_the_box_and_one_care_sheet(coordinating, coordinator):
    """The smallest build, since a packet takes seconds."""
    drawn = Design.objects.draw(make_design(["##"]), by=coordinator)
    kit = make_kit(design=drawn)

    pages = pages_of(coordinating.get(f"/builds/{kit.code}/kit.pdf"))
    all_words = " ".join(pages)

    for words, heading in zip(pages, ("Receipt", "Contents", "Putting it up"), strict=False):
        assert heading in words
    assert "Cautions" in pages[2]  # before the first step
    assert all(f" {number} done" in all_words for number in range(1, len(home_steps(kit)) + 1))
    assert f" {len(home_steps(kit)) + 1} done" not in all_words
    assert "Inspection" in all_words
    for words in ("Cut the blank", "Sheet plans", "Knife with a fresh blade"):
        assert words not in all_words
    assert all_words.count("Daily: take out wet hay") == 1


def test_papers_printed_through_a_link_name_nobody_of_ours(
    client_of, coordinator, this_day, unprinted
):
    drawn = Design.objects.draw(make_design(["##"]), by=coordinator)
    kit = make_kit(design=drawn)
    hand_over(kit)
    link = make_link(kit)

    words = client_of(None).get(f"/k/{link.token}/papers.pdf").content.decode()

    assert "Ada Quill" in words
    assert "Cora Lind" not in words
    assert "Bertil" not in words


def test_choices_that_make_no_sense_are_refused_beside_the_field(coordinating, kit, text_of):
    response = coordinating.get(f"/builds/{kit.code}/kit.pdf", {"paper": "A3"})

    assert response.status_code == 422
    assert response.context["form"].errors["paper"]


def test_a_build_for_no_adopter_has_no_such_papers(coordinating):
    assert coordinating.get(f"/builds/{make_build().code}/kit.pdf").status_code == 404


def test_what_was_printed_ahead_is_what_is_asked_for(
    coordinating, coordinator, kit, this_day, settings, tmp_path, monkeypatch
):
    settings.DATA_DIR, settings.PRINTS_MB = tmp_path, 1
    made = []
    monkeypatch.setattr(
        "habitats.common.kept_prints.pdf_from", lambda page: made.append(page) or b"%PDF-"
    )
    make_link(kit)

    print_kit.call(kit.pk, coordinator.pk, "http://testserver", "en-gb")
    answer = coordinating.get(f"/builds/{kit.code}/kit.pdf")

    assert answer.content == b"%PDF-"
    assert len(made) == 1
