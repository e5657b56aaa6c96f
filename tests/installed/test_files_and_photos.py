"""Files out of the started server, and photos into it, kept on its disk."""

import re
from io import BytesIO

import pytest
from PIL import Image
from pypdf import PdfReader


@pytest.fixture
def photo(tmp_path):
    """A photo that names its camera and the place where it was taken."""
    exif = Image.Exif()
    exif[0x010F] = "Camera of Somebody"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)  # GPS latitude
    path = tmp_path / "photo.jpg"
    Image.new("RGB", (3000, 2000), (120, 90, 60)).save(path, exif=exif, comment=b"taken at home")
    return path


def test_a_packet_is_printed_with_its_pictures_and_letters(come_in):
    page = come_in("builder")
    page.goto("/designs/")
    page.get_by_role("link", name="Bay window").first.click()
    page.wait_for_url("**/designs/*/")

    answer = page.request.get(page.url + "packet.pdf")

    assert answer.headers["content-type"] == "application/pdf"
    read = PdfReader(BytesIO(answer.body()))
    assert len(read.pages) > 5
    assert "Bay window" in read.pages[0].extract_text()
    fonts = {font for one in read.pages for font in fonts_of(one)}
    assert any("Routed" in font for font in fonts), fonts


def fonts_of(page):
    found = page["/Resources"].get("/Font", {}).values()
    return {one.get_object()["/BaseFont"] for one in found}


def test_a_photo_of_an_animal_is_kept_on_the_disk_without_its_place(come_in, server, photo):
    page = come_in("coordinator")
    page.goto("/animals/")
    # The first animal of the list; `new/` and the like are no codes.
    links = page.locator("main a").evaluate_all("all => all.map(one => one.pathname)")
    page.goto(next(one for one in links if re.fullmatch(r"/animals/[A-Z0-9]{6}/", one)))
    page.locator("input[type=file]").wait_for(state="attached")

    page.locator("details:has(input[type=file]) summary").click()
    page.locator("input[type=file]").set_input_files(photo)
    page.locator("form:has(input[type=file]) button").click()

    shown = page.locator("img[src*='/photo/']")
    shown.wait_for()
    assert shown.evaluate("one => one.decode().then(() => one.naturalWidth)") > 100
    kept = [one for one in (server.data / "media").rglob("*") if one.is_file()]
    assert kept
    for one in kept:
        assert b"Camera of Somebody" not in one.read_bytes()
        with Image.open(one) as picture:
            assert not picture.getexif()
