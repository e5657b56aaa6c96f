"""A home's limits, where two come at one moment: the second is told, whichever way it came."""

import re
import threading
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connections

from habitats.animals.models.acts import Act
from habitats.animals.models.home_limits import PastLimit, judged_at_the_door
from habitats.animals.models.joining import discharge
from habitats.animals.models.stays import Stay, move_in

LARGE = ("####", "####")
FULL = "Enclosures in use in Lark after the move: 2. It can look after 1."
CROWDED = "Animals in Lark after the move: 3. It can look after 2."
READ = re.compile('name="limits_read" value="([^"]*)"')


@pytest.fixture
def lark(make_home):
    return make_home("Lark", most_enclosures=1, most_animals=2)


@pytest.fixture
def two_free(make_enclosure, lark):
    return [make_enclosure(label, lark, plan=LARGE) for label in ("Snug", "Hall")]


@pytest.fixture
def moves(coordinating):
    def send(group, enclosure, **more):
        sent = {"since": "2027-03-10", "enclosure": enclosure.code, **more}
        return coordinating.post(f"/groups/{group.code}/move/", sent)

    return send


@pytest.mark.django_db(transaction=True)
def test_of_two_who_move_into_one_home_at_once_one_is_told(lives, two_free, coordinator, today):
    groups = [lives("Pip")[0], lives("Ida")[0]]
    gate = threading.Barrier(2)

    def move(number):
        gate.wait()
        try:
            with judged_at_the_door():
                move_in(groups[number], two_free[number], today, by=coordinator)
        except PastLimit as past:
            return str(past)
        finally:
            connections.close_all()
        return "moved"

    with ThreadPoolExecutor(2) as pool:
        told = sorted(pool.map(move, range(2)))

    assert told == [FULL, "moved"]
    assert Stay.objects.open().filter(enclosure__in=two_free).count() == 1


def test_what_was_not_read_is_asked_and_once_read_it_may_be(lives, two_free, moves, text_of):
    (first, _pip, _old), (second, _ida, _older) = lives("Pip"), lives("Ida")
    assert moves(first, two_free[0]).status_code == 302

    asked = moves(second, two_free[1])

    assert asked.status_code == 422
    assert f"{FULL} Save again if it is to be so, or choose another place." in text_of(asked)
    (read,) = READ.findall(asked.content.decode())
    assert moves(second, two_free[1], limits_read=read).status_code == 302


def test_a_limit_that_the_page_tells_is_asked_no_second_time(lives, two_free, coordinating, moves):
    (first, _pip, _old), (second, _ida, _older) = lives("Pip"), lives("Ida")
    moves(first, two_free[0])
    page = coordinating.get(f"/groups/{second.code}/move/?enclosure={two_free[1].code}")
    (read,) = READ.findall(page.content.decode())

    assert moves(second, two_free[1], limits_read=read).status_code == 302


def test_what_is_so_already_may_get_no_worse_and_stay_as_it_is(
    lives, two_free, make_enclosure, lark, moves
):
    group, _animals, _enclosure = lives("Pip", "Moss", "Nut", home=lark)
    lives("Ida", home=lark)

    assert moves(group, make_enclosure("Bay", lark, plan=LARGE)).status_code == 302


def test_an_animal_that_joins_is_counted(lives, lark, make_animal, coordinating, text_of):
    group, _animals, _enclosure = lives("Pip", "Moss", home=lark)
    coming = make_animal("Nut")
    sent = {"since": "2027-03-10", "animal": coming.code}

    asked = coordinating.post(f"/groups/{group.code}/admit/", sent)

    assert asked.status_code == 422
    assert CROWDED in text_of(asked)


def test_an_enclosure_comes_with_its_animals(lives, lark, coordinating, text_of):
    lives("Pip", home=lark)
    _group, _animals, enclosure = lives("Ida")
    sent = {"home": lark.code, "day": "2027-03-10", "anyway": "on"}

    asked = coordinating.post(f"/enclosures/{enclosure.code}/move/", sent)

    assert FULL in text_of(asked)


def test_undoing_brings_nobody_back_unasked(
    lives, lark, make_enclosure, coordinating, coordinator, today, moves, text_of
):
    group, _animals, _enclosure = lives("Pip", home=lark)
    moves(group, make_enclosure("Bay", None, plan=LARGE))
    act = Act.objects.latest_first()[0]
    lives("Ida", home=lark)

    asked = coordinating.post(f"/undo/{act.pk}/", {"why": "wrong group chosen"})

    assert FULL in text_of(asked)


def test_who_leaves_is_never_asked(lives, lark, two_free, coordinator, today):
    _group, animals, _enclosure = lives("Pip", "Moss", "Nut", home=lark)
    with judged_at_the_door():
        discharge(animals[0], today, "died", by=coordinator)


@pytest.mark.django_db
def test_nobody_is_let_into_a_closed_home_whatever_was_read(
    lives, lark, two_free, coordinator, today
):
    group, _animals, _enclosure = lives("Pip")
    lark.close(today)

    with (
        pytest.raises(PastLimit, match=r"Lark is closed\. Reopen it first\."),
        judged_at_the_door([""]),
    ):
        move_in(group, two_free[0], today, by=coordinator)
