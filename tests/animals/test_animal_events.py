"""What happens to an animal, its page and its photo, without a browser; and who may see them."""

import uuid

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from habitats.animals.models.births import Birth
from habitats.animals.models.quarantines import Quarantine
from habitats.welfare.limits import DEFAULTS

# --- What happens to it ---


def test_a_litter_is_written_down_once(make_animal, coordinating, day):
    mother, once = make_animal("Ida"), str(uuid.uuid4())
    sent = {"on": "2027-03-06", "young": "3", "note": "", "once": once}

    for _ in range(2):
        coordinating.post(f"/animals/{mother.code}/birth/", sent)

    assert [(one.on, one.young) for one in mother.births.all()] == [(day(-4), 3)]


@pytest.mark.parametrize(
    ("facts", "sent", "sentence"),
    [
        ({}, {"on": "2027-03-11"}, "is in the future"),
        ({}, {"young": "21"}, "No litter has more than 20"),
        ({}, {"young": "-1"}, "Enter how many are alive: 0 to 20"),
        ({"sex": "M"}, {}, "is recorded as a male"),
        ({"born": "2027-03-08", "came_on": "2027-03-08"}, {}, "before its birth on 8 March 2027"),
    ],
)
def test_a_litter_that_cannot_be_is_refused(
    facts, sent, sentence, make_animal, coordinating, text_of
):
    mother = make_animal("Ida", **facts)
    given = {"on": "2027-03-06", "young": "3", **sent}

    answer = coordinating.post(f"/animals/{mother.code}/birth/", given)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Birth.objects.exists()


def test_a_quarantine_is_shortened_by_another_word_on_it(
    make_animal, coordinating, coordinator, day
):
    animal = make_animal("Nut")
    Quarantine.objects.create(animal=animal, since=day(-9), why="illness", made_by=coordinator)
    assert "2027-03-01" in coordinating.get(f"/animals/{animal.code}/quarantine/").content.decode()

    coordinating.post(
        f"/animals/{animal.code}/quarantine/",
        {"why": "illness", "since": "2027-03-01", "until": "2027-03-10"},
    )

    assert not Quarantine.objects.on(day(0), DEFAULTS).exists()
    assert animal.quarantines.count() == 2


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"until": "2027-02-28", "why": "illness"}, "would end before it begins"),
        ({"until": "2028-04-01"}, "more than a year ahead"),
        # At intake 14 days at least: guidance for rescues of guinea pigs, second-hand.
        ({"until": "2027-03-14"}, "lasts at least 14 days. Enter 15 March 2027 or a later day"),
        ({"since": "2027-03-11"}, "is in the future"),
        ({"until": "soon"}, "Enter a valid date"),
    ],
)
def test_a_quarantine_that_cannot_be_is_refused(sent, sentence, make_animal, coordinating, text_of):
    animal = make_animal("Nut")
    given = {"why": "intake", "since": "2027-03-01", **sent}

    answer = coordinating.post(f"/animals/{animal.code}/quarantine/", given)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Quarantine.objects.exists()


def test_an_animal_leaves_and_is_taken_back(lives, coordinating, text_of, day):
    _group, (pip,), _enclosure = lives("Pip")

    coordinating.post(f"/animals/{pip.code}/leaving/", {"on": "2027-03-09", "why": "adopted"})
    pip.refresh_from_db()
    assert (pip.left_on, pip.left_why) == (day(-1), "adopted")
    assert "Adopted on 9 March 2027" in text_of(coordinating.get("/animals/?shown=gone")).replace(
        "9 Mar 2027", "9 March 2027"
    )

    coordinating.post(f"/animals/{pip.code}/come-back/")
    pip.refresh_from_db()
    assert pip.is_here


def test_leaving_before_it_came_is_refused(make_animal, coordinating, text_of, day):
    pip = make_animal(came_on=day(-2))

    answer = coordinating.post(
        f"/animals/{pip.code}/leaving/", {"on": "2027-03-07", "why": "adopted"}
    )

    assert answer.status_code == 422
    assert "came to us on 8 March 2027. Enter that day or a later one." in text_of(answer)


# --- Its page ---


def test_a_page_tells_where_an_animal_is_with_whom_and_where_it_was(
    lives, make_home, make_enclosure, coordinating, coordinator, text_of, day
):
    from habitats.animals.models.stays import move_in

    home = make_home("Wren", area="Ferry Road")
    group, (pip, _moss), _old = lives("Pip", "Moss", home=home, grams=800)
    move_in(group, make_enclosure("New place", home), day(-5), by=coordinator)

    page = coordinating.get(f"/animals/{pip.code}/")

    assert page.context["others"] == ["Moss"]
    assert [
        (one.since, one.until, one.place.enclosure.label) for one in page.context["history"]
    ] == [(day(-5), None, "New place"), (day(-100), day(-5), "Of Pip")]
    assert "Wren, Ferry Road" in text_of(page)
    assert "drawing-weights" in text_of(page)


