"""Doses on Today and in the calendar: those one gives, with one tap, and those that went wrong."""

import uuid
from datetime import UTC, datetime, time

import pytest
from icalendar import Calendar

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.steps import AdoptionStep, begin_trial, reserve
from habitats.animals.models.joining import discharge, take_back
from habitats.board.models.calendar_entries import entries_for
from habitats.calendars import calendar_text
from habitats.health.models.treatments import Dose

pytestmark = pytest.mark.usefixtures("at_nine")


@pytest.fixture
def today_of(client_of, text_of):
    """`today_of(foster)`: the part of Today that has doses; empty if it has none."""

    def read(person):
        page = text_of(client_of(person).get("/today/"))
        if 'id="part-doses"' not in page:
            return ""
        return page.split('id="part-doses"')[1].split("</section>")[0]

    return read


@pytest.fixture
def entries_of(today):
    def read(person):
        found = entries_for(person, today, lambda path: path)
        return [one for one in found if one.key.startswith("dose/")]

    return read


def test_a_foster_gives_a_dose_from_today_with_one_tap(pip, treat, client_of, foster, today_of):
    treatment = treat(pip)
    assert "Pip: Amber drops, 0.2 ml, by mouth" in today_of(foster)
    address = f"/animals/{pip.code}/health/treatments/{treatment.pk}/2027-03-10-0800/given/"
    assert f'action="{address}"' in today_of(foster)

    answer = client_of(foster).post(address, {"then": "today"})

    assert answer["Location"] == "/today/"
    assert treatment.doses.get().made_by == foster
    assert address not in today_of(foster)


def test_beside_doses_stands_that_a_vet_is_called_in_doubt(pip, treat, foster, today_of):
    treat(pip)

    assert "A guinea pig or rabbit that does not eat is an emergency." in today_of(foster)


def test_a_dose_of_the_evening_is_shown_and_cannot_be_tapped_yet(
    pip, treat, foster, today_of, at_nine
):
    treat(pip, times=["20:00"])
    assert "20:00" in today_of(foster)
    assert "given/" not in today_of(foster)

    at_nine(19)
    assert "2027-03-10-2000/given/" in today_of(foster)


def test_a_coordinator_is_told_of_a_dose_that_is_late_with_the_home(
    pip, treat, coordinator, today_of, at_nine
):
    treat(pip)
    assert today_of(coordinator) == ""  # due, and given by the foster

    at_nine(9, 1)
    assert "08:00, late" in today_of(coordinator)
    assert "Wren" in today_of(coordinator)
    # Beside a button for the late dose and one for the next.
    assert "Ask your vet before you give anything in its place." in today_of(coordinator)


def test_a_late_dose_loses_its_tap_once_the_next_is_due(pip, treat, foster, today_of, at_nine):
    treat(pip)
    at_nine(19)

    page = today_of(foster)

    assert "2027-03-10-2000/given/" in page
    assert "2027-03-10-0800/given/" not in page
    assert "2027-03-10-0800/?outcome=not+given" in page
    assert "08:00, too late: the next dose is due" in page
    assert "Never give two doses at once." in page


def test_late_doses_of_one_treatment_are_one_row_for_who_only_hears_of_them(
    pip, treat, coordinator, today_of, at_nine
):
    treat(pip, times=["08:00", "20:00"])
    at_nine(22)

    page = today_of(coordinator)

    assert "08:00, too late: the next dose is due; 20:00, late" in page
    assert page.count("<li") == 1


def test_a_missed_dose_is_told_and_never_caught_up(pip, treat, coordinator, today_of, day):
    treat(pip, first_day=day(-2))

    page = today_of(coordinator)

    assert "Pip, Amber drops: 4 doses without an entry" in page
    assert "Ask your vet before you give anything in its place." in page
    assert "2027-03-09" not in page  # no button for what is past


def test_a_dose_that_was_not_given_is_told_to_the_coordinator(
    pip, treat, coordinator, foster, today_of, day
):
    treatment = treat(pip)
    Dose.objects.create(
        treatment=treatment,
        due_day=day(0),
        due_time=time(8),
        outcome="not given",
        why="spat it out",
        made_by=foster,
    )

    assert "Pip, Amber drops: 1 dose not given" in today_of(coordinator)


def test_a_coordinator_gives_the_doses_of_the_depot_and_of_animals_in_no_enclosure(
    lives, make_home, make_animal, treat, coordinator, today_of
):
    _group, (moss,), _enclosure = lives("Moss", home=make_home("Depot", kind="depot"))
    treat(moss)
    treat(make_animal("Nut"))

    page = today_of(coordinator)

    assert page.count("2027-03-10-0800/given/") == 2
    assert "in no enclosure" in page


