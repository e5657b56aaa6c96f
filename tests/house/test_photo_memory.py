"""What is taken adds at most 200 MB of memory, whatever the file says of itself.

Each file is read by a process of its own, and its peak of resident memory is what Linux says
(`VmHWM`, proc(5)), less what it was after a small photo.
"""

import subprocess
import sys
from io import BytesIO
from math import isqrt

import pytest
from django.conf import settings
from PIL import Image

from habitats import photos
from tests.support.pictures import GREY, PALETTE, RGB_ALPHA, blank_png

MOST_MB = 200
MEASURE = """
import sys
from io import BytesIO
from PIL import Image
from habitats.photos import NoPhoto, rebuilt

def peak_kb():
    return next(int(line.split()[1]) for line in open("/proc/self/status") if "VmHWM" in line)

for form in ("JPEG", "PNG", "WEBP"):
    small = BytesIO()
    Image.new("RGB", (64, 64)).save(small, form)
    rebuilt(BytesIO(small.getvalue()))
before = peak_kb()
with open(sys.argv[1], "rb") as sent:
    try:
        said = f"kept {len(rebuilt(sent))}"
    except NoPhoto as fault:
        said = str(fault)
print((peak_kb() - before) // 1024)
print(said)
"""


@pytest.fixture
def read(tmp_path):
    """`read(content)`: by how many megabytes the peak grew, and what was said."""

    def read(content):
        (tmp_path / "sent").write_bytes(content)
        command = [sys.executable, "-c", MEASURE, tmp_path / "sent"]
        found = subprocess.run(
            command, cwd=settings.BASE_DIR, capture_output=True, text=True, check=True, timeout=60
        )
        megabytes, said = found.stdout.splitlines()
        return int(megabytes), said

    return read


def side_of(form):
    """Of the largest square that is taken."""
    return isqrt(photos.MOST_PIXELS[form])


def saved(form, side, mode="RGB", **options):
    out = BytesIO()
    Image.linear_gradient("L").resize((side, side)).convert(mode).save(out, form, **options)
    return out.getvalue()


def moving_webp():
    side = side_of("WEBP")
    one = Image.linear_gradient("L").resize((side, side)).convert("RGBA")
    out = BytesIO()
    one.save(out, "WEBP", save_all=True, append_images=[one.rotate(90)], method=0, quality=30)
    return out.getvalue()


LARGEST = {
    "PNG, RGBA": lambda: blank_png(side_of("PNG"), RGB_ALPHA),
    "PNG, interlaced": lambda: blank_png(side_of("PNG"), RGB_ALPHA, 16, is_interlaced=True),
    "PNG, palette": lambda: blank_png(side_of("PNG"), PALETTE),
    "PNG, grey in 16 bits": lambda: blank_png(side_of("PNG"), GREY, 16),
    "WebP, lossless": lambda: saved("WEBP", side_of("WEBP"), "RGBA", lossless=True, method=0),
    "WebP that moves": moving_webp,
    "JPEG": lambda: saved("JPEG", side_of("JPEG"), "L"),
    "JPEG, four colours of print": lambda: saved("JPEG", side_of("JPEG") // 2, "CMYK"),
    "JPEG, progressive": lambda: saved("JPEG", 4600, progressive=True, subsampling=0),
}


@pytest.mark.spread(days=3)
@pytest.mark.parametrize("name", LARGEST)
def test_the_largest_photo_that_is_taken_adds_at_most_200_mb(name, read):
    megabytes, said = read(LARGEST[name]())

    assert said.startswith("kept")
    assert megabytes <= MOST_MB


def refused_sizes():
    return {
        # A picture of a third of a megabyte that took a gigabyte and ten seconds.
        "PNG": blank_png(8888, RGB_ALPHA),
        "PNG, one pixel too wide": blank_png(side_of("PNG") + 1, GREY, 1),
        "WebP": saved("WEBP", side_of("WEBP") + 1, "L", quality=0, method=0),
        "JPEG": saved("JPEG", side_of("JPEG") + 1, "L", quality=10),
        "JPEG, progressive": saved("JPEG", 8900, "L", progressive=True, quality=10),
    }


def test_what_is_larger_is_refused_before_it_is_decoded(read):
    for name, content in refused_sizes().items():
        megabytes, said = read(content)

        assert "too large" in said, name
        assert megabytes <= 20, name