def test_a_page_of_a_young_animal_names_the_upper_guide_and_a_rabbits_does_not(
    make_animal, coordinating, text_of, day
):
    pup = make_animal("Nut", born=day(-40), came_on=day(-40), grams=300)
    kit = make_animal("Flo", species="rabbit", born=day(-40), came_on=day(-40), grams=300)

    pages = [text_of(coordinating.get(f"/animals/{one.code}/")) for one in (pup, kit)]

    assert ["upper guide" in page for page in pages] == [True, False]


def test_an_animals_page_asks_as_many_queries_for_twelve_weighings_as_for_three(
    lives, coordinating, coordinator, queries_for, day
):
    _group, (pip, *_others), _enclosure = lives("Pip", "Moss", "Nut")
    for number in range(3):
        pip.weigh(800 + number, day(-number), by=coordinator)
    few = queries_for(coordinating, f"/animals/{pip.code}/")
    for number in range(3, 12):
        pip.weigh(800 + number, day(-number), by=coordinator)

    assert queries_for(coordinating, f"/animals/{pip.code}/") == few


# --- Its photo ---


def send_photo(client, animal, content, name="pip.jpg"):
    return client.post(
        f"/animals/{animal.code}/photo/keep/", {"photo": SimpleUploadedFile(name, content)}
    )


def test_a_photo_is_kept_without_metadata_and_served_as_jpeg(make_animal, coordinating, photo_of):
    animal = make_animal()

    send_photo(coordinating, animal, photo_of("PNG"))
    served = coordinating.get(f"/animals/{animal.code}/photo/")

    content = b"".join(served.streaming_content)
    assert served["Content-Type"] == "image/jpeg"
    assert "private" in served["Cache-Control"]
    assert content.startswith(b"\xff\xd8")
    assert b"Somebody" not in content


def test_another_photo_takes_the_place_of_the_last(
    make_animal, coordinating, photo_of, django_capture_on_commit_callbacks
):
    animal = make_animal()
    send_photo(coordinating, animal, photo_of())
    animal.refresh_from_db()
    storage, first = animal.photo.storage, animal.photo.name

    with django_capture_on_commit_callbacks(execute=True):
        send_photo(coordinating, animal, photo_of(width=80))

    animal.refresh_from_db()
    assert not storage.exists(first)
    assert storage.exists(animal.photo.name)


def test_a_photo_for_which_there_is_no_space_leaves_the_last_one(make_animal, photo, monkeypatch):
    animal = make_animal()
    animal.keep_photo(photo)
    storage, first = animal.photo.storage, animal.photo.name

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(storage, "_save", full)
    with pytest.raises(OSError, match="No space left"):
        animal.keep_photo(photo)

    animal.refresh_from_db()
    assert animal.photo.name == first
    assert storage.exists(first)


def test_a_page_whose_photo_is_lost_says_so_and_what_to_do(make_animal, coordinating, photo_of):
    animal = make_animal("Pip")
    send_photo(coordinating, animal, photo_of())
    animal.refresh_from_db()
    animal.photo.storage.delete(animal.photo.name)

    page = coordinating.get(f"/animals/{animal.code}/")

    assert page.status_code == 200
    assert "the file of this photo is missing" in page.content.decode()
    assert 'alt="Pip"' not in page.content.decode()
    assert coordinating.get(f"/animals/{animal.code}/photo/").status_code == 404


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"no picture", "This file cannot be read as a photo. Send a JPEG, PNG or WebP picture."),
        (b"", "The file is empty. Choose a photo."),
    ],
)
def test_what_is_no_photo_is_refused_with_a_sentence(
    content, sentence, make_animal, coordinating, text_of
):
    animal = make_animal()

    answer = send_photo(coordinating, animal, content)

    assert answer.status_code == 422
    assert sentence in text_of(answer)


def test_an_animal_without_a_photo_has_none_to_serve(make_animal, coordinating):
    assert coordinating.get(f"/animals/{make_animal().code}/photo/").status_code == 404


def test_a_photo_can_be_taken_away(make_animal, coordinating, photo_of):
    animal = make_animal()
    send_photo(coordinating, animal, photo_of())

    coordinating.post(f"/animals/{animal.code}/photo/drop/")

    animal.refresh_from_db()
    assert not animal.photo


# --- Who may ---


def test_a_foster_sees_and_photographs_their_own_animals_and_no_other(
    lives, make_home, foster, fostering, photo_of
):
    _group, (own,), _enclosure = lives("Pip", home=make_home(people=[foster]))
    _group, (other,), _enclosure = lives("Moss")

    assert [row.animal for row in fostering.get("/animals/").context["rows"]] == [own]
    assert send_photo(fostering, own, photo_of()).status_code == 302
    assert fostering.get(f"/animals/{own.code}/photo/").status_code == 200
    for address in ("", "photo/", "weigh/"):
        assert fostering.get(f"/animals/{other.code}/{address}").status_code == 404
    assert send_photo(fostering, other, photo_of()).status_code == 404


@pytest.mark.parametrize("address", ["edit/", "birth/", "quarantine/", "leaving/"])
def test_a_foster_changes_nothing_but_weights_and_photos(
    address, lives, make_home, foster, fostering
):
    _group, (own,), _enclosure = lives("Pip", home=make_home(people=[foster]))

    assert fostering.get(f"/animals/{own.code}/{address}").status_code == 403
