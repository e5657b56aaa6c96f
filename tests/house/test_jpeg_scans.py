"""How much of a JPEG is held at once, by the markers of ITU-T T.81 (annex B)."""

from io import BytesIO

import pytest
from PIL import Image

from habitats.jpeg_scans import NoScans, Scans, scans_of


def jpeg(width=160, height=80, **options):
    out = BytesIO()
    Image.new("RGB", (width, height), "tan").save(out, "JPEG", **options)
    return out.getvalue()


def segment(marker, *body):
    return bytes([0xFF, marker]) + (len(body) + 2).to_bytes(2, "big") + bytes(body)


def test_a_picture_of_one_scan_is_not_held():
    assert scans_of(jpeg()) == Scans(held=0, passes=1)


def test_a_progressive_one_is_held_with_two_bytes_a_sample():
    # 4:2:0: 160 by 80 samples of grey, and of both colours 80 by 40. (T.81, A.1.1)
    found = scans_of(jpeg(progressive=True, subsampling="4:2:0"))

    assert found.held == 2 * (160 * 80 + 2 * 80 * 40)
    assert 2 < found.passes < 20


def test_one_that_comes_colour_by_colour_is_held_too():
    # Baseline frame, three components, of which the first scan has one. (T.81, B.2.2 and B.2.3)
    frame = segment(0xC0, 8, 0, 80, 0, 160, 3, 1, 0x11, 0, 2, 0x11, 0, 3, 0x11, 0)
    scan = segment(0xDA, 1, 1, 0, 0, 63, 0)

    assert scans_of(b"\xff\xd8" + frame + scan * 3) == Scans(2 * 3 * 160 * 80, 3)


@pytest.mark.parametrize(
    "broken",
    [
        b"\xff\xd8",
        b"\xff\xd8\xff\xc0\x00",
        b"\xff\xd8\xff\xc0\x00\x01",
        b"\xff\xd8garbage",
        b"\xff\xd8" + segment(0xDA, 1, 1, 0),
        b"\xff\xd8" + segment(0xC0, 8, 0, 80, 0, 160, 3, 1, 0x11),
        b"\xff\xd8" + segment(0xC0, 8, 0, 80, 0, 160, 1, 1, 0x00, 0) + segment(0xDA, 1),
        b"\xff\xd8" + segment(0xC3, 8, 0, 80, 0, 160, 1, 1, 0x11, 0) + segment(0xDA, 1),
        b"\xff\xd8" + b"\xff" * 1000,
    ],
)
def test_markers_that_cannot_be_followed_are_a_fault(broken):
    with pytest.raises(NoScans):
        scans_of(broken)
