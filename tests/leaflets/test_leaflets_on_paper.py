"""Leaflets as a PDF reader shows them: two pages each, full and not crowded, on both papers.

German is the longest, on the shorter paper; the other two ways lie between.
"""

from itertools import combinations

import pypdfium2
import pytest
from django.urls import reverse

from builds.leaflets.paper import LEAFLETS

LEAST_USED = 0.55
POINTS_A_MM = 72 / 25.4
TOP_MM, FOOT_MM = 11, 15  # margins, as static/css/leaflets-print.css has them
SIZES_MM = {"A4": (210, 297), "Letter": (216, 279)}
WAYS = [("en-gb", "A4", "metric"), ("de", "Letter", "inches")]


@pytest.fixture
def printed(cast, client_of, no_print_warnings):
    """`printed(role, language, paper, units)`: the leaflet as its reader prints it, opened."""
    opened = []

    def make(role, language, paper, units):
        person = cast[role]
        person.language, person.paper, person.units = language, paper, units
        person.save()
        response = client_of(person).get(reverse("builds:leaflet_pdf", args=[role]))
        opened.append(pypdfium2.PdfDocument(response.getvalue()))
        return opened[-1]

    yield make
    for one in opened:
        one.close()


def texts_on(page):
    """The boxes of its stretches of text: left, bottom, right, top."""
    text = page.get_textpage()
    return [text.get_rect(number) for number in range(text.count_rects())]


def meet(one, other):
    """Whether boxes lie over each other by more than their edges."""
    slack = 1.5
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return wide > slack and high > slack


@pytest.mark.spread(days=2)
@pytest.mark.parametrize("way", WAYS, ids=[f"{one[0]}-{one[1]}" for one in WAYS])
@pytest.mark.parametrize("role", list(LEAFLETS))
def test_a_leaflet_is_two_pages_full_and_not_crowded(role, way, printed):
    pages = list(printed(role, *way))

    assert len(pages) == 2
    for page in pages:
        assert reverse("help") in page.get_textpage().get_text_bounded()
        width, height = page.get_size()
        assert (round(width / POINTS_A_MM), round(height / POINTS_A_MM)) == SIZES_MM[way[1]]
        boxes = texts_on(page)
        foot = FOOT_MM * POINTS_A_MM
        lowest = min(box[1] for box in boxes if box[1] > foot)
        used = (height - TOP_MM * POINTS_A_MM - lowest) / (height - TOP_MM * POINTS_A_MM - foot)
        assert used >= LEAST_USED
        assert [pair for pair in combinations(boxes, 2) if meet(*pair)] == []


def test_no_leaflet_is_made_for_a_role_that_there_is_not(client_of, foster):
    assert client_of(foster).get(reverse("builds:leaflet_pdf", args=["wizard"])).status_code == 404
