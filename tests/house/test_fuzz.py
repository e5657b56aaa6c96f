"""No request ends as a 500, and what was refused changed no row: 500 made by chance.

`python -m tests.benchmarks.fuzz` asks ten thousand and more. The seed here is one of many; what
it found is tested by name where it belongs.
"""

import re
import subprocess
import sys
from contextlib import suppress

import pytest
from django.conf import settings
from django.contrib.auth import get_user_model
from django.db import connection, transaction
from django.urls import get_resolver, resolve

from tests.support.fuzz.addresses import Slot, addresses_of
from tests.support.fuzz.asking import NOBODY, Asker
from tests.support.fuzz.databases import kept_as_it_is
from tests.support.fuzz.judge import Answered, faults_in
from tests.support.fuzz.known import Known
from tests.support.fuzz.pages import read

LOG_IN = "/log-in/"
SAMPLES = {
    "int": "7",
    "slug": "AB-12",
    "str": "ab.c",
    "uuid": "0" * 8 + "-0000-4000-8000-" + "0" * 12,
}
OF_FORMS = {"code": "AB-12", "number": "1", "form": "svg"}
A_PAGE = """
<a href="/homes/?page=2">Next</a>
<form method="post" enctype="multipart/form-data">
  <input type="hidden" name="once" value="1"><input type="file" name="photo">
  <select name="home"><option value="">-</option><option value="3" selected>Elm</option></select>
  <textarea name="note">a note</textarea>
  <button name="act" value="save">Save</button>
  <button formaction="/drop/" name="act" value="drop">Delete</button>
</form>
<form hx-post="/step/"><input type="checkbox" name="lid" value="yes"></form>
"""


@pytest.mark.spread(days=4)
@pytest.mark.browser
@pytest.mark.django_db  # its tables are what the demo is made of
def test_requests_at_random_find_no_500_and_no_row_that_a_refused_one_changed(demo_made):
    """Some of the forms by day, and all of them by night."""
    command = [sys.executable, "-m", "tests.benchmarks.fuzz", "--requests", "650", "--seed", "12"]
    command += ["--demo", demo_made.file]

    done = subprocess.run(command, cwd=settings.BASE_DIR, capture_output=True, text=True)

    assert done.returncode == 0, done.stdout + done.stderr
    # Neither stands at the door only: every address was asked, and much was taken.
    assert re.search(r"of (\d+) of \1 addresses", done.stdout), done.stdout
    wrote = re.search(r"(\d+) wrote", done.stdout)
    assert wrote, done.stdout
    assert int(wrote[1]) >= 10


# --- The judge ---


def judged(method: str, status: int, location: str = "", **written: int) -> list[str]:
    return faults_in(method, Answered(status, location, written), log_in=LOG_IN)


def test_a_500_is_a_fault():
    assert judged("GET", 500) == ["answered 500: nothing more is known"]
    assert judged("POST", 503)


@pytest.mark.parametrize("status", [400, 403, 404, 405, 409, 413, 422])
def test_a_refusal_that_changed_a_row_is_a_fault_and_names_the_table(status):
    found = judged("POST", status, habitats_home=2)

    assert found == [f"was refused with {status}, and 2 of habitats_home changed"]


@pytest.mark.parametrize("method", ["GET", "HEAD", "OPTIONS"])
def test_asking_changes_nothing(method):
    assert judged(method, 200, builds_tick=1)


def test_who_is_sent_to_log_in_has_changed_nothing():
    assert judged("POST", 302, location=f"{LOG_IN}?next=/homes/new/", habitats_home=1)


def test_a_form_that_is_refused_without_a_sentence_is_a_fault():
    silent = Answered(422, "", {}, says_why=False)

    assert faults_in("POST", silent, log_in=LOG_IN) == [
        "was refused with 422, and does not say why"
    ]


def test_what_is_in_order_is_no_fault():
    assert judged("POST", 302, location="/homes/AB12/", habitats_home=1) == []
    assert judged("POST", 422) == []
    assert judged("GET", 404) == []


def test_sessions_tries_at_logging_in_and_readings_may_be_written_always():
    assert judged("GET", 200, django_session=1, habitats_reading=12) == []
    assert judged("POST", 403, axes_accessattempt=1) == []


@pytest.mark.django_db(transaction=True)
def test_the_database_tells_what_was_written_for_good_and_nothing_else(make_person):
    connection.close()  # so that the triggers are those of a connection that is closed again
    database = kept_as_it_is()

    make_person("cora")
    assert database.written() == {"habitats_person": 1}
    assert database.written() == {}
    get_user_model().objects.update(last_name="Lind")
    get_user_model().objects.all().delete()
    assert database.written()["habitats_person"] == 2
    with suppress(ZeroDivisionError), transaction.atomic():
        make_person("cora")
        raise ZeroDivisionError
    assert database.written() == {}
    connection.close()


# --- What is asked ---


def sample(slot: Slot) -> str:
    return OF_FORMS[slot.name] if slot.kind == "form" else SAMPLES[slot.kind]


def test_every_address_of_ours_is_known_and_can_be_filled():
    known = list(addresses_of(get_resolver()))

    assert len({one.name for one in known}) == len(known)
    for address in known:
        path = address.filled({slot.name: sample(slot) for slot in address.slots})
        assert resolve(path).url_name == address.name.rpartition(":")[2]


def test_forms_are_read_with_their_fields_options_and_buttons():
    page = read(A_PAGE, "/homes/new/")

    whole, dropped, step = page.forms
    assert (whole.path, whole.method, whole.is_multipart) == ("/homes/new/", "post", True)
    assert [one.name for one in whole.fields] == ["once", "photo", "home", "note"]
    assert whole.fields[2].options == ("", "3")
    assert [one.value for one in whole.fields[2:]] == ["3", "a note"]
    assert whole.buttons == (("act", "save"),)
    assert (dropped.path, dropped.buttons) == ("/drop/", (("act", "drop"),))
    assert (step.path, step.method, step.fields[0].is_chosen) == ("/step/", "post", False)
    assert page.links == ["/homes/?page=2"]


def known_pages() -> Known:
    addresses = list(addresses_of(get_resolver()))
    known = Known(addresses, tokens={"odile": "t" * 32, NOBODY: "n" * 32})
    known.forms["new_home"] = [("odile", form) for form in read(A_PAGE, "/homes/new/").forms]
    return known


def test_the_same_seed_asks_the_same_and_another_asks_something_else():
    known = known_pages()
    first, again, other = (list(Asker(known, seed).requests(600)) for seed in ("1", "1", "2"))

    assert first == again
    assert first != other


def test_each_address_and_form_is_asked_before_any_is_asked_twice():
    known = known_pages()
    targets = len(known.addresses) + 3

    asked = list(Asker(known, "1").requests(round(targets * 1.25)))

    assert {one.name for one in asked} == {one.name for one in known.addresses}
    assert len({one.who for one in asked}) == 2
