"""One photo at a time over threads and processes, and nobody waits for ever."""

import subprocess
import sys
import threading
import time
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from habitats.common import photo_queue
from habitats.common.photo_queue import PhotosWaiting, taken_in

HOLD = """
import fcntl, sys, time
held = open(sys.argv[1], "a")
fcntl.flock(held, fcntl.LOCK_EX)
print("held", flush=True)
time.sleep(60)
"""


@pytest.fixture(autouse=True)
def data_folder(settings, tmp_path):
    settings.DATA_DIR = tmp_path
    return tmp_path


@pytest.fixture
def busy(data_folder, monkeypatch):
    """Another process of the server is at a photo; ended at the end, or by the test."""
    monkeypatch.setattr(photo_queue, "PATIENCE_SECONDS", 0.2)
    command = [sys.executable, "-c", HOLD, data_folder / photo_queue.LOCK_NAME]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout.readline() == "held\n"
        yield other
        other.kill()


def test_threads_take_turns(monkeypatch):
    at_work, most = [], []

    def slow(sent):
        at_work.append(sent)
        most.append(len(at_work))
        time.sleep(0.05)
        at_work.remove(sent)
        return b"made"

    monkeypatch.setattr(photo_queue, "rebuilt", slow)
    threads = [threading.Thread(target=taken_in, args=(BytesIO(),)) for _ in range(6)]
    for one in threads:
        one.start()
    for one in threads:
        one.join()

    assert most == [1] * 6


def test_who_waits_too_long_for_another_process_is_told_to_come_again(busy, photo_of):
    with pytest.raises(PhotosWaiting, match="again in a minute"):
        taken_in(BytesIO(photo_of()))


def test_a_process_that_is_killed_leaves_its_turn(busy, photo_of):
    busy.kill()
    busy.wait()

    assert taken_in(BytesIO(photo_of()))


def test_a_photo_that_fails_leaves_its_turn(photo_of):
    with pytest.raises(photo_queue.NoPhoto, match="empty"):
        taken_in(BytesIO())

    assert taken_in(BytesIO(photo_of()))


def test_a_page_says_so_beside_the_field(busy, photo_of, client_of, coordinator, make_animal):
    pip = make_animal("Pip")
    sent = {"photo": SimpleUploadedFile("pip.jpg", photo_of(), "image/jpeg")}

    response = client_of(coordinator).post(reverse("keep_photo", args=[pip.code]), sent)

    assert response.status_code == 422
    assert "Send this one again in a minute" in response.text


def test_the_limit_is_told_beside_the_field(client_of, coordinator, make_animal):
    page = client_of(coordinator).get(reverse("animal", args=[make_animal("Pip").code]))

    assert "Up to 15 MB. JPEG up to 80 megapixels, PNG up to 30, WebP up to 8." in page.text
