"""Pages of enclosures, without a browser: found, seen by each role, their state, moved."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.enclosures.models.enclosures import EnclosureState
from habitats.enclosures.models.parts import ComponentCheck

# --- Found ---


def test_an_empty_list_says_what_to_do_first(coordinating, building, text_of):
    assert "Add enclosure" in text_of(coordinating.get("/enclosures/"))
    assert "When a coordinator adds them" in text_of(building.get("/enclosures/"))


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("", ["Attic", "Nook"]),
        ("words=noo", ["Nook"]),
        ("state=repair", ["Attic"]),
        ("state=retired", ["Old"]),
        ("words=nothing", []),
    ],
)
def test_enclosures_are_found_by_label_and_state(coordinating, make_enclosure, asked, found):
    make_enclosure("Nook")
    make_enclosure("Attic", state="repair")
    make_enclosure("Old", state="retired")

    page = coordinating.get(f"/enclosures/?{asked}").context["enclosures"]

    assert [one.label for one in page] == found


def test_the_short_link_of_a_card_leads_to_its_enclosure(
    fostering, make_home, make_enclosure, foster
):
    enclosure = make_enclosure(home=make_home(people=[foster]))

    response = fostering.get(f"/e/{enclosure.code.lower()}/")

    assert response.url == f"/enclosures/{enclosure.code}/"


# --- Who sees what ---


def test_a_builder_is_told_of_the_home_and_nothing_of_animals(building, nook, text_of):
    page = text_of(building.get(f"/enclosures/{nook.code}/"))

    assert "Wren, North Quay" in page
    assert "Pip" not in page
    assert "Residents" not in page
    assert "/homes/" not in page


def test_a_foster_sees_who_lives_there_and_moves_nothing(fostering, nook, text_of):
    page = text_of(fostering.get(f"/enclosures/{nook.code}/"))

    assert "Pip" in page
    assert "Move to another home" not in page
    assert "Change of state" not in page


def test_a_foster_does_not_find_what_stands_elsewhere(fostering, make_home, make_enclosure):
    enclosure = make_enclosure(home=make_home("Ash"))

    for page in ("", "check/", "card.pdf"):
        assert fostering.get(f"/enclosures/{enclosure.code}/{page}").status_code == 404
    assert fostering.get(f"/e/{enclosure.code}/").status_code == 404


def test_a_foster_reads_no_names_of_other_homes_in_the_history(
    coordinating, fostering, make_home, make_enclosure, foster, coordinator, day, text_of
):
    from habitats.enclosures.models.standing import stand

    enclosure = make_enclosure(home=make_home("Ash", area="Hill"))
    stand(enclosure, make_home("Wren", people=[foster]), day(-5), by=coordinator)

    told = text_of(fostering.get(f"/enclosures/{enclosure.code}/"))

    assert "in another home" in told
    assert "Ash" not in told
    assert "Ash, Hill" in text_of(coordinating.get(f"/enclosures/{enclosure.code}/"))


# --- State, parts, moving ---


def test_a_builder_says_that_it_stands(building, make_enclosure, today):
    enclosure = make_enclosure(state="building")

    building.post(
        f"/enclosures/{enclosure.code}/state/", {"state": "standing", "day": today.isoformat()}
    )

    assert enclosure.state_now() == EnclosureState.STANDING


def test_a_builder_retires_nothing(building, make_enclosure, today):
    enclosure = make_enclosure()

    response = building.post(
        f"/enclosures/{enclosure.code}/state/", {"state": "retired", "day": today.isoformat()}
    )

    assert response.status_code == 422
    assert enclosure.state_now() == EnclosureState.STANDING


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"state": "retired"}, "It cannot be marked “retired” now."),
        ({"state": "repair", "day": "2027-03-11"}, "is in the future"),
        ({"state": "repair", "day": "2026-11-01"}, "is from 30 November 2026"),
        ({"state": ""}, "This field is required"),
    ],
)
def test_a_wrong_state_is_refused_with_a_sentence(
    coordinating, nook, text_of, today, given, sentence
):
    response = coordinating.post(
        f"/enclosures/{nook.code}/state/", {"day": today.isoformat()} | given
    )

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert nook.state_now() == EnclosureState.IN_USE


def test_parts_are_looked_over_and_a_fault_takes_it_out_of_use_for_others(
    fostering, nook, foster, today, text_of
):
    seen = {
        "day": today.isoformat(),
        "condition_panel": "unsafe",
        "note_panel": "a cut end",
        "condition_tray": "good",
        "needs_repair": "on",
        "once": str(uuid.uuid4()),
    }

    for _ in range(2):
        fostering.post(f"/enclosures/{nook.code}/check/", seen)

    checks = ComponentCheck.objects.order_by("component__kind")
    assert [(one.component.kind, one.condition, one.made_by) for one in checks] == [
        ("panel", "unsafe", foster),
        ("tray", "good", foster),
    ]
    assert nook.state_now() == EnclosureState.NEEDS_REPAIR
    assert "Panels: Unsafe: a cut end" in text_of(fostering.get(f"/enclosures/{nook.code}/"))


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({}, "Nothing is entered yet. Answer the points, or choose a condition."),
        ({"note_panel": "bent"}, "Choose the condition, or delete the note."),
        ({"condition_panel": "splendid"}, "Select a valid choice"),
        ({"condition_panel": "good", "day": "2027-03-11"}, "is in the future"),
    ],
)
def test_a_wrong_safety_check_is_refused_with_a_sentence(
    building, nook, text_of, today, given, sentence
):
    response = building.post(f"/enclosures/{nook.code}/check/", {"day": today.isoformat()} | given)

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert not ComponentCheck.objects.exists()


def test_an_enclosure_moves_to_another_home_with_its_animals(
    coordinating, nook, make_home, today, day
):
    new = make_home("Ash")

    coordinating.post(
        f"/enclosures/{nook.code}/move/", {"home": new.code, "day": today.isoformat()}
    )

    assert nook.standings.on(today).get().home == new
    assert nook.standings.on(day(-1)).get().home.name == "Wren"
    assert nook.stays.open().exists()


def test_an_empty_enclosure_is_stored(coordinating, make_home, make_enclosure, today):
    enclosure = make_enclosure(home=make_home())

    coordinating.post(
        f"/enclosures/{enclosure.code}/move/", {"stored": "on", "day": today.isoformat()}
    )

    assert not enclosure.standings.on(today).exists()


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({}, "Choose a home, or tick that it stands in none."),
        ({"stored": "on"}, "Animals live in it. Choose a home, or move them first."),
        ({"home": "own"}, "It stands there already."),
        ({"home": "other", "stored": "on"}, "Choose a home, or tick"),
        ({"home": "other", "day": "2026-01-01"}, "Enter a later day"),
        ({"home": "other", "day": "2027-03-11"}, "is in the future"),
        ({"home": "small"}, "the largest that fits into Elm is 500 mm × 500 mm."),
    ],
)
def test_a_wrong_move_is_refused_with_a_sentence(
    coordinating, nook, make_home, text_of, today, given, sentence
):
    homes = {
        "own": nook.standings.get().home.code,
        "other": make_home("Ash").code,
        "small": make_home("Elm", largest_width_mm=500, largest_depth_mm=500).code,
    }
    home = {"home": homes[given["home"]]} if "home" in given else {}

    response = coordinating.post(
        f"/enclosures/{nook.code}/move/", {"day": today.isoformat()} | given | home
    )

    assert response.status_code == 422
    assert sentence in text_of(response)
    assert nook.standings.get().home.name == "Wren"


def test_label_and_what_to_know_can_be_changed(coordinating, nook):
    coordinating.post(f"/enclosures/{nook.code}/edit/", {"label": "Attic", "notes": "Mind the cat"})

    nook.refresh_from_db()
    assert (nook.label, nook.notes) == ("Attic", "Mind the cat")


# --- Figures: as many queries for many rows as for few ---


def test_the_list_asks_as_often_for_twelve_enclosures_as_for_three(
    coordinating, make_home, make_enclosure
):
    home, counts = make_home(), []
    for number in (3, 12):
        while home.standings.count() < number:
            make_enclosure(f"Nook {home.standings.count()}", home)
        with CaptureQueriesContext(connection) as queries:
            coordinating.get("/enclosures/")
        counts.append(len(queries))

    assert counts[0] == counts[1]


def test_the_page_asks_as_often_for_twelve_animals_and_entries_as_for_three(
    coordinating, coordinator, answer_to, make_home, make_enclosure, make_animal, make_group, day
):
    from habitats.animals.models.stays import move_in
    from habitats.enclosures.models.standing import stand

    answer_to("ch-tschv")
    counts = []
    for number in (3, 12):
        enclosure, other = make_enclosure("Nook"), make_enclosure("Attic")
        animals = [make_animal(f"Pip {one}", grams=800 + one) for one in range(number)]
        group = make_group(*animals, enclosure=enclosure)
        component = enclosure.components.first()
        for one in range(number):
            move_in(group, (other, enclosure)[one % 2], day(one - 60), by=coordinator)
            stand(enclosure, make_home(f"Home {one}"), day(one - 60), by=coordinator)
            component.found_to_be("good", on=day(one - 60), by=coordinator)
        move_in(group, enclosure, day(-1), by=coordinator)
        with CaptureQueriesContext(connection) as queries:
            response = coordinating.get(f"/enclosures/{enclosure.code}/")
        assert len(response.context["page"].living.animals) == number
        counts.append(len(queries))

    assert counts[0] == counts[1]
