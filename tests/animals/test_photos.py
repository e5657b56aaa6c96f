"""Photos lose all that they tell besides their pixels, and what is no photo gets a sentence."""

from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from habitats import photos
from habitats.photos import NoPhoto, rebuilt


def opened(jpeg):
    return Image.open(BytesIO(jpeg))


@pytest.mark.parametrize("form", photos.FORMATS)
def test_a_photo_keeps_no_metadata(form, photo):
    sent = photo(form)
    assert opened(sent).getexif()

    kept = rebuilt(BytesIO(sent))

    assert not opened(kept).getexif()
    assert set(opened(kept).info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density",
                                      "progressive", "progression"}  # fmt: skip
    assert b"Somebody" not in kept
    assert b"taken at home" not in kept


def test_a_photo_taken_on_its_side_stands_upright(photo):
    # Orientation 6 of the Exif standard: the camera was turned by a quarter.
    kept = rebuilt(BytesIO(photo(width=64, height=48, turned=6)))

    assert opened(kept).size == (48, 64)


def test_a_large_photo_is_made_as_small_as_a_page_can_use(photo):
    kept = rebuilt(BytesIO(photo(width=4000, height=3000)))

    assert opened(kept).size == (photos.LONGEST_SIDE, photos.LONGEST_SIDE * 3 // 4)


def test_what_is_see_through_becomes_paper(photo):
    kept = opened(rebuilt(BytesIO(photo("PNG", mode="RGBA"))))

    red, green, _blue = kept.getpixel((10, 10))
    assert red > 200
    assert 120 < green < 180


def test_a_picture_with_too_many_pixels_is_refused_unread(photo, monkeypatch):
    monkeypatch.setattr(photos, "MOST_PIXELS", 1000)

    with pytest.raises(NoPhoto, match="million pixels"):
        rebuilt(BytesIO(photo()))


@pytest.mark.parametrize("most", [100, 2000])
def test_pillows_own_guard_against_bombs_gets_the_same_sentence(most, photo, monkeypatch):
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", most)

    with pytest.raises(NoPhoto, match="million pixels"):
        rebuilt(BytesIO(photo()))


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        (b"", "empty"),
        (b"%PDF-1.7 no picture at all", "JPEG, PNG or WebP"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "JPEG, PNG or WebP"),
        (b"\0" * (photos.MOST_BYTES + 1), "larger than 15 MB"),
    ],
)
def test_what_is_no_photo_is_refused_with_a_sentence(sent, sentence):
    with pytest.raises(NoPhoto, match=sentence):
        rebuilt(BytesIO(sent))


def test_a_picture_too_small_to_show_anything_is_refused(photo):
    with pytest.raises(NoPhoto, match="16 × 48 pixels"):
        rebuilt(BytesIO(photo(width=16)))


def test_a_gif_is_not_among_the_kinds_that_are_read():
    out = BytesIO()
    Image.new("P", (64, 64)).save(out, "GIF")

    with pytest.raises(NoPhoto, match="JPEG, PNG or WebP"):
        rebuilt(BytesIO(out.getvalue()))


@given(st.sampled_from(photos.FORMATS), st.integers(0, 10_000), st.binary(min_size=1, max_size=8))
def test_a_broken_file_is_read_or_refused_and_never_a_crash(photo, form, at, junk):
    sent = photo(form)
    at %= len(sent)
    broken = sent[:at] + junk + sent[at + len(junk) :]

    for content in (broken, sent[:at]):
        try:
            kept = rebuilt(BytesIO(content))
        except NoPhoto:
            continue
        assert opened(kept).format == "JPEG"
