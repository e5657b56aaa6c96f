"""Labels of linens on sheets, read from the PDF by outside libraries."""

from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp
from django.urls import reverse

from habitats.drawing.label_sheets import GRIDS, SHEETS
from habitats.linens.models.spots import LinenSize

pytestmark = pytest.mark.django_db
DOTS = 300 / 72  # as sharp as an everyday printer


@pytest.fixture
def linens(make_home, make_pool, make_linen):
    pool = make_pool(home=make_home())
    size = LinenSize.of("liner", 700, 1400)
    return [make_linen(pool, size, state="new", washed=False) for _ in range(5)]


@pytest.fixture
def printed(washing):
    def make(**given):
        sent = {"which": "new", "grid": "A4-24", "first": 1, "right_mm": 0, "down_mm": 0, **given}
        answer = washing.post(reverse("linen_labels"), sent)
        return pypdfium2.PdfDocument(answer.content) if answer.status_code == 200 else answer

    return make


@pytest.mark.parametrize("grid", GRIDS)
def test_every_code_is_read_by_an_outside_library_and_opens_its_linen(
    grid, linens, printed, settings
):
    settings.PUBLIC_URL = "https://habitats-of-a-rescue.example"
    page = printed(grid=grid)[0].render(scale=DOTS).to_pil()

    read = {one.text for one in zxingcpp.read_barcodes(page)}

    assert read == {f"{settings.PUBLIC_URL}/l/{one.label}/" for one in linens}


@pytest.mark.parametrize("grid", GRIDS)
def test_every_label_falls_inside_its_sheet(grid):
    one = GRIDS[grid]
    width, height = SHEETS[one.paper]

    assert one.left + (one.across - 1) * one.step_x + one.width <= width
    assert one.top + (one.down - 1) * one.step_y + one.height <= height
    assert one.step_x >= one.width
    assert one.step_y >= one.height


def test_a_sheet_that_is_partly_used_begins_at_its_first_free_label(linens, printed):
    page = printed(first=5)[0]
    centres = _centres(page)
    # The fifth label of three across is the second of the second row, 70 mm and 37 mm further on.
    assert min(y for _x, y in centres) > 37
    assert min(x for x, y in centres if y < 2 * 37 + 1) > 70


def test_labels_are_shifted_by_tenths_of_a_millimetre(linens, printed):
    # The label at the top left: those of one column are read a hair's breadth apart.
    before, after = (
        min(_centres(printed(**shift)[0]), key=sum)
        for shift in ({}, {"right_mm": "1.5", "down_mm": "-1"})
    )

    assert after[0] - before[0] == pytest.approx(1.5, abs=0.2)
    assert after[1] - before[1] == pytest.approx(-1, abs=0.2)


def test_more_labels_than_a_sheet_holds_go_on_to_the_next(linens, printed):
    assert len(printed(first=23)) == 2


def test_the_marks_can_be_read_as_text(linens, printed):
    labels = " ".join(str(one) for one in linens)
    pdf = printed(which="typed", labels=labels.lower())
    # In the order in which it was written; PDFium orders words by their places, and mixes lines.
    pdf.save(written := BytesIO())
    text = pypdf.PdfReader(written).pages[0].extract_text()

    assert all(str(one) in text for one in linens)


def test_a_label_mistyped_is_told_beside_the_field(linens, printed):
    answer = printed(which="typed", labels=f"{linens[0]}, 2222-2")

    assert answer.status_code == 422
    assert "2222-2" in answer.content.decode()


def test_a_first_label_beyond_the_sheet_is_told(linens, printed):
    answer = printed(first=25)

    assert answer.status_code == 422
    assert "25 is too high: this sheet has 24 labels. Enter 1 to 24." in answer.content.decode()


def test_nothing_to_print_says_what_to_do(washing, printed):
    answer = printed()

    assert answer.status_code == 422
    assert "There are no such linens." in answer.content.decode()


def _centres(page):
    """The middle of each code on the page, in mm from its left and top edge."""
    codes = zxingcpp.read_barcodes(page.render(scale=DOTS).to_pil())
    mm = 25.4 / 300
    return [
        (
            (one.position.top_left.x + one.position.bottom_right.x) / 2 * mm,
            (one.position.top_left.y + one.position.bottom_right.y) / 2 * mm,
        )
        for one in codes
    ]
