"""Clients of the cast on a fixed day, and photos that say too much."""

from io import BytesIO

import pytest
from PIL import Image


@pytest.fixture
def coordinating(client_of, coordinator, this_day):
    return client_of(coordinator)


@pytest.fixture
def fostering(client_of, foster, this_day):
    return client_of(foster)


@pytest.fixture
def text_of():
    """The page's words with plain blanks."""
    return lambda response: " ".join(response.content.decode().replace("\xa0", " ").split())


@pytest.fixture
def lives(make_animal, make_group, make_enclosure, make_home):
    """`lives("Pip", home=home, sex="M")`: an animal, its group and its enclosure in a home."""

    def make(*names, home=None, species="guinea_pig", plan=("####", "####"), **facts):
        home = home or make_home()
        animals = [make_animal(name, species=species, **facts) for name in names]
        enclosure = make_enclosure(f"Of {names[0]}", home, plan=plan)
        group = make_group(*animals, enclosure=enclosure, species=species)
        return group, animals, enclosure

    return make


@pytest.fixture
def choose_rules():
    """`choose_rules(guinea_pig_rules="ch-tschv")`: what the rescue answers to."""
    from habitats.rescue.models.rescue import Rescue

    def choose(**chosen):
        rescue = Rescue.ours()
        for name, value in chosen.items():
            setattr(rescue, name, value)
        rescue.save()
        return rescue

    return choose


@pytest.fixture
def photo():
    """`photo(width=64, height=48)`: a photo as bytes that names its camera and its place."""

    def make(form="JPEG", width=64, height=48, turned=1, mode="RGB"):
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
