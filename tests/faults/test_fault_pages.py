"""Pages of faults: reported with a place and a photo, listed by urgency, said to be mended."""

import uuid
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from habitats.animals.models.stays import move_in
from habitats.faults.models.faults import Fault, FaultMended
from habitats.rescue.models.rescue import Rescue
from habitats.upkeep.places import FloorPoint

pytestmark = pytest.mark.django_db


@pytest.fixture
def seen(today):
    return {"kind": "tie", "urgency": "soon", "day": today.isoformat(), "part": ""}


@pytest.fixture
def address(loft):
    return f"/enclosures/{loft.code}/fault/"


def test_a_foster_reports_a_fault_with_the_place_that_was_tapped(fostering, address, seen, loft):
    fostering.post(address, seen | {"z": "1", "x_mm": "1600", "y_mm": "200", "note": "gone"})

    fault = Fault.objects.get()
    assert (fault.enclosure, fault.kind, fault.note) == (loft, "tie", "gone")
    assert fault.where == FloorPoint(1, 1600, 200)


def test_a_part_chosen_in_words_is_a_place_too(fostering, address, seen):
    fostering.post(address, seen | {"part": "z1-00"})

    assert Fault.objects.get().where_words() == "upper level, north-west part"


def test_a_photo_loses_its_camera_and_its_place(fostering, address, seen, photo_of, media):
    photo = photo_of(width=320, height=240)
    sent = SimpleUploadedFile("fault.jpg", photo, content_type="image/jpeg")
    fostering.post(address, seen | {"photo": sent})

    fault = Fault.objects.get()
    kept = b"".join(fostering.get(f"/faults/{fault.pk}/photo/").streaming_content)
    assert Image.open(BytesIO(kept)).size == (320, 240)
    assert not Image.open(BytesIO(kept)).getexif()
    assert b"Camera of Somebody" not in kept


def test_a_report_sent_twice_is_one_fault(fostering, address, seen):
    once = str(uuid.uuid4())
    for _ in range(2):
        fostering.post(address, seen | {"once": once})

    assert Fault.objects.count() == 1


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"kind": ""}, "Choose a fault from the list."),
        ({"kind": "lid"}, "“lid” is not in the list of faults."),
        ({"urgency": ""}, "Choose how urgent it is; in doubt, “Unsafe now”."),
        ({"urgency": "now"}, "Select a valid choice."),
        ({"kind": "other"}, "Describe in a few words what is wrong."),
        ({"part": "z9-00"}, "“z9-00” is not a part of this enclosure. Choose one from the list."),
        ({"z": "1", "x_mm": "100", "y_mm": "100"}, "The place is outside the floor."),
        ({"z": "7", "x_mm": "100", "y_mm": "100"}, "The place is outside the floor."),
        ({"day": "2027-03-11"}, "is in the future. Enter today or an earlier day."),
        ({"note": "x" * 301}, "Enter 300 characters at most: this has 301."),
    ],
)
def test_a_wrong_report_is_refused_with_a_sentence(
    fostering, address, seen, text_of, given, sentence
):
    response = fostering.post(address, seen | given)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Fault.objects.exists()


def test_what_is_no_photo_is_refused_with_a_sentence(fostering, address, seen, text_of):
    for content, sentence in (
        (b"words", "This file cannot be read as a photo."),
        (b"", "is empty"),
    ):
        sent = SimpleUploadedFile("fault.jpg", content, content_type="image/jpeg")
        response = fostering.post(address, seen | {"photo": sent})

        assert response.status_code == 422
        assert sentence in text_of(response)
    assert not Fault.objects.exists()


def test_a_report_sent_empty_is_refused(fostering, address):
    assert fostering.post(address, {}).status_code == 422


def test_what_does_not_stand_is_refused_with_a_sentence(
    coordinating, make_enclosure, seen, text_of
):
    planned = make_enclosure(state="planned")
    response = coordinating.post(f"/enclosures/{planned.code}/fault/", seen)

    assert response.status_code == 422
    assert "Report faults only of enclosures that stand" in text_of(response)


def test_a_foster_reports_nothing_of_other_homes(fostering, make_home, make_enclosure, seen):
    other = make_enclosure("Bay 1", make_home("Teal"))

    assert fostering.post(f"/enclosures/{other.code}/fault/", seen).status_code == 404
    assert not Fault.objects.exists()


