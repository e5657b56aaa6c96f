"""Pictures on paper: the PDF renderer takes them without complaint and keeps their titles."""

import logging

import pypdfium2
import pytest
import weasyprint

from builds.drawing import corner_picture, footprint_picture, plan_picture


@pytest.fixture
def complaints():
    """What the renderer logs: it warns where another would raise."""
    kept = []
    handler = logging.Handler()
    handler.emit = lambda record: kept.append(record.getMessage())
    logger = logging.getLogger("weasyprint")
    logger.addHandler(handler)
    yield kept
    logger.removeHandler(handler)


def printed(picture):
    page = (
        '<html lang="en"><head><title>Page</title><style>@page { size: 400mm 400mm }</style>'
        f"</head><body>{picture}</body></html>"
    )
    return weasyprint.HTML(string=page).write_pdf(pdf_tags=True)


def test_pictures_print_without_a_complaint(balcony, lengths, complaints):
    for picture in (
        plan_picture(balcony, 0, lengths=lengths),
        footprint_picture(balcony),
        corner_picture(balcony),
    ):
        document = pypdfium2.PdfDocument(printed(picture))

        assert len(document) == 1
    assert complaints == []


def test_figures_print_as_text_that_can_be_searched(balcony, lengths):
    document = pypdfium2.PdfDocument(printed(plan_picture(balcony, 0, lengths=lengths)))

    text = document[0].get_textpage().get_text_bounded().replace("\xa0", " ")
    assert "1 420 mm" in text


def test_lines_reach_the_paper(balcony):
    document = pypdfium2.PdfDocument(printed(corner_picture(balcony)))
    page = document[0].render(scale=1).to_pil().convert("L")

    dark = sum(page.histogram()[:100])
    assert dark > 500
