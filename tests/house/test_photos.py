"""Photos lose all that they tell besides their pixels, and what is no photo gets a sentence."""

from io import BytesIO

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageOps

from habitats import photos
from habitats.photos import NoPhoto, rebuilt


def opened(jpeg):
    return Image.open(BytesIO(jpeg))


@pytest.mark.parametrize("form", photos.FORMATS)
def test_a_photo_keeps_no_metadata(form, photo_of):
    sent = photo_of(form)
    assert opened(sent).getexif()

    kept = rebuilt(BytesIO(sent))

    assert not opened(kept).getexif()
    assert set(opened(kept).info) <= {
        "jfif",
        "jfif_version",
        "jfif_unit",
        "jfif_density",
        "progressive",
        "progression",
    }
    assert b"Somebody" not in kept
    assert b"taken at home" not in kept


def test_a_photo_taken_on_its_side_stands_upright(photo_of):
    # Orientation 6 of the Exif standard: the camera was turned by a quarter.
    kept = rebuilt(BytesIO(photo_of(width=64, height=48, turned=6)))

    assert opened(kept).size == (48, 64)


@pytest.mark.parametrize("turned", range(1, 9))
@pytest.mark.parametrize("form", photos.FORMATS)
def test_every_orientation_is_as_pillow_itself_turns_it(form, turned):
    # Four corners of four colours, and the outside opinion: Pillow's own exif_transpose.
    picture = Image.new("RGB", (96, 64), "white")
    for place, colour in (((0, 0), "red"), ((64, 0), "blue"), ((0, 32), "green")):
        picture.paste(colour, (*place, place[0] + 32, place[1] + 32))
    exif = Image.Exif()
    exif[photos.ORIENTATION] = turned
    out = BytesIO()
    picture.save(out, form, exif=exif, **({} if form == "PNG" else {"quality": 95}))

    kept = opened(rebuilt(BytesIO(out.getvalue())))

    meant = ImageOps.exif_transpose(opened(out.getvalue())).convert("RGB")
    assert kept.size == meant.size
    middles = [(x, y) for x in range(16, kept.width, 32) for y in range(16, kept.height, 32)]
    for at in middles:
        pairs = zip(kept.getpixel(at), meant.getpixel(at), strict=True)
        assert all(abs(one - other) < 12 for one, other in pairs)


@pytest.mark.filterwarnings("ignore:Corrupt EXIF data")
def test_a_photo_whose_exif_is_broken_is_kept_as_it_lies(photo_of):
    out = BytesIO()
    Image.new("RGB", (64, 48), "tan").save(out, "JPEG", exif=b"Exif\0\0MM\0\x2a\xff\xff\xff\xff")

    assert opened(rebuilt(BytesIO(out.getvalue()))).size == (64, 48)


@pytest.mark.parametrize("size", [(3300, 2200), (2201, 4999), (6001, 301), (1601, 1600)])
def test_strips_leave_no_seam(size):
    # Outside opinion: Pillow's own shrinking of the whole.
    picture = Image.merge(
        "RGB", [Image.linear_gradient("L").resize(size).rotate(a) for a in (0, 180, 0)]
    )
    out = BytesIO()
    picture.save(out, "PNG", compress_level=1)

    kept = opened(rebuilt(BytesIO(out.getvalue())))

    picture.thumbnail((photos.LONGEST_SIDE, photos.LONGEST_SIDE))
    assert abs(kept.width - picture.width) <= 1
    assert abs(kept.height - picture.height) <= 1
    apart = ImageChops.difference(kept, picture.resize(kept.size))
    assert max(high for _low, high in apart.getextrema()) < 24


def test_grey_in_16_bits_keeps_its_shades():
    picture = Image.new("I;16", (64, 64), 0x4000)
    out = BytesIO()
    picture.save(out, "PNG")

    kept = opened(rebuilt(BytesIO(out.getvalue())))

    assert all(abs(level - 0x40) <= 1 for level in kept.getpixel((30, 30)))


def test_print_colours_become_those_of_a_screen():
    out = BytesIO()
    Image.new("CMYK", (64, 64), (0, 255, 255, 0)).save(out, "JPEG")

    red, green, blue = opened(rebuilt(BytesIO(out.getvalue()))).getpixel((30, 30))

    assert red > 200
    assert max(green, blue) < 60