def test_a_coordinator_reads_with_whom_an_animal_on_trial_is(
    pip, treat, coordinator, today_of, day, at_nine
):
    who = Adopter.objects.write_down(by=coordinator, name="Ada Quill")
    reserved, begun = (AdoptionStep(day(-n), coordinator, uuid.uuid4(), "") for n in (4, 3))
    begin_trial(reserve(who, [pip], reserved, notes=""), day(10), begun)
    treat(pip)

    page = today_of(coordinator)

    assert "on trial with Ada Quill" in page
    assert "in no enclosure" not in page


def test_a_treatment_that_ended_with_a_departure_is_asked_about_once_the_animal_is_back(
    pip, treat, coordinator, foster, today_of, day
):
    treat(pip, first_day=day(-6), last_day=None)
    discharge(pip, day(-5), "adopted", by=coordinator)
    assert today_of(coordinator) == ""

    take_back(pip, day(0), by=coordinator)

    assert "Pip, Amber drops: ended with the departure" in today_of(coordinator)
    assert "Ask your vet what still applies" in today_of(coordinator)
    assert "given/" not in today_of(coordinator)
    assert today_of(foster) == ""  # it is in no home yet


def test_a_foster_sees_no_dose_of_another_home(lives, treat, foster, today_of, entries_of):
    _group, (wren,), _enclosure = lives("Wren")
    treat(wren)

    assert today_of(foster) == ""
    assert entries_of(foster) == []


def test_doses_go_with_an_animal_that_moves(
    pip, treat, make_home, make_person, foster, day, entries_of, coordinator
):
    from habitats.animals.models.groups import Membership
    from habitats.enclosures.models.standing import stand

    treat(pip)
    other = make_person("noor", first_name="Noor", role="foster")
    enclosure = Membership.objects.get(animal=pip).group.stays.get().enclosure
    stand(enclosure, make_home("Ash", people=[other]), day(0), by=coordinator)

    assert entries_of(foster) == []
    assert len(entries_of(other)) == 14


def test_who_departs_and_what_is_stopped_is_on_no_list(
    pip, treat, foster, coordinator, today_of, entries_of, day
):
    from habitats.health.models.treatments import TreatmentStop

    treatment = treat(pip)
    TreatmentStop.objects.create(
        treatment=treatment,
        at=datetime(2027, 3, 10, 7, tzinfo=UTC),
        decided_by="Dr Quail",
        why="well again",
        made_by=coordinator,
    )
    treat(pip, drug="Birch drops")
    pip.left_on, pip.left_why = day(0), "adopted"
    pip.save()

    assert today_of(coordinator) == today_of(foster) == ""
    assert entries_of(coordinator) == entries_of(foster) == []


def test_the_calendar_has_each_dose_at_its_hour_until_it_is_recorded(
    pip, treat, foster, entries_of, client_of
):
    treatment = treat(pip)
    address = f"/animals/{pip.code}/health/treatments/{treatment.pk}/2027-03-10-0800/given/"
    client_of(foster).post(address)

    found = entries_of(foster)

    assert len(found) == 13  # two a day on seven days, and one is given
    written = Calendar.from_ical(calendar_text("Fay", found, datetime(2027, 3, 10, tzinfo=UTC)))
    first = written.walk("VEVENT")[0]
    assert first["SUMMARY"] == "Pip: Amber drops, 0.2 ml"
    assert first["DTSTART"].dt == datetime(2027, 3, 10, 20, tzinfo=UTC)


def test_nothing_is_due_until_the_day_of_the_next_dose(
    lives, treat, make_home, client_of, foster, text_of, day
):
    of_two = lives("Wren", "Moss", home=make_home(people=[foster]), born=day(-600), grams=850)
    treat(of_two[1][0], first_day=day(2))

    page = text_of(client_of(foster).get("/today/"))

    assert "Nothing is due until Friday, 12 March." in page


def test_today_asks_as_many_questions_of_3_treatments_as_of_30(
    lives, treat, coordinating, queries_for, make_home
):
    def settle(*names):
        for animal in lives(*names, home=make_home(kind="depot"), plan=("####",) * 8)[1]:
            treat(animal)

    settle(*(f"A{number}" for number in range(3)))
    few = queries_for(coordinating, "/today/")
    settle(*(f"B{number}" for number in range(9)))

    assert queries_for(coordinating, "/today/") == few