def test_the_list_has_open_faults_by_urgency_with_the_homes_first_name(
    building, loft, report, text_of
):
    report(loft, "tape", "convenient")
    report(loft, "wire", "unsafe")

    words = text_of(building.get("/faults/"))

    assert words.index("Sharp wire end") < words.index("Tape that lifts")
    assert "Wren, Ferry Road" in words


def test_mended_faults_are_listed_by_themselves(building, builder, loft, report, text_of, day):
    report(loft, "wire", "unsafe").mend(day(0), by=builder)
    report(loft, "tape", "convenient")

    assert "Sharp wire end" not in text_of(building.get("/faults/"))
    mended = text_of(building.get("/faults/", {"mended": "on"}))
    assert "Sharp wire end" in mended
    assert "Tape that lifts" not in mended


@pytest.mark.parametrize("query", ["urgency=splendid", "page=99", "page=x", "mended=1"])
def test_odd_questions_find_what_is_there(building, loft, report, query):
    report(loft)

    assert building.get(f"/faults/?{query}").status_code == 200


def test_an_empty_list_says_how_one_gets_there(building, text_of):
    assert "No fault has been reported." in text_of(building.get("/faults/"))


def test_a_builder_says_that_it_is_mended(building, builder, loft, report, today):
    fault = report(loft, "wire", "unsafe")

    building.post(f"/faults/{fault.pk}/", {"note": "Filed", "day": today.isoformat()})

    mended = FaultMended.objects.get()
    assert (mended.fault, mended.note, mended.made_by) == (fault, "Filed", builder)


def test_a_foster_mends_what_is_not_unsafe_and_leaves_the_rest(fostering, loft, report, today):
    said = {"note": "Taped", "day": today.isoformat()}
    soon, unsafe = report(loft, "tape"), report(loft, "wire", "unsafe")

    for fault in (soon, unsafe):
        fostering.post(f"/faults/{fault.pk}/", said)

    assert [one.fault for one in FaultMended.objects.all()] == [soon]


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"note": ""}, "Describe in a few words what was done."),
        ({"day": "2027-03-08"}, "It was seen on 9 March 2027. Enter that day or a later one."),
        ({"day": "2027-03-11"}, "is in the future"),
    ],
)
def test_a_wrong_mending_is_refused_with_a_sentence(
    building, loft, report, today, text_of, given, sentence
):
    fault = report(loft)
    said = {"note": "Tied", "day": today.isoformat()}

    response = building.post(f"/faults/{fault.pk}/", said | given)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not FaultMended.objects.exists()


def test_what_was_mended_meanwhile_is_not_mended_again(building, builder, loft, report, day, today):
    fault = report(loft)
    fault.mend(day(0), by=builder, note="Tied")

    response = building.post(
        f"/faults/{fault.pk}/", {"note": "Again", "day": today.isoformat()}, follow=True
    )

    assert "It was marked as mended before. Nothing was changed." in response.content.decode()
    assert FaultMended.objects.get().note == "Tied"


def test_a_phone_that_sends_its_mending_again_is_told_nothing_odd(building, loft, report, today):
    fault, once = report(loft), str(uuid.uuid4())
    said = {"note": "Tied", "day": today.isoformat(), "once": once}
    sent = [
        building.post(f"/faults/{fault.pk}/", said | other, HTTP_X_KEPT_ON_PHONE="yes").json()
        for other in ({}, {}, {"once": str(uuid.uuid4())})
    ]

    assert [one["is_odd"] for one in sent] == [False, False, True]
    assert FaultMended.objects.count() == 1


def test_a_fault_is_drawn_where_it_is(building, loft, report, text_of):
    placed, nowhere = report(loft, where=FloorPoint(1, 1600, 200)), report(loft)

    assert "Place of the fault: upper level, north-west part" in text_of(
        building.get(f"/faults/{placed.pk}/")
    )
    assert "No place recorded." in text_of(building.get(f"/faults/{nowhere.pk}/"))


def test_a_fault_without_a_photo_has_none(building, loft, report):
    assert building.get(f"/faults/{report(loft).pk}/photo/").status_code == 404


