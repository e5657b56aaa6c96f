"""Imports by their pages: looked at first, then all or nothing, or without the faulty rows."""

import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from builds.store.models.items import Item
from builds.store.models.stock import Movement
from habitats.animals.models.animals import Animal, Weighing
from habitats.enclosures.models.enclosures import Enclosure
from habitats.homes.models.homes import Home, HomeContact
from habitats.imports import KINDS
from habitats.linens.models.linens import Linen, LinenEvent
from habitats.people.models.people import Person
from habitats.readings.models.readings import Reading
from habitats.records.models.import_files import ImportFile

pytestmark = pytest.mark.django_db

COUNTED = (
    Home,
    HomeContact,
    Person,
    Animal,
    Weighing,
    Enclosure,
    Linen,
    LinenEvent,
    Item,
    Movement,
    ImportFile,
)


def remembered():
    return [model.objects.count() for model in COUNTED]


def page_of(response):
    return " ".join(response.content.decode().split())


@pytest.mark.parametrize("kind", KINDS)
def test_a_dry_run_counts_and_writes_nothing(kind, files, dry_run):
    before = remembered()

    page = dry_run(kind, files[kind])

    assert (len(page.context["plan"].new), page.context["plan"].known) == (2, 0)
    assert "Import all 2" in page_of(page)
    assert remembered()[:-1] == before[:-1]


@pytest.mark.parametrize("kind", KINDS)
def test_a_file_that_comes_again_changes_nothing(kind, files, take_in, dry_run):
    take_in(kind, files[kind])
    before = remembered()

    again = dry_run(kind, files[kind])

    assert (len(again.context["plan"].new), again.context["plan"].known) == (0, 2)
    assert "There is nothing to import" in page_of(again)
    assert remembered()[:-1] == before[:-1]


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_confirmed_twice_happens_once(kind, files, hand_in):
    address = hand_in(kind, files[kind]).url
    hand_in.client.post(address, {"how": "whole"})
    before = remembered()

    again = hand_in.client.post(address, {"how": "whole"})

    assert "Imported on" in page_of(again)
    assert remembered() == before


# --- All or nothing, or without the faulty rows ---

HALF = "name,most_enclosures\nWren,2\nAsh,many\nTern,1\n"


def test_the_whole_file_or_nothing(take_in):
    page = take_in("homes", HALF)

    assert page.status_code == 422
    assert "The file has faults. Correct them" in page_of(page)
    assert not Home.objects.exists()


def test_faulty_rows_are_left_out_and_listed(take_in, rows_of):
    page = take_in("homes", HALF, how="skip")

    file = ImportFile.objects.get()
    assert set(Home.objects.values_list("name", flat=True)) == {"Wren", "Tern"}
    assert (file.made, file.left_out, bytes(file.content)) == (2, 1, b"")
    assert "Skipped rows" in page_of(page)
    (row,) = rows_of(take_in.client.get(reverse("import_faults", args=[file.idempotency_key])))
    assert (row["line"], row["column"], row["given"]) == ("3", "most_enclosures", "many")


def test_each_fault_stands_in_the_table_with_its_line(dry_run):
    page = page_of(dry_run("homes", HALF))

    assert "<code>most_enclosures</code>" in page
    assert "This is not a whole number." in page
    assert "Import 2, skip 1" in page


def test_all_faults_can_be_taken_as_a_file(dry_run, rows_of):
    long = "\n".join(f"{'x' * 61}{number}" for number in range(300))

    page = dry_run("homes", f"name\n{long}\n")

    assert "The first 200 of 300 faults" in page_of(page)
    file = ImportFile.objects.get()
    assert (
        len(rows_of(dry_run.client.get(reverse("import_faults", args=[file.idempotency_key]))))
        == 300
    )


@pytest.mark.parametrize("how", ["", "halfway"])
def test_who_does_not_say_how_is_asked(take_in, how):
    page = take_in("homes", "name\nWren\n", how=how)

    assert page.status_code == 422
    assert "Nothing was imported." in page_of(page)
    assert not Home.objects.exists()


def test_what_fails_half_way_leaves_nothing_behind(take_in, monkeypatch):
    from django.db import IntegrityError

    def fail(*_args, **_options):
        raise IntegrityError

    monkeypatch.setattr(HomeContact.objects, "bulk_create", fail)

    page = take_in("homes", "name,phone\nWren,01632 960001\n")

    assert page.status_code == 422
    assert "at the same moment" in page_of(page)
    assert not Home.objects.exists()
    assert not ImportFile.objects.get().is_taken


# --- The file between dry run and decision ---


def test_a_file_can_be_thrown_away(hand_in):
    address = hand_in("homes", "name\nWren\n").url

    hand_in.client.post(reverse("drop_import", args=[ImportFile.objects.get().idempotency_key]))

    assert hand_in.client.get(address).status_code == 404
    assert not ImportFile.objects.exists()


def test_what_was_taken_in_is_not_thrown_away(take_in):
    take_in("homes", "name\nWren\n")

    take_in.client.post(reverse("drop_import", args=[ImportFile.objects.get().idempotency_key]))

    assert ImportFile.objects.exists()


