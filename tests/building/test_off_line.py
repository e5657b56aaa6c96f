"""The service worker, the manifest and the page that stands in for others.

The manifest is checked against the W3C's Web Application Manifest (members, icons, purposes);
that a browser installs it is checked in test_phone.py.
"""

import json
import re

import pytest
from django.contrib.staticfiles import finders
from django.templatetags.static import static
from django.urls import reverse
from PIL import Image

from builds.building.views import off_line

pytestmark = pytest.mark.django_db


@pytest.fixture
def stranger(client_of):
    return client_of(None)


def stored_plan(response):
    found = re.match(r"self\.plan = ({.*?});\nimportScripts", response.content.decode(), re.S)
    return json.loads(found[1])


def test_the_worker_stands_at_the_root_and_is_asked_for_anew_each_time(stranger):
    response = stranger.get("/service-worker.js")

    assert response["Content-Type"].startswith("text/javascript")
    assert "no-cache" in response["Cache-Control"]


def test_every_file_that_the_worker_stores_exists(stranger):
    plan = stored_plan(stranger.get("/service-worker.js"))

    names = [name.removeprefix(static("")) for name in plan["files"]]
    assert all(finders.find(name) for name in [*names, *off_line.WORKER])
    assert all(stranger.get(address).status_code == 200 for address in plan["words"])


def test_the_words_of_a_stored_pages_scripts_are_stored(building, stranger):
    text = building.get(reverse("builds:unsent")).content.decode()

    asked = re.findall(r'src="(/words/[^"]+)"', text)
    assert asked
    assert set(asked) <= set(stored_plan(stranger.get("/service-worker.js"))["words"])


def test_every_file_that_a_page_of_a_build_asks_for_is_stored(building, stranger):
    from tests.support.builds import make_build, steps_of

    build = make_build(state="building")
    stored = set(stored_plan(stranger.get("/service-worker.js"))["files"])
    for page in (
        reverse("builds:build", args=[build.code]),
        reverse("builds:build_step", args=[build.code, steps_of(build)[0].key]),
        reverse("builds:note_build", args=[build.code]),
        reverse("builds:pull_build", args=[build.code]),
        reverse("builds:build_packet", args=[build.code]),
        reverse("builds:inspect_build", args=[build.code]),
        reverse("builds:no_signal"),
        reverse("builds:unsent"),
    ):
        text = building.get(page).content.decode()
        asked = re.findall(r'(?:src|href)="(/static/[^"]+\.(?:js|css))"', text)
        assert set(asked) <= stored


def test_every_file_that_a_page_of_weighing_or_of_linens_asks_for_is_stored(
    client_of, coordinator, make_home, make_enclosure, make_animal, make_group, this_day, stranger
):
    enclosure = make_enclosure("Nook", make_home())
    pip = make_animal("Pip")
    make_group(pip, enclosure=enclosure)
    stored = set(stored_plan(stranger.get("/service-worker.js"))["files"])
    client = client_of(coordinator)
    for page in (
        reverse("weigh"),
        reverse("weigh_animal", args=[pip.code]),
        reverse("changes"),
        reverse("change_linens", args=[enclosure.code]),
    ):
        text = client.get(page).content.decode()
        asked = re.findall(r'(?:src|href)="(/static/[^"]+\.(?:js|css))"', text)
        assert set(asked) <= stored, page


def test_another_version_of_any_static_file_makes_another_worker(stranger, monkeypatch):
    before = stranger.get("/service-worker.js").content
    monkeypatch.setattr(off_line.staticfiles_storage, "manifest_hash", "5ca1ab1e", raising=False)

    assert b"5ca1ab1e" in stranger.get("/service-worker.js").content != before


def test_the_manifest_names_icons_of_the_sizes_that_they_have(stranger):
    response = stranger.get(reverse("builds:manifest"))

    said = response.json()
    assert response["Content-Type"] == "application/manifest+json"
    assert {"name", "short_name", "start_url", "display", "icons"} <= set(said)
    assert {icon["purpose"] for icon in said["icons"]} == {"any", "maskable"}
    for icon in said["icons"]:
        with Image.open(finders.find(icon["src"].removeprefix(static("")))) as picture:
            assert f"{picture.width}x{picture.height}" == icon["sizes"]


def test_the_page_that_is_stored_for_all_names_nobody(building, stranger):
    address = reverse("builds:no_signal")

    assert "Bertil" not in stranger.get(address).content.decode()


def test_a_page_of_a_build_says_where_nothing_can_be_kept(building):
    from tests.support.builds import make_build

    text = building.get(reverse("builds:build", args=[make_build().code])).content.decode()

    assert "not opened over HTTPS" in text
    assert "Without scripts, this page works while you are online." in text
