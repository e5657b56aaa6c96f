"""Sheet plans and labels read back: what a printer and a cutter get.

Page sizes: ISO 216 (A4) and ANSI/ASME Y14.1 (Letter). DXF read by ezdxf, areas by shapely.
"""

import io
import re
import xml.etree.ElementTree as ET

import ezdxf
import pypdfium2
import pytest
import zxingcpp
from shapely.affinity import scale
from shapely.geometry import Polygon, box
from shapely.ops import unary_union

from builds.batches.paper.labels import piece_stickers
from builds.common.paper import Paper, Print
from builds.sheets import work_out
from builds.store.models.offcuts import Offcut
from builds.store.paper import labels_page
from habitats.common.pdf import pdf_from
from habitats.measures import length
from habitats.structure.lattice import Side
from tests.support.designs import ramp_from
from tests.support.sheets import cut_up, line_of, make_batch, make_job, order_of

MM = 72 / 25.4
PAPERS = {"A4": (210 * MM, 297 * MM), "Letter": (8.5 * 72, 11 * 72)}

pytestmark = pytest.mark.usefixtures("no_print_warnings")


@pytest.fixture
def job(coordinator):
    """Three builds of two designs, worked out."""
    batch = make_batch(coordinator, ["####", "####"], ["###", "#.."], count=2, who_for="Elm Road")
    return make_job(coordinator, batch=batch)


def fetched(client, job, path):
    response = client.get(f"/cutting/{job.code}/{path}")
    assert response.status_code == 200
    return response.content


def plain(words):
    return " ".join(words.split())


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("path", ["sheets.pdf", "labels.pdf"])
def test_every_page_has_the_size_of_its_paper(building, job, paper, path):
    pdf = pypdfium2.PdfDocument(fetched(building, job, f"{path}?paper={paper}"))

    assert len(pdf) > 0
    for page in pdf:
        assert page.get_size() == pytest.approx(PAPERS[paper], abs=0.5)


def test_every_page_of_the_sheets_says_which_it_is_and_of_what_job(building, job, words_of):
    pages = words_of(fetched(building, job, "sheets.pdf"))

    for number, words in enumerate(pages, start=1):
        assert f"page {number} of {len(pages)}" in words
        assert job.code in words
        assert "Saturday" in words


def test_the_code_on_the_page_opens_the_job(building, job):
    page = pypdfium2.PdfDocument(fetched(building, job, "sheets.pdf"))[0]

    found = zxingcpp.read_barcodes(page.render(scale=150 / 72).to_pil())

    assert [one.text for one in found] == [f"http://testserver/cutting/{job.code}/"]


def test_every_sheet_every_piece_and_every_offcut_to_keep_is_printed(building, job, words_of):
    words = " ".join(words_of(fetched(building, job, "sheets.pdf")))
    plan = job.plan()

    assert all(plain(piece.blank.name) in words for piece in plan.pieces)
    for kept in plan.offcuts_to_keep:
        size = f"{length(kept.offcut.width)} × {length(kept.offcut.height)}"
        assert plain(size) in words
    assert "Elm Road" in words


def test_the_sheets_in_black_use_no_colour(building, job):
    pdf = pypdfium2.PdfDocument(fetched(building, job, "sheets.pdf?ink=black"))

    for page in pdf:
        red, green, blue = page.render(scale=1).to_pil().convert("RGB").split()
        assert red.tobytes() == green.tobytes() == blue.tobytes()


def test_there_is_a_label_for_each_piece_with_its_build_sheet_and_cut(building, job, words_of):
    words = " ".join(words_of(fetched(building, job, "labels.pdf")))
    plan = job.plan()

    assert words.count(f"Job {job.code}") == len(plan.pieces)
    for piece in plan.pieces:
        assert f"Sheet {piece.sheet}, cut {piece.cut}." in words


@pytest.mark.parametrize(("paper", "a_page"), [(Paper.A4, 24), (Paper.LETTER, 30)])
def test_labels_fill_a_sheet_of_labels_before_the_next(db, paper, a_page, words_of):
    plan = work_out(order_of(line_of(["##"], a_page + 1, "A name as long as one may well be")))
    stickers = piece_stickers(plan, "K7MXQ2", Print().lengths)

    pages = words_of(pdf_from(labels_page("Labels", stickers, paper)))

    assert [page.count("Job K7MXQ2") for page in pages] == [a_page, 1]


def test_long_names_make_no_label_taller(db, words_of):
    """The longest there may be: a name of 60 letters, and a piece's place in its tray."""
    lines = line_of(["######"] * 3, 12, "W" * 60)
    stickers = piece_stickers(work_out(order_of(lines)), "K7MXQ2", Print().lengths)

    pages = words_of(pdf_from(labels_page("Labels", stickers[:24], Paper.A4)))

    assert [page.count("Job K7MXQ2") for page in pages] == [24]


def test_offcuts_have_labels_with_size_place_and_day(building, coordinator, job, words_of):
    cut_up(job, coordinator, place="Loft")

    words = " ".join(words_of(fetched(building, job, "offcuts.pdf")))

    for offcut in Offcut.objects.all():
        assert offcut.label in words
        assert f"{offcut.made_at:%b %Y}" in words
    assert words.count("Loft") == Offcut.objects.count()


def test_a_sheet_alone_is_one_page(building, job):
    assert len(pypdfium2.PdfDocument(fetched(building, job, "sheets/1.pdf"))) == 1


def test_a_sheet_as_svg_names_its_pieces(building, job):
    root = ET.fromstring(fetched(building, job, "sheets/1.svg"))

    description = root.findtext("{http://www.w3.org/2000/svg}desc")
    first = job.plan().plan.sheets[0].placements[0]
    assert job.plan().name_of(first.piece) in description