@pytest.fixture
def lived_in(loft, make_group, make_animal, coordinator, day):
    move_in(make_group(make_animal("Pip"), make_animal("Moss")), loft, day(-9), by=coordinator)
    return loft


def test_those_who_live_in_what_is_unsafe_are_cared_for_first(fostering, lived_in, report, text_of):
    fault = report(lived_in, "wire", "unsafe")

    for address in (f"/faults/{fault.pk}/", f"/enclosures/{lived_in.code}/", "/today/"):
        words = text_of(fostering.get(address))
        assert "Move the animals out of reach of the fault now" in words, address
        assert "call a vet first" in words, address


def test_the_page_of_space_marks_what_is_unsafe_and_finds_it(
    coordinating, loft, make_home, make_enclosure, report, text_of
):
    make_enclosure("Bay 1", make_home("Teal"))
    report(loft, "wire", "unsafe")

    words = text_of(coordinating.get("/space/"))
    assert words.count("closed to new groups") == 1
    assert words.index("Wren") < words.index("Teal")
    found = text_of(coordinating.get("/space/", {"unsafe": "on"}))
    assert "Loft" in found
    assert "Bay 1" not in found
    assert "Loft" in text_of(coordinating.get("/space/", {"view": "table", "unsafe": "on"}))


def test_what_is_unsafe_is_not_offered_for_a_pair(coordinating, loft, report, text_of):
    Rescue.objects.update_or_create(pk=1, defaults={"guinea_pig_rules": "ch-tschv"})
    assert "Loft" in text_of(coordinating.get("/space/", {"space": "pair"}))

    report(loft, "wire", "unsafe")

    assert "Loft" not in text_of(coordinating.get("/space/", {"space": "pair"}))


def test_a_group_is_shown_why_it_cannot_move_there(
    coordinating, loft, make_group, make_animal, report, text_of, today
):
    group = make_group(make_animal("Pip"), make_animal("Moss"))
    report(loft, "wire", "unsafe")
    address = f"/groups/{group.code}/move/"

    assert "Loft" not in text_of(coordinating.get(address))
    others = text_of(coordinating.get(address, {"shown": "others"}))
    assert "Unsafe until it is mended" in others
    response = coordinating.post(address, {"enclosure": loft.code, "since": today.isoformat()})
    assert response.status_code == 422
    assert "Loft is not safe: “Sharp wire end”" in text_of(response)


def test_whoever_lets_another_animal_in_is_told_that_it_is_unsafe(
    coordinating, lived_in, make_animal, report, text_of
):
    group, new = lived_in.stays.get().group, make_animal("Nut")
    address = f"/groups/{group.code}/admit/?animal={new.code}"
    assert "Unsafe:" not in text_of(coordinating.get(address))

    report(lived_in, "wire", "unsafe")

    assert "Loft, where they live, has a fault" in text_of(coordinating.get(address))


def test_faults_stand_in_the_history_until_the_day_they_are_mended(
    building, builder, loft, report, day, text_of
):
    report(loft, note="by the hinge").mend(day(0), by=builder, note="tied anew")

    words = text_of(building.get(f"/enclosures/{loft.code}/"))

    assert "Loose or missing tie, mend soon: by the hinge" in words
    assert "Loose or missing tie: tied anew" in words


@pytest.mark.parametrize("address", ["/faults/", "/faults/?mended=on", "/space/", "/today/"])
def test_queries_do_not_grow_with_faults(
    address, coordinating, coordinator, make_home, make_enclosure, report, day, queries_for
):
    def fill(number):
        for one in range(number):
            enclosure = make_enclosure(f"Bay {one}", make_home(f"Home {one}"))
            report(enclosure, "wire", "unsafe")
            report(enclosure).mend(day(0), by=coordinator)

    fill(3)
    few = queries_for(coordinating, address)
    fill(27)

    assert queries_for(coordinating, address) == few


def test_queries_of_an_enclosure_do_not_grow_with_its_faults(
    coordinating, loft, report, queries_for
):
    address = f"/enclosures/{loft.code}/"
    for _ in range(3):
        report(loft, where=FloorPoint(1, 1600, 200))
    few = queries_for(coordinating, address)
    for _ in range(9):
        report(loft, where=FloorPoint(1, 1600, 200))

    assert queries_for(coordinating, address) == few
