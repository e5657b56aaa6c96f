"""An enclosure with an upper level in a foster's home, and what somebody may see in it."""

from io import BytesIO

import pytest
from PIL import Image

from habitats.structure.lattice import Side
from tests.support.designs import ramp_from

GROUND = ("######", "######")
UPPER = ("....##", "....##")


@pytest.fixture
def loft(make_home, make_enclosure, foster):
    """Two levels with a ramp between them, in the foster's home."""
    home = make_home("Wren", area="Ferry Road", people=[foster])
    ramp = ramp_from(1, 4, Side.W)
    return make_enclosure("Loft", home, plan=GROUND, upper=UPPER, ramps=(ramp,))


@pytest.fixture
def coordinating(client_of, coordinator, this_day):
    return client_of(coordinator)


@pytest.fixture
def fostering(client_of, foster, this_day):
    return client_of(foster)


@pytest.fixture
def building(client_of, builder, this_day):
    return client_of(builder)


@pytest.fixture
def text_of():
    """The page's words with plain blanks."""
    return lambda response: " ".join(response.content.decode().replace("\xa0", " ").split())


@pytest.fixture
def report(foster, day):
    """`report(loft, urgency="unsafe")`: a fault seen yesterday."""
    from habitats.faults.models import faults

    def make(enclosure, kind="tie", urgency="soon", **facts):
        facts = {"on": day(-1), "by": foster, **facts}
        return faults.report(enclosure, kind, urgency, **facts)

    return make


@pytest.fixture
def photo():
    """A photo as bytes that names its camera and its place."""
    picture = Image.new("RGB", (320, 240), (200, 40, 40))
    exif = Image.Exif()
    exif[0x010F] = "Camera of Somebody"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)  # GPS latitude
    out = BytesIO()
    picture.save(out, "JPEG", exif=exif)
    return out.getvalue()


@pytest.fixture
def media(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    return tmp_path
