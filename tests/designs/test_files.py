"""Design files: out exactly as drawn, in whole or not at all."""

import json
import time

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from builds.making.blank import Flute
from builds.making.reckoning import plan_of
from builds.sheets import as_cut
from habitats.designs.models.designs import Design
from habitats.structure.lattice import Side
from habitats.structure.read import document_of
from tests.support.designs import make_design, ramp_from

BALCONY = make_design(["####", "####"], upper=["..##", "...."], ramps=(ramp_from(0, 2, Side.W),))


@pytest.fixture
def bring(coordinating):
    """`bring(b"…")` uploads a file; `bring(text="…")` pastes."""

    def post(data: bytes | None = None, name: str = "design.json", **sent: object):
        if data is not None:
            sent["file"] = SimpleUploadedFile(name, data)
        return coordinating.post("/designs/import/", sent)

    return post


def file_of(shape, **changes) -> bytes:
    return json.dumps({**document_of(shape), **changes}).encode()


def faults_in(response) -> str:
    errors = response.context["form"].errors
    return " ".join(sentence for sentences in errors.values() for sentence in sentences)


def test_a_file_comes_in_and_goes_out_the_same(bring, coordinating):
    given = json.loads(file_of(BALCONY))

    bring(file_of(BALCONY))

    design = Design.objects.get()
    response = coordinating.get(f"/designs/{design.code}/file/")
    assert json.loads(response.content) == given
    assert response.headers["Content-Disposition"] == (
        f'attachment; filename="test-piece-{design.code}.json"'
    )


def test_pasted_text_does_as_well(bring):
    assert bring(text=file_of(BALCONY).decode()).status_code == 302
    assert Design.objects.get().shape() == BALCONY


def test_every_fault_is_named_with_its_place_beside_the_field(bring):
    response = bring(file_of(BALCONY, panel={"size_mm": -3, "squares": 9}, colour="red"))

    assert response.status_code == 422
    assert "panel.size_mm: " in faults_in(response)
    assert "colour: Unknown key" in faults_in(response)
    assert set(response.context["form"].errors) == {"file"}
    assert not Design.objects.exists()


def test_a_drawing_that_cannot_be_made_comes_in_as_a_draft_only_if_asked(bring):
    unfinished = file_of(make_design(["#.#"]))

    refused = bring(unfinished)
    assert "2 pieces that are not connected" in faults_in(refused)
    assert "Import as a draft" in refused.content.decode()
    assert not Design.objects.exists()

    taken = bring(unfinished, as_draft="on")
    assert taken.url.endswith("/board/")
    assert Design.objects.get().faults()


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty"),
        (b"[" * 1000 + b"]" * 1000, "nested deeper than"),
        (b'{"a":' * 1000 + b"1" + b"}" * 1000, "nested deeper than"),
        (b"[" * 900_000, "nested deeper than"),
        (b" " * 10_000_000, "larger than"),
        (b'{"format": NaN}', "NaN is not a number"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "is not JSON"),
        (b"\x89PNG\r\n\x1a\n\x00", "is not UTF-8"),
        (b"[1, 2]", "holds one JSON object, not a list"),
        (b'{"format": "enclosure-design/2"}', "format: "),
        (b'{"name": "a", "name": "b"}', "given twice"),
    ],
)
def test_what_is_no_design_file_is_one_clear_sentence_within_a_second(bring, data, sentence):
    start = time.perf_counter()

    response = bring(data)

    assert time.perf_counter() - start < 1
    assert response.status_code == 422
    assert sentence in faults_in(response)
    assert not Design.objects.exists()


def test_sending_nothing_asks_for_a_file(bring):
    assert "Choose a design file" in faults_in(bring())


def test_a_huge_paste_is_a_sentence_too(bring):
    assert "larger than" in faults_in(bring(text="x" * 5_000_000))


def test_a_name_that_looks_like_markup_is_shown_as_text(bring, coordinating):
    bring(file_of(BALCONY, name="<script>alert(1)</script>"))

    text = coordinating.get(f"/designs/{Design.objects.get().code}/").content.decode()

    assert "<script>alert" not in text
    assert "&lt;script&gt;alert(1)" in text


def test_blanks_go_out_as_dxf_and_svg(coordinating, make_drawn):
    code = make_drawn(["##"]).code

    drawing = coordinating.get(f"/designs/{code}/blanks/1.dxf")
    picture = coordinating.get(f"/designs/{code}/blanks/1.svg")

    assert drawing.headers["Content-Type"] == "image/vnd.dxf"
    assert b"SECTION" in drawing.content
    assert b"<svg" in picture.content
    assert coordinating.get(f"/designs/{code}/blanks/9.svg").status_code == 404


def test_a_blank_goes_out_with_its_outside_up_under_a_name_that_says_so(coordinating, make_drawn):
    address = f"/designs/{make_drawn(['##']).code}/blanks/1"

    for form, said in (("dxf", b"becomes the outside."), ("svg", b"becomes the outside.")):
        usual = coordinating.get(f"{address}.{form}")
        turned = coordinating.get(f"{address}.{form}?up=outside")
        assert said in turned.content
        assert said not in usual.content
        assert turned.headers["Content-Disposition"].endswith(f'-outside-up.{form}"')
        assert "outside" not in usual.headers["Content-Disposition"]


def test_a_side_that_no_sheet_has_is_not_found(coordinating, make_drawn):
    code = make_drawn(["##"]).code

    assert coordinating.get(f"/designs/{code}/blanks/1.dxf?up=top").status_code == 404


def test_the_page_of_a_design_leads_to_both_sides_of_each_blank(coordinating, make_drawn):
    design = make_drawn(["##"])

    page = coordinating.get(f"/designs/{design.code}/").content.decode()

    for form in ("dxf", "svg"):
        address = f"/designs/{design.code}/blanks/1.{form}"
        assert f'href="{address}"' in page
        assert f'href="{address}?up=outside"' in page


def test_one_direction_of_the_flutes_on_the_sheet_of_a_design_and_in_its_files(
    coordinating, make_drawn
):
    """2 × 2 panels with 2 × 1 above: the upper tray is turned on the sheet, against its wish."""
    design = make_drawn(["##", "##"], upper=["##", ".."])
    blanks = plan_of(design.shape(), lay=as_cut).blanks.blanks
    number, blank = next((n, one) for n, one in enumerate(blanks, 1) if one.level == 1)
    page = coordinating.get(f"/designs/{design.code}/").content.decode()
    files = [
        coordinating.get(f"/designs/{design.code}/blanks/{number}.{form}").content.decode()
        for form in ("dxf", "svg")
    ]

    assert blank.cut_flute is not blank.flute
    way = f"from {'left to right' if blank.cut_flute is Flute.WIDTH else 'top to bottom'}"
    assert f"flutes {way}; " in page.replace("\xa0", " ")
    assert f"{number} {blank.name}, flutes {way}" in files[0]
    assert f"Flutes run {way}." in files[1]
