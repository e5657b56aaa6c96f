"""Clients of the cast on the small rescue's day, and builds."""

from io import BytesIO

import pytest
from PIL import Image

from tests.support.builds import make_build


@pytest.fixture
def coordinating(client_of, coordinator, this_day):
    return client_of(coordinator)


@pytest.fixture
def building(client_of, builder, this_day):
    return client_of(builder)


@pytest.fixture
def text_of():
    """The page's words with plain blanks."""
    return lambda response: " ".join(response.content.decode().replace("\xa0", " ").split())


@pytest.fixture
def under_way(builder):
    """A build that is begun, with the builder of the cast on it."""
    return make_build("Nook by the door", state="building", people=[builder])


@pytest.fixture
def photo():
    """A photo as bytes that names its camera and its place."""
    picture = Image.new("RGB", (64, 48), (200, 40, 40))
    exif = Image.Exif()
    exif[0x010F] = "Camera of Somebody"
    exif.get_ifd(0x8825)[2] = (52.0, 31.0, 12.0)  # GPS latitude
    out = BytesIO()
    picture.save(out, "JPEG", exif=exif, comment=b"taken at home")
    return out.getvalue()


@pytest.fixture
def queries_for():
    """`queries_for(client, address)`: how many queries a page asks, once it was opened before."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    def count(client, address):
        assert client.get(address).status_code == 200
        with CaptureQueriesContext(connection) as queries:
            client.get(address)
        return len(queries)

    return count
