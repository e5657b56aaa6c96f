"""Photos made anew: what comes out is pixels alone.

A photo from a phone says where and when it was taken, and by which camera. So none is kept as it
came: it is opened, turned upright, made no larger than a page can use, copied pixel by pixel into
a new picture, and written as JPEG.
"""

from io import BytesIO
from typing import BinaryIO

from PIL import Image, ImageOps

FORMATS = ("JPEG", "PNG", "WEBP")
MOST_BYTES = 15 * 1024 * 1024
# Phones make 50 million pixels and more; a picture made to fill the memory has thousands.
MOST_PIXELS = 80_000_000
LEAST_SIDE = 32
LONGEST_SIDE = 1600
QUALITY = 85
PAPER = (255, 255, 255)

# Pillow itself refuses twice as many before it reads a single one.
Image.MAX_IMAGE_PIXELS = MOST_PIXELS


class NoPhoto(ValueError):
    """What was sent cannot be kept as a photo; ``str()`` of it is the sentence for people."""


def rebuilt(sent: BinaryIO) -> bytes:
    """The photo as JPEG, upright, its longer side at most ``LONGEST_SIDE``, and no metadata.

    Raises ``NoPhoto`` for what is too large, too small, broken, or no picture that we know.
    """
    content = sent.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise NoPhoto(f"The file is larger than {MOST_BYTES // 1024**2} MB. Send a smaller photo.")
    if not content:
        raise NoPhoto("The file is empty. Choose a photo.")
    return _written(_pixels(content))


def _pixels(content: bytes) -> Image.Image:
    try:
        with Image.open(BytesIO(content), formats=FORMATS) as picture:
            _refuse_odd_sizes(picture.size)
            # A JPEG can be read at a fraction of its size, which saves memory.
            picture.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
            return _copied(picture)
    except NoPhoto:
        raise
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise NoPhoto(_too_many()) from None
    # What a broken file makes Pillow raise depends on where it is broken.
    except Exception:
        raise NoPhoto(
            "This is no photo that can be read. Send a JPEG, PNG or WebP picture."
        ) from None


def _refuse_odd_sizes(size: tuple[int, int]) -> None:
    width, height = size
    if width * height > MOST_PIXELS:
        raise NoPhoto(_too_many())
    if min(size) < LEAST_SIDE:
        raise NoPhoto(
            f"The picture is {width} × {height} pixels. "
            f"Send one with at least {LEAST_SIDE} on each side."
        )


def _too_many() -> str:
    return f"The picture has more than {MOST_PIXELS // 10**6} million pixels. Send a smaller one."


def _copied(picture: Image.Image) -> Image.Image:
    """Upright, shrunk, on white where it is see-through, in a picture that knows nothing else."""
    upright = ImageOps.exif_transpose(picture)
    upright.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    layers = upright.convert("RGBA")
    made = Image.new("RGB", layers.size, PAPER)
    made.paste(layers, mask=layers.getchannel("A"))
    return made


def _written(picture: Image.Image) -> bytes:
    out = BytesIO()
    picture.save(out, "JPEG", quality=QUALITY, optimize=True, progressive=True)
    return out.getvalue()
