"""Undoing on screen: offered where the slip is seen, with a reason, and refused with the way on."""

import re

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.animals.models.acts import Act, Undone
from habitats.animals.models.joining import discharge, join
from habitats.animals.models.stays import move_in

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("this_day")]

SENT = {"once": "5b0e7c1e-8d45-4a3e-9d5b-0d4a8a1f2c33", "why": "read the wrong label"}


def last_act():
    return Act.objects.latest_first().first()


def test_a_wrong_move_is_undone_from_the_notice_after_it(
    coordinating, lives, make_enclosure, text_of
):
    group, _animals, nook = lives("Pip")
    wrong = make_enclosure("Wrong one")
    page = coordinating.get(f"/groups/{group.code}/move/?enclosure={wrong.code}")
    sent = {
        "enclosure": wrong.code,
        "since": "2027-03-10",
        "once": page.context["form"]["once"].value(),
        "in_spite": "on",
        "basis": re.search(r'name="basis" value="([^"]*)"', page.content.decode())[1],
    }

    after = coordinating.post(f"/groups/{group.code}/move/", sent, follow=True)

    address = f"/undo/{last_act().pk}/"
    assert f'<a class="target" href="{address}">Undo</a>' in after.content.decode()
    undone = coordinating.post(address, SENT, follow=True)
    assert "Undone: Pip moved into Wrong one." in text_of(undone)
    assert [stay.enclosure for stay in group.stays.open()] == [nook]


@pytest.mark.parametrize("page", ["group", "enclosure"])
def test_the_history_offers_it_and_tells_by_whom_when_and_why(
    page, coordinating, coordinator, lives, make_enclosure, day, text_of
):
    group, _animals, _nook = lives("Pip")
    wrong = make_enclosure("Wrong one")
    move_in(group, wrong, day(0), by=coordinator)
    move = last_act()
    address = {
        "group": f"/groups/{group.code}/",
        "enclosure": f"/enclosures/{wrong.code}/",
    }[page]

    assert f'href="/undo/{move.pk}/"' in coordinating.get(address).content.decode()
    coordinating.post(f"/undo/{move.pk}/", SENT)

    told = text_of(coordinating.get(address))
    assert "<del>Pip moved into Wrong one</del>" in told
    assert "undone by Cora" in told
    assert "read the wrong label" in told


def test_who_undoes_is_told_not_to_undo_what_really_happened(
    coordinating, coordinator, lives, make_enclosure, day, text_of
):
    group, _animals, _nook = lives("Pip")
    move_in(group, make_enclosure("Wrong"), day(0), by=coordinator)

    page = text_of(coordinating.get(f"/undo/{last_act().pk}/"))

    assert "Undo only what never happened." in page
    assert "infections are traced by it" in page


def test_without_a_reason_nothing_is_undone(coordinating, coordinator, lives, make_enclosure, day):
    group, _animals, _nook = lives("Pip")
    move_in(group, make_enclosure("Wrong"), day(0), by=coordinator)

    response = coordinating.post(f"/undo/{last_act().pk}/", {**SENT, "why": " "})

    assert response.status_code == 422
    assert not Undone.objects.exists()


def test_what_later_builds_on_it_is_told_with_the_way_there(
    coordinating, coordinator, lives, make_animal, make_enclosure, day, text_of
):
    group, _animals, _nook = lives("Pip")
    move_in(group, make_enclosure("Wrong"), day(-1), by=coordinator)
    move = last_act()
    join(group, make_animal("Moss"), day(0), by=coordinator)

    shown = coordinating.get(f"/undo/{move.pk}/")
    sent = coordinating.post(f"/undo/{move.pk}/", SENT)

    assert "Something later builds on it: “Joined a group” of 10 March 2027." in text_of(shown)
    assert f'href="/undo/{last_act().pk}/"' in shown.content.decode()
    assert sent.status_code == 422
    assert not Undone.objects.exists()


def test_the_history_asks_as_many_questions_with_three_acts_as_with_nine(
    coordinating, coordinator, lives, make_enclosure, day
):
    group, _animals, nook = lives("Pip")
    other = make_enclosure("Other")
    asked = []
    for days in (range(-20, -17), range(-17, -11)):
        for number in days:
            move_in(group, other if number % 2 else nook, day(number), by=coordinator)
        coordinating.get(f"/groups/{group.code}/")
        with CaptureQueriesContext(connection) as queries:
            coordinating.get(f"/groups/{group.code}/")
        asked.append(len(queries))

    assert asked[0] == asked[1]


def test_a_readmission_offers_its_undoing_at_once(coordinating, coordinator, lives, day, text_of):
    _group, (pip,), _nook = lives("Pip")
    discharge(pip, day(-1), "adopted", by=coordinator)

    answer = coordinating.post(f"/animals/{pip.code}/come-back/", follow=True)

    act = Act.objects.get(kind=Act.Kind.READMISSION)
    assert f'href="/undo/{act.pk}/"' in answer.content.decode()
    assert "Pip was readmitted" in text_of(answer)


def test_an_intake_without_an_act_says_why_it_cannot_be_undone(coordinating, make_animal, text_of):
    pip = make_animal("Pip")
    Act.objects.filter(animal=pip).delete()

    page = text_of(coordinating.get(f"/animals/{pip.code}/"))

    assert "The intake cannot be undone: it was imported" in page
