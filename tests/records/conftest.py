"""Files to hand in, and pages to hand them to."""

import csv
from io import StringIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from habitats.csv_cells import BYTE_ORDER_MARK

ANIMALS = "own_id,name,species,sex,born,came_on,mother\n"


@pytest.fixture
def hand_in(client_of, coordinator, this_day):
    """`hand_in("homes", "name\\nWren")`: the answer to the file, bytes or text."""
    client = client_of(coordinator)

    def make(kind, content, **more):
        data = content if isinstance(content, bytes) else content.encode()
        file = SimpleUploadedFile("list.csv", data, content_type="text/csv")
        return client.post(reverse("import_csv"), {"kind": kind, "file": file, **more})

    make.client = client
    return make


@pytest.fixture
def dry_run(hand_in):
    """`dry_run("homes", text)`: the page that says what it would do."""

    def look(kind, content):
        sent = hand_in(kind, content)
        assert sent.status_code == 302, errors_of(sent)
        return hand_in.client.get(sent.url)

    look.client = hand_in.client
    return look


@pytest.fixture
def take_in(hand_in):
    """`take_in("homes", text, how="skip")`: the file handed in and decided on; its last page."""

    def take(kind, content, how="whole"):
        sent = hand_in(kind, content)
        assert sent.status_code == 302, errors_of(sent)
        answer = hand_in.client.post(sent.url, {"how": how})
        return hand_in.client.get(answer.url) if answer.status_code == 302 else answer

    take.client = hand_in.client
    return take


def errors_of(response):
    return response.context["form"].errors


@pytest.fixture
def rows_of():
    """The rows of a CSV file that was sent, as dictionaries."""

    def read(response):
        text = b"".join(response.streaming_content).decode().removeprefix(BYTE_ORDER_MARK)
        return list(csv.DictReader(StringIO(text, newline="")))

    return read


@pytest.fixture
def a_design(make_enclosure):
    """The design of an enclosure that stands already."""
    return make_enclosure("Old").revision.design


@pytest.fixture
def files(a_design, make_animal, make_home, make_pool, make_kind):
    """A sound file of each kind."""
    make_animal("Kept", own_id="K1", born=None)
    make_pool("Depot", make_home("Ash", own_id="H9"))
    make_kind("Fleece")
    make_home("Teal", own_id="H8")
    return {
        "homes": "own_id,name,area,phone\nH1,Wren,Larkrise,01632 960001\n,Tern,,\n",
        "contacts": "home,full_name,phone\nH8,Teal Nobody,01632 960002\nH9,,01632 960003\n",
        "enclosures": "own_id,label,design,state,since,home\n"
        f"E1,North wall,{a_design.code},standing,2027-02-01,H9\n"
        f",South wall,{a_design.code},planned,2027-02-01,\n",
        "animals": f"{ANIMALS}A1,Pip,guinea pig,F,2026-01-01,2026-02-01,\n"
        ",Moss,rabbit,,,2026-02-01,\n",
        "people": "log_in,first_name,role,home,language\nwren,Wren,foster,H8,de\n"
        "tern@example.org,Tern,builder,,\n",
        "linens": "own_id,pool,kind,width_mm,length_mm,number,washed\n"
        "L1,Depot,Fleece,700,1400,12,yes\n,Depot,Fleece,1400,700,2,no\n",
        "items": "name,kind,panel_mm,panel_squares,place,on_hand\nWhite panel,panel,355,9,Rack,48\n"
        "Cable tie,tie,,,,\n",
        "weights": "animal,day,grams\nK1,2027-01-05,800\nK1,2027-01-12,812\n",
    }
