"""Photos that say too much: each names its camera, and the place where it was taken."""

from collections.abc import Callable
from io import BytesIO

import pytest
from PIL import Image


@pytest.fixture
def photo_of() -> Callable[..., bytes]:
    """`photo_of("PNG", width=64, height=48)`: such a photo as bytes; `turned` as EXIF has it."""

    def make(form="JPEG", width=64, height=48, turned=1, mode="RGB") -> bytes:
        picture = Image.new(mode, (width, height), (200, 40, 40, 128)[: len(mode)])
        exif = Image.Exif()
        exif[0x010F] = "Camera of Somebody"
        exif[0x0112] = turned
        exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)  # GPS latitude
        out = BytesIO()
        more = {"comment": b"taken at home"} if form == "JPEG" else {}
        picture.save(out, form, exif=exif, **more)
        return out.getvalue()

    return make


@pytest.fixture
def photo(photo_of) -> bytes:
    return photo_of()
