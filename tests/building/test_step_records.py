"""What builders record on their way: notes, photos, and parts that are missing or damaged."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from builds.making.part_names import part_name
from builds.plans.models.build_acts import BuildNote, BuildPhoto, Shortage, StrayAct
from tests.support.builds import make_build, make_photo, steps_of

pytestmark = pytest.mark.django_db


def at(build, step, what=""):
    return f"/builds/{build.code}/steps/{step.key}/" + (f"{what}/" if what else "")


def a_step_with(build, ask):
    return next(step for step in steps_of(build) if step.card[ask])


def jpeg(name, content):
    return SimpleUploadedFile(name, content, content_type="image/jpeg")


def test_a_note_comes_back_to_its_step(building, under_way, text_of):
    first = steps_of(under_way)[0]

    response = building.post(
        f"/builds/{under_way.code}/note/", {"step": first.key, "text": "Short by 3 mm"}, follow=True
    )

    assert "Short by 3 mm" in text_of(response)
    assert response.redirect_chain[-1][0] == at(under_way, first)
    assert BuildNote.objects.get().step_key == first.key


@pytest.mark.parametrize(
    ("text", "sentence"),
    [("", "This note is empty"), ("  ", "This note is empty"), ("x" * 1001, "1000")],
)
def test_a_note_that_cannot_be_kept_gets_a_sentence(building, under_way, text_of, text, sentence):
    response = building.post(f"/builds/{under_way.code}/note/", {"text": text})

    assert response.status_code == 422
    assert sentence in text_of(response)


def test_a_note_about_no_step_of_the_build_is_kept_beside_it(building, under_way, text_of):
    response = building.post(
        f"/builds/{under_way.code}/note/", {"step": "nothing", "text": "Hm"}, follow=True
    )

    assert "This step is in no plan of the build. It is saved with the build." in text_of(response)
    assert StrayAct.objects.get().payload["text"] == "Hm"


def test_a_photo_is_kept_without_what_it_tells(building, under_way, photo):
    building.post(
        f"/builds/{under_way.code}/photo/", {"photo": jpeg("in.jpg", photo), "note": "the seam"}
    )

    kept = BuildPhoto.objects.get()
    sent = b"".join(
        building.get(f"/builds/{under_way.code}/photos/{kept.pk}.jpg").streaming_content
    )
    assert kept.note == "the seam"
    assert not Image.open(BytesIO(sent)).getexif()
    assert b"Somebody" not in sent


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        ("none.jpg", b"", "The file is empty"),
        ("drawing.jpg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "cannot be read as a photo"),
        ("huge.jpg", b"\xff\xd8" + b"\0" * (40 * 1024 * 1024), "larger than 15 MB"),
    ],
)
def test_a_photo_that_cannot_be_kept_gets_a_sentence(
    building, under_way, text_of, name, content, sentence
):
    response = building.post(f"/builds/{under_way.code}/photo/", {"photo": jpeg(name, content)})

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not BuildPhoto.objects.exists()


def test_a_photo_is_for_those_who_may_see_the_build(client_of, foster, under_way):
    photo = make_photo(under_way)

    response = client_of(foster).get(f"/builds/{under_way.code}/photos/{photo.pk}.jpg")

    assert response.status_code == 403


def test_a_photo_of_another_build_is_not_served(building, under_way):
    photo = make_photo(make_build("Another"))

    assert building.get(f"/builds/{under_way.code}/photos/{photo.pk}.jpg").status_code == 404


@pytest.mark.parametrize("kind", ["missing", "damaged"])
def test_a_part_is_reported_with_one_tap(building, under_way, text_of, kind):
    step = a_step_with(under_way, "adds")
    what = step.card["adds"][0]["what"]
    page = text_of(building.get(at(under_way, step)))
    assert f'name="report" value="{kind}"' in page

    response = building.post(
        f"/builds/{under_way.code}/shortage/",
        {"step": step.key, "what": what, "count": "1", "report": kind},
        follow=True,
    )

    assert f"Reported as {kind}: 1 × {part_name(what)}." in text_of(response)
    made = Shortage.objects.get()
    assert (made.kind, made.count, made.step_key) == (kind, 1, step.key)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"count": "0"}, "Enter 1 or more"),
        ({"count": "-4"}, "Enter 1 or more"),
        ({"count": "many"}, "Enter a whole number"),
        ({"count": "99999"}, "Enter 10000 or less"),
        ({"what": "unicorn"}, "“unicorn” is not a part of this build"),
        ({"what": ""}, "No part given"),
        ({"report": "eaten"}, "Select a valid choice"),
    ],
)
def test_a_report_that_makes_no_sense_gets_a_sentence(
    building, under_way, text_of, changes, sentence
):
    what = a_step_with(under_way, "adds").card["adds"][0]["what"]
    sent = {"what": what, "count": "1", "report": "missing", **changes}

    response = building.post(f"/builds/{under_way.code}/shortage/", sent)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not Shortage.objects.exists()
