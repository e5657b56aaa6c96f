"""Readings: how each enclosure stands today, forgotten at every change and made anew."""

from datetime import timedelta

import pytest
from django.core.management import call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from habitats.animals.models.animals import WeighingStrike
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.stays import leave, move_in
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.readings.models import readings
from habitats.readings.models.reading_off import Urgency, read_off
from habitats.readings.models.readings import Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def rescue(answer_to):
    return answer_to("ch-tschv")


@pytest.fixture
def pair(make_animal, make_enclosure, make_group, make_home, day, rescue):
    """Two grown sows in 2 × 4 panels of 355 mm: 10 082 cm² of floor."""
    animals = [make_animal(name, born=day(-600), grams=850) for name in ("Pip", "Moss")]
    enclosure = make_enclosure(home=make_home())
    make_group(*animals, enclosure=enclosure)
    return animals, enclosure


def reading_of(enclosure, today):
    return Reading.objects.fresh(today).get(enclosure=enclosure)


def dues_of(enclosure):
    return list(enclosure.due_rows.order_by("pk").values_list("kind", "day", "animals"))


def test_a_pair_with_room_to_spare_is_fine(pair, today):
    reading = reading_of(pair[1], today)

    assert (reading.required_mm2, reading.counted_mm2) == (500_000, 710 * 1420)
    assert reading.passes
    assert sum(share for _, _, share in reading.residents) == 500_000
    assert reading.urgency < Urgency.WRONG


def test_an_animal_alone_is_short_of_company(
    make_animal, make_enclosure, make_group, rescue, today
):
    enclosure = make_enclosure()
    make_group(make_animal(grams=850), enclosure=enclosure)

    assert reading_of(enclosure, today).urgency is not None
    assert reading_of(enclosure, today).passes is False


def test_without_a_rule_set_nothing_is_told(pair, rescue, today):
    rescue.guinea_pig_rules = ""
    rescue.save()

    assert reading_of(pair[1], today).passes is None


@pytest.mark.parametrize("change", ["weigh", "leave", "strike", "quarantine", "state", "part"])
def test_every_change_that_touches_an_enclosure_is_seen(
    change, pair, make_group, coordinator, today, day
):
    (animal, _), enclosure = pair
    before, due_before = reading_of(enclosure, today), dues_of(enclosure)
    if change == "weigh":
        animal.weigh(600, today, by=coordinator)
    elif change == "leave":
        leave(enclosure.stays.get().group, today, by=coordinator)
    elif change == "strike":
        WeighingStrike.objects.create(weighing=animal.weighings.get(), made_by=coordinator)
    elif change == "quarantine":
        Quarantine.objects.create(animal=animal, since=today, until=day(14), made_by=coordinator)
    elif change == "state":
        enclosure.set_state(EnclosureState.NEEDS_REPAIR, on=today, by=coordinator)
    elif change == "part":
        make_group(animal, since=today)

    after = reading_of(enclosure, today)

    kept = ("required_mm2", "passes", "animals", "in_quarantine", "state", "urgency")
    told = [getattr(before, name) for name in kept], due_before
    assert told != ([getattr(after, name) for name in kept], dues_of(enclosure))


@pytest.mark.parametrize("is_new", [False, True])
def test_what_changes_while_it_is_read_is_read_again(is_new, pair, coordinator, today, monkeypatch):
    (animal, _), enclosure = pair
    if is_new:
        Reading.objects.all().delete()  # as of enclosures that were written in bulk
    else:
        reading_of(enclosure, today)
        Reading.objects.forget()
    to_come = [Quarantine(animal=animal, since=today, made_by=coordinator)]

    def read_and_change(*asked):
        yield from list(read_off(*asked))
        while to_come:
            to_come.pop().save()

    monkeypatch.setattr(readings, "read_off", read_and_change)

    assert reading_of(enclosure, today).in_quarantine
    assert enclosure.due_rows.filter(kind="weigh").count() == 2


def test_an_enclosure_has_a_reading_from_its_first_day_that_counts_its_changes(
    make_enclosure, rescue, today
):
    enclosure = make_enclosure()

    assert enclosure.reading.times_forgotten
    assert enclosure.reading.day < today


def test_a_new_day_is_read_anew(pair, today):
    reading_of(pair[1], today)

    assert reading_of(pair[1], today + timedelta(days=1)).day == today + timedelta(days=1)


def test_a_group_that_moves_in_is_read_there(make_enclosure, pair, coordinator, today):
    _, old = pair
    new = make_enclosure("New", home=None)
    group = old.stays.get().group
    Reading.objects.fresh(today)

    move_in(group, new, today, by=coordinator)

    assert (reading_of(old, today).animals, reading_of(new, today).animals) == (0, 2)


def test_a_retired_enclosure_is_not_read(make_enclosure, coordinator, rescue, today):
    enclosure = make_enclosure()
    Reading.objects.fresh(today)
    enclosure.set_state(EnclosureState.RETIRED, on=today, by=coordinator)

    assert not Reading.objects.fresh(today).filter(enclosure=enclosure)


@pytest.mark.parametrize("kept", [False, True])
def test_queries_do_not_grow_with_enclosures(
    kept, make_animal, make_enclosure, make_group, make_home, rescue, today
):
    home = make_home()

    def fill(count):
        for number in range(count):
            make_group(
                make_animal(f"A{number}", grams=800),
                make_animal(f"B{number}", grams=800),
                enclosure=make_enclosure(f"E{number}", home=home),
            )

    def queries():
        if not kept:
            Reading.objects.forget()
        with CaptureQueriesContext(connection) as caught:
            assert all(one.animals == 2 for one in Reading.objects.fresh(today))
        return len(caught)

    fill(3)
    queries()
    few = queries()
    fill(27)
    queries()
    assert queries() == few


def test_a_reading_keeps_the_floors_for_drawing(pair, today):
    reading = reading_of(pair[1], today)

    assert reading.floors[0][0] == [[0.0, 0.0], [1420.0, 0.0], [1420.0, 710.0], [0.0, 710.0]]


def test_room_for_a_pair_is_room_for_two_more_grown_animals(make_enclosure, pair, rescue, today):
    # Switzerland, TSchV Annex 2 Table 1: 5 000 cm² for two, 2 000 for each further adult.
    # So 10 082 cm² take four, and not six; 5 041 take two.
    small, smaller = (
        make_enclosure("Small", plan=("##", "##")),
        make_enclosure("Less", plan=("###",)),
    )
    assert reading_of(pair[1], today).takes_pair is True
    assert reading_of(small, today).takes_pair is True
    assert reading_of(smaller, today).takes_pair is False


def test_without_a_rule_set_nobody_knows_whether_there_is_room_for_a_pair(pair, rescue, today):
    rescue.guinea_pig_rules = ""
    rescue.save()

    assert reading_of(pair[1], today).takes_pair is None


def test_all_enclosures_can_be_read_before_anybody_asks(pair, capsys):
    call_command("read_enclosures")

    assert capsys.readouterr().out == "Enclosures brought up to date: 1.\n"
    assert Reading.objects.filter(enclosure=pair[1], day=timezone.localdate()).exists()
