"""Photos rebuilt: what comes out is pixels alone.

A photo from a phone says where and when it was taken, and by which camera. So none is kept as it
came: it is opened, made no larger than a page can use, turned upright, copied pixel by pixel into
a new picture, and written as JPEG.

No file may take more than 200 MB of memory, and a small file can say that it is a huge picture.
A JPEG is made smaller while it is decoded; a PNG has to be there once as a whole, and a WebP four
times, so these may have fewer pixels. What was decoded is made smaller strip by strip.
Pages call ``photo_queue.taken_in``, which does so for one photo at a time.
"""

from io import BytesIO
from typing import BinaryIO

from PIL import Image, PngImagePlugin

from habitats.jpeg_scans import scans_of
from habitats.wording import message

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 15 * 1024**2
MILLION = 10**6
# Phones make 50 million pixels and more, as JPEG. Four bytes a pixel are held of a PNG, 17 to 21
# of a WebP; measured, see tests/house/test_photo_memory.py.
MOST_PIXELS = {"JPEG": 80 * MILLION, "PNG": 30 * MILLION, "WEBP": 8 * MILLION}
LIMITS = message("JPEG up to 80 megapixels, PNG up to 30, WebP up to 8; at most 15 MB.")
# Of a JPEG that is held whole, and how often it may be gone over: encoders make a dozen scans.
MOST_HELD = 128 * 1024**2
MOST_SCANS = 100
LEAST_SIDE = 32
# A panorama is ten times as wide as it is high.
MOST_TIMES_AS_LONG = 20
LONGEST_SIDE = 1600
STRIP_PIXELS = MILLION
QUALITY = 85
PAPER = (255, 255, 255)

# Pillow itself refuses twice as many before it reads a single one.
Image.MAX_IMAGE_PIXELS = max(MOST_PIXELS.values())
# Words in a PNG are thrown away, and need not be unpacked to 64 MB before.
PngImagePlugin.MAX_TEXT_MEMORY = 4 * PngImagePlugin.MAX_TEXT_CHUNK

# How a picture is turned upright, by the orientation that Exif says (CIPA DC-008, tag 0x0112).
ORIENTATION = 0x0112
UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


class NoPhoto(ValueError):
    """What was sent cannot be kept as a photo; ``str()`` of it is the sentence for people."""


def rebuilt(sent: BinaryIO) -> bytes:
    """The photo as JPEG, upright, its longer side at most ``LONGEST_SIDE``, and no metadata.

    Raises ``NoPhoto`` for what is too large, too small, broken, or no picture that we know.
    """
    content = sent.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        most = MOST_BYTES // 1024**2
        raise NoPhoto(
            message("The file is larger than %(most)d MB. Send a smaller photo.", most=most)
        )
    if not content:
        raise NoPhoto(message("The file is empty. Choose a photo."))
    return _written(_pixels(content))


def _pixels(content: bytes) -> Image.Image:
    try:
        with Image.open(BytesIO(content), formats=FORMATS) as picture:
            kind = picture.format if picture.format in MOST_PIXELS else "JPEG"
            _refuse_odd_sizes(picture.size, MOST_PIXELS[kind])
            if kind == "JPEG":
                _refuse_large_scans(content)
                # Read at a half, a quarter or an eighth, which saves memory.
                picture.draft("RGB", _fitting(picture.size))
            picture.load()
            small, turn = _shrunk(picture), UPRIGHT.get(_orientation(picture))
            return small if turn is None else small.transpose(turn)
    except NoPhoto:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise NoPhoto(
            message(
                "The picture has more than %(most)d pixels. Allowed: %(limits)s",
                most=Image.MAX_IMAGE_PIXELS,
                limits=LIMITS,
            )
        ) from None
    # What a broken file makes Pillow raise depends on where it is broken.
    except Exception:
        raise NoPhoto(
            message("This file cannot be read as a photo. Send a JPEG, PNG or WebP picture.")
        ) from None


def _refuse_odd_sizes(size: tuple[int, int], most: int) -> None:
    width, height = size
    if width * height > most:
        raise NoPhoto(
            message(
                "The picture has %(width)d × %(height)d pixels, which is too large. "
                "Allowed: %(limits)s",
                width=width,
                height=height,
                limits=LIMITS,
            )
        )
    if min(size) < LEAST_SIDE:
        raise NoPhoto(
            message(
                "The picture is %(width)d × %(height)d pixels. "
                "Send one with at least %(least)d on each side.",
                width=width,
                height=height,
                least=LEAST_SIDE,
            )
        )
    if max(size) > MOST_TIMES_AS_LONG * min(size):
        raise NoPhoto(
            message(
                "The picture is %(width)d × %(height)d pixels. "
                "Send one that is at most %(times)d times as long as wide.",
                width=width,
                height=height,
                times=MOST_TIMES_AS_LONG,
            )
        )


def _refuse_large_scans(jpeg: bytes) -> None:
    """Raises ``NoScans``, too."""
    scans = scans_of(jpeg)
    if scans.held > MOST_HELD or scans.passes > MOST_SCANS:
        raise NoPhoto(
            message(
                "This JPEG is progressive and too large for that. "
                "Save it as a baseline JPEG, or make it smaller."
            )
        )


def _fitting(size: tuple[int, int]) -> tuple[int, int]:
    """The size it will have."""
    longest = max(*size, LONGEST_SIDE)
    width, height = (max(1, side * LONGEST_SIDE // longest) for side in size)
    return width, height


def _orientation(picture: Image.Image) -> int:
    """As Exif says; 1, upright, where that is broken: the pixels are worth keeping all the same."""
    try:
        return int(picture.getexif().get(ORIENTATION, 1))
    except Exception:
        return 1


def _shrunk(picture: Image.Image) -> Image.Image:
    """On white where it is see-through, in a picture that knows nothing else.

    By a whole number first, strip by strip, so that it is never there as a whole a second time.
    """
    width, height = picture.size
    times = max(1, max(picture.size) // LONGEST_SIDE)
    small = Image.new("RGB", (-(-width // times), -(-height // times)), PAPER)
    rows = max(1, STRIP_PIXELS // (width * times)) * times
    for top in range(0, height, rows):
        strip = picture.crop((0, top, width, min(top + rows, height)))
        small.paste(_on_paper(strip).reduce(times), (0, top // times))
    small.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    return small


def _on_paper(strip: Image.Image) -> Image.Image:
    if strip.mode.startswith("I"):  # grey in 16 bits, of which 8 are shown
        strip = strip.convert("I").point(lambda value: value * (1 / 256)).convert("L")
    if not strip.has_transparency_data:
        return strip.convert("RGB")
    layers = strip.convert("RGBA")
    made = Image.new("RGB", layers.size, PAPER)
    made.paste(layers, mask=layers.getchannel("A"))
    return made


def _written(picture: Image.Image) -> bytes:
    out = BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return out.getvalue()