def outlines(document, layer):
    return [
        Polygon([point[:2] for point in one.get_points()])
        for one in document.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    ]


def test_a_sheet_as_dxf_holds_each_piece_where_the_plan_has_it(building, coordinator):
    batch = make_batch(coordinator, ["####", "####"], ["###", "#.."], count=2)
    job = make_job(coordinator, batch=batch)
    plan = job.plan()

    for number, sheet in enumerate(plan.plan.sheets, start=1):
        data = fetched(building, job, f"sheets/{number}.dxf").decode()
        document = ezdxf.read(io.StringIO(data))
        high = sheet.stock.height
        places = [
            box(one.x, high - one.y - one.height, one.x + one.width, high - one.y)
            for one in sheet.placements
        ]
        pieces = outlines(document, "CUT")

        assert document.units == ezdxf.units.MM
        assert outlines(document, "SHEET")[0].area == sheet.stock.width * high
        # Each outline lies in its place, and reaches all four of its sides.
        assert len(pieces) == len(places)
        for piece, place in zip(pieces, places, strict=True):
            assert piece.bounds == place.bounds
        assert unary_union(pieces).area == pytest.approx(sum(one.area for one in pieces))


def test_slits_and_scores_turn_with_their_piece(coordinator, building):
    """A turned blank's lines stay inside its outline, which no mirroring of them would."""
    design_plan = ["#####", "###..", "###.."]
    batch = make_batch(coordinator, design_plan, count=1)
    job = make_job(coordinator, batch=batch)

    for number in range(1, len(job.plan().plan.sheets) + 1):
        document = ezdxf.read(io.StringIO(fetched(building, job, f"sheets/{number}.dxf").decode()))
        floor = unary_union(outlines(document, "CUT")).buffer(0.5)
        for line in document.modelspace().query('LINE[layer ? "SLIT|SCORE-.*"]'):
            start, end = line.dxf.start, line.dxf.end
            middle = box(*sorted_box(start, end)).buffer(0.1)
            assert floor.contains(middle.centroid)


def test_a_sheet_with_the_outside_up_is_the_mirror_of_the_other(building, job):
    """Pieces of both designs, some turned on the sheet; shapely says whether they are the same."""
    documents = [
        ezdxf.read(io.StringIO(fetched(building, job, f"sheets/1.dxf{asked}").decode()))
        for asked in ("", "?up=outside")
    ]
    wide = job.plan().plan.sheets[0].stock.width

    inside, outside = (unary_union(outlines(one, "CUT")) for one in documents)
    mirrored = scale(inside, xfact=-1, origin=(wide / 2, 0))

    assert outside.symmetric_difference(mirrored).area == 0
    here, there = (
        [len(one.modelspace().query(f'LINE[layer=="{layer}"]')) for one in documents]
        for layer in ("SCORE-THIS-SIDE", "SCORE-OTHER-SIDE")
    )
    assert here == there[::-1]
    assert here[1] > 0


def test_a_piece_has_one_number_on_sheet_job_label_and_file(building, job, words_of):
    plan = job.plan()
    placed = [one.piece for one in plan.plan.sheets[0].placements]
    names = {plan.name_of(one) for one in placed}
    document = ezdxf.read(io.StringIO(fetched(building, job, "sheets/1.dxf").decode()))

    marks = {one.dxf.text for one in document.modelspace().query('TEXT[layer=="MARKS"]')}
    picture = fetched(building, job, "sheets/1.svg").decode()
    labels = " ".join(words_of(fetched(building, job, "labels.pdf")))
    page = building.get(f"/cutting/{job.code}/").content.decode()

    assert marks == names
    for piece in placed:
        assert plan.name_of(piece) in picture
        assert plan.name_of(piece) in labels
        assert re.search(rf'data-name="Piece number">[^<]*{re.escape(piece)}', page)


def sorted_box(start, end):
    return (min(start.x, end.x), min(start.y, end.y), max(start.x, end.x), max(start.y, end.y))


def test_the_same_sheet_is_the_same_dxf(building, job):
    assert fetched(building, job, "sheets/1.dxf") == fetched(building, job, "sheets/1.dxf")


def test_a_sheets_dxf_tells_how_its_flutes_run(building, job):
    """It is drawn upright, and a sheet's flutes run along its height."""
    assert b"Flutes from top to bottom" in fetched(building, job, "sheets/1.dxf")


def test_a_sheet_that_is_not_there_is_not_found(building, job):
    assert building.get(f"/cutting/{job.code}/sheets/99.svg").status_code == 404
    assert building.get(f"/cutting/{job.code}/offcuts.pdf").status_code == 404


def test_a_label_tells_the_flutes_of_its_piece_as_it_was_cut(db):
    line = line_of(["####", "####"], 1, upper=["#...", "#..."], ramps=(ramp_from(0, 0, Side.E),))
    plan = work_out(order_of(line))
    stickers = piece_stickers(plan, "K7MXQ2", Print().lengths)

    # A sheet's flutes run along its height.
    heights = {plan.name_of(piece.placement.piece): piece.placement.height for piece in plan.pieces}
    told = {one.lines[0]: one.lines[2] for one in stickers}
    assert told == {name: f"Flutes along {length(mm)}" for name, mm in heights.items()}


def test_a_name_that_looks_like_markup_is_printed_as_it_is(coordinator, building, words_of):
    batch = make_batch(coordinator, who_for='<img src="file:///etc/hostname">')
    job = make_job(coordinator, batch=batch)

    assert "<img" in " ".join(words_of(fetched(building, job, "labels.pdf")))
    assert "<img" in " ".join(words_of(fetched(building, job, "sheets.pdf")))