def test_a_palette_with_a_see_through_colour_becomes_paper():
    picture = Image.new("P", (64, 64), 1)
    picture.putpalette([200, 0, 0, 0, 200, 0])
    out = BytesIO()
    picture.save(out, "PNG", transparency=1)

    assert opened(rebuilt(BytesIO(out.getvalue()))).getpixel((30, 30)) == (255, 255, 255)


def test_of_pictures_that_move_the_first_is_kept():
    frames = [Image.new("RGB", (64, 64), colour) for colour in ("red", "blue")]
    for form in ("PNG", "WEBP"):
        out = BytesIO()
        frames[0].save(out, form, save_all=True, append_images=frames[1:])

        red, _green, blue = opened(rebuilt(BytesIO(out.getvalue()))).getpixel((30, 30))

        assert red > 200 > blue


def test_a_photo_of_two_pictures_as_phones_make_them_is_its_first():
    out = BytesIO()
    first = Image.new("RGB", (64, 48), "red")
    first.save(out, "MPO", save_all=True, append_images=[Image.new("RGB", (32, 24), "blue")])

    assert opened(rebuilt(BytesIO(out.getvalue()))).size == (64, 48)


def test_a_strip_of_a_picture_is_refused(photo_of):
    with pytest.raises(NoPhoto, match="at most 20 times as long as wide"):
        rebuilt(BytesIO(photo_of(width=40 * 21, height=40)))


def test_a_jpeg_that_is_gone_over_too_often_is_refused(photo_of, monkeypatch):
    monkeypatch.setattr(photos, "MOST_SCANS", 3)
    out = BytesIO()
    Image.new("RGB", (64, 48)).save(out, "JPEG", progressive=True)

    with pytest.raises(NoPhoto, match="progressive"):
        rebuilt(BytesIO(out.getvalue()))


def test_a_large_photo_is_made_as_small_as_a_page_can_use(photo_of):
    kept = rebuilt(BytesIO(photo_of(width=4000, height=3000)))

    assert opened(kept).size == (photos.LONGEST_SIDE, photos.LONGEST_SIDE * 3 // 4)


def test_what_is_see_through_becomes_paper(photo_of):
    kept = opened(rebuilt(BytesIO(photo_of("PNG", mode="RGBA"))))

    red, green, _blue = kept.getpixel((10, 10))
    assert red > 200
    assert 120 < green < 180


def test_a_picture_with_too_many_pixels_is_refused_unread(photo_of, monkeypatch):
    monkeypatch.setattr(photos, "MOST_PIXELS", {"JPEG": 1000})

    with pytest.raises(NoPhoto, match="64 × 48 pixels, which is too large"):
        rebuilt(BytesIO(photo_of()))


@pytest.mark.parametrize("most", [100, 2000])
def test_pillows_own_guard_against_bombs_gets_the_same_sentence(most, photo_of, monkeypatch):
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", most)

    with pytest.raises(NoPhoto, match="Allowed: JPEG up to 80 megapixels"):
        rebuilt(BytesIO(photo_of()))


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


def test_a_picture_too_small_to_show_anything_is_refused(photo_of):
    with pytest.raises(NoPhoto, match="16 × 48 pixels"):
        rebuilt(BytesIO(photo_of(width=16)))


def test_a_gif_is_not_among_the_kinds_that_are_read():
    out = BytesIO()
    Image.new("P", (64, 64)).save(out, "GIF")

    with pytest.raises(NoPhoto, match="JPEG, PNG or WebP"):
        rebuilt(BytesIO(out.getvalue()))


@given(st.sampled_from(photos.FORMATS), st.integers(0, 10_000), st.binary(min_size=1, max_size=8))
def test_a_broken_file_is_read_or_refused_and_never_a_crash(photo_of, form, at, junk):
    sent = photo_of(form)
    at %= len(sent)
    broken = sent[:at] + junk + sent[at + len(junk) :]

    for content in (broken, sent[:at]):
        try:
            kept = rebuilt(BytesIO(content))
        except NoPhoto:
            continue
        assert opened(kept).format == "JPEG"