def test_a_file_on_which_nobody_decides_is_thrown_away_after_a_day(hand_in):
    hand_in("homes", "name\nWren\n")
    ImportFile.objects.update(made_at=timezone.now() - timedelta(hours=25))

    hand_in("homes", "name\nAsh\n")

    assert bytes(ImportFile.objects.get().content) == b"name\nAsh\n"


def test_a_form_sent_twice_keeps_one_file_and_a_corrected_one_is_another(hand_in):
    once = uuid.uuid4()
    first = hand_in("homes", "name\nWren\n", once=once)
    again = hand_in("homes", "name\nWren\n", once=once)
    corrected = hand_in("homes", "name\nAsh\n", once=once)

    assert first.url == again.url != corrected.url
    assert ImportFile.objects.count() == 2


@pytest.mark.parametrize(
    ("kind", "content", "field", "sentence"),
    [
        ("homes", b"", "file", "The file is empty."),
        ("homes", "name\nZoë".encode("latin-1"), "file", "Line 2 is not UTF-8"),
        ("homes", b"name\nWren\0", "file", "NUL byte"),
        ("cats", b"name\nWren", "kind", "cats"),
        ("", b"name\nWren", "kind", "Choose what is in the file"),
        ("homes", None, "file", "Choose a file."),
    ],
)
def test_what_cannot_be_handed_in_is_refused_beside_the_field(
    kind, content, field, sentence, client_of, coordinator, hand_in
):
    if content is None:
        page = client_of(coordinator).post(reverse("import_csv"), {"kind": kind})
    else:
        page = hand_in(kind, content)

    assert page.status_code == 422
    assert sentence in str(page.context["form"].errors[field])
    assert not ImportFile.objects.exists()


# --- Many ---


def test_weights_written_in_bulk_are_seen_on_the_board(
    take_in, make_home, make_animal, make_enclosure, make_group, today
):
    animal = make_animal("Pip", own_id="A1")
    enclosure = make_enclosure("North wall", make_home())
    make_group(animal, enclosure=enclosure)

    def dues():
        Reading.objects.fresh(today)
        return list(enclosure.due_rows.values_list("kind", "day"))

    before = dues()

    take_in("weights", "animal,day,grams\nA1,2027-03-09,800\n")

    assert before != dues()


def test_queries_do_not_grow_with_rows(hand_in, make_animal, a_design):
    def queries(kind, rows):
        head = {
            "homes": "name,phone\n",
            "animals": "name,species,came_on\n",
            "enclosures": "label,design,state,since\n",
        }[kind]
        address = hand_in(kind, head + rows).url
        hand_in.client.get("/import/")  # tells what came of the file before
        with CaptureQueriesContext(connection) as caught:
            hand_in.client.get(address)
            hand_in.client.post(address, {"how": "whole"})
        return len(caught)

    def rows(kind, count):
        ends = {
            "homes": "1",
            "animals": "rabbit,2027-01-01",
            "enclosures": f"{a_design.code},standing,2027-01-01",
        }
        return "".join(f"{kind} {count} {number},{ends[kind]}\n" for number in range(count))

    # SQLite takes 999 values at once, which is 28 animals: more are written in portions.
    for kind in ("homes", "animals", "enclosures"):
        assert queries(kind, rows(kind, 3)) == queries(kind, rows(kind, 25)), kind


@pytest.mark.parametrize("kind", KINDS)
def test_a_template_names_the_columns_of_its_kind(kind, client_of, coordinator, rows_of):
    response = client_of(coordinator).get(reverse("import_template", args=[kind]))
    text = b"".join(response.streaming_content).decode("utf-8-sig")

    assert text.strip().split(",") == [one.name for one in KINDS[kind].offered]


def test_there_is_no_template_for_what_is_not_imported(client_of, coordinator):
    assert client_of(coordinator).get("/import/cats/template.csv").status_code == 404


# --- In a browser ---


@pytest.mark.parametrize("screen", ["phone", "desktop"])
@pytest.mark.django_db(transaction=True)
def test_a_file_is_handed_in_and_decided_on_without_script(screen, open_page, coordinator):
    page = open_page(coordinator, screen=screen, script=False)
    page.goto(reverse("import_csv"))
    page.get_by_label("Homes", exact=True).check()
    file = {"name": "homes.csv", "mimeType": "text/csv", "buffer": HALF.encode()}
    page.get_by_label("File", exact=True).set_input_files(file)
    page.get_by_role("button", name="Check file").click()
    page.get_by_role("button", name="Import 2, skip 1").click()

    page.get_by_text("Skipped rows").first.wait_for()
    assert Home.objects.count() == 2


@pytest.mark.django_db(transaction=True)
def test_the_pages_have_no_accessibility_fault(desktop, axe):
    desktop.goto(reverse("import_csv"))
    axe(desktop)
    desktop.get_by_label("Homes", exact=True).check()
    file = {"name": "homes.csv", "mimeType": "text/csv", "buffer": HALF.encode()}
    desktop.get_by_label("File", exact=True).set_input_files(file)
    desktop.get_by_role("button", name="Check file").click()
    axe(desktop)
    desktop.get_by_role("button", name="Import 2, skip 1").click()
    axe(desktop)
    desktop.goto(reverse("export"))
    axe(desktop)
