"""Re-checks and vaccinations as the vet named them, teeth and nails as the rescue keeps them."""

import pytest

from habitats.board.models.calendar_entries import entries_for
from habitats.health.models.entries import HealthEntry
from habitats.readings.models.due_rows import NAILS, RECHECK, TEETH, VACCINATION, DueRow
from habitats.readings.models.readings import Reading
from habitats.readings.models.unhoused import Unhoused
from habitats.rescue.forms import RescueForm

pytestmark = pytest.mark.usefixtures("at_nine")


@pytest.fixture
def write(coordinator, day):
    """`write(pip, "visit", again_on=day(3))`: an entry of yesterday."""

    def write(animal, kind, **changes):
        entry = {"on": day(-1), "words": "Seen.", "made_by": coordinator, **changes}
        return animal.health_entries.create(kind=kind, **entry)

    return write


@pytest.fixture
def rows_of(today):
    """`rows_of(pip)`: kind and day of what is due for its health."""

    def rows(animal):
        Reading.objects.fresh(today)
        Unhoused.objects.fresh(today)
        kinds = (RECHECK, VACCINATION, TEETH, NAILS)
        found = DueRow.objects.filter(kind__in=kinds).order_by("kind", "day")
        return [(row.kind, row.day) for row in found if row.animals == [[animal.code, animal.name]]]

    return rows


@pytest.fixture
def today_of(client_of, text_of):
    return lambda person: text_of(client_of(person).get("/today/"))


def test_a_re_check_is_on_today_until_it_is_recorded(
    pip, write, rows_of, today_of, client_of, foster, day
):
    visit = write(pip, "visit", again_on=day(0))
    assert rows_of(pip) == [(RECHECK, day(0))]
    page = today_of(foster)
    assert "Pip: re-check, as your vet said" in page

    address = f"/animals/{pip.code}/health/new/"
    assert f"{address}?kind=visit&amp;settles={visit.pk}" in page
    sent = {"kind": "visit", "on": "2027-03-10", "words": "All well.", "settles": str(visit.pk)}
    client_of(foster).post(address, sent)

    assert rows_of(pip) == []
    assert "re-checked" not in today_of(foster)


def test_a_vaccination_is_due_on_the_day_that_the_vet_named(pip, write, rows_of, day):
    write(pip, "vaccination", again_on=day(20))

    assert rows_of(pip) == [(VACCINATION, day(20))]


def test_a_correction_moves_what_is_due(pip, write, rows_of, day):
    visit = write(pip, "visit", again_on=day(0))
    rows_of(pip)

    write(pip, "visit", again_on=day(5), corrects=visit, first=visit, why="wrong day")

    assert rows_of(pip) == [(RECHECK, day(5))]


def test_an_animal_in_no_enclosure_has_its_re_checks_too(
    make_animal, write, rows_of, coordinator, today_of, day
):
    nut = make_animal("Nut")
    rows_of(nut)

    write(nut, "visit", again_on=day(0))

    assert rows_of(nut) == [(RECHECK, day(0))]
    assert "Nut: re-check" in today_of(coordinator)


def test_who_departs_has_no_dues(pip, write, rows_of, day):
    write(pip, "visit", again_on=day(3))
    pip.left_on, pip.left_why = day(-1), "adopted"
    pip.save()

    assert rows_of(pip) == []


def test_teeth_and_nails_are_due_by_the_rhythm_of_the_rescue(pip, write, rows_of, answer_to, day):
    answer_to("", teeth_check_days=10, nail_check_days=20, checks_since=day(-30))
    assert rows_of(pip) == [(NAILS, day(-10)), (TEETH, day(-20))]

    write(pip, "teeth")

    assert rows_of(pip) == [(NAILS, day(-10)), (TEETH, day(9))]


def test_a_rhythm_can_be_turned_off(pip, write, rows_of, answer_to, day):
    answer_to("", teeth_check_days=0, nail_check_days=0, checks_since=day(-30))
    write(pip, "teeth")

    assert rows_of(pip) == []


def test_a_rhythm_is_kept_from_the_day_on_which_it_is_saved(answer_to, day):
    rescue = answer_to("")
    sent = {"guinea_pig_quarantine_days": 14, "rabbit_quarantine_days": 14}
    sent |= {"weigh_every_days": 7, "weight_alarm_percent": 10}
    sent |= {"safety_check_days": 30, "teeth_check_days": 30, "nail_check_days": 0}
    sent |= {"trial_days": 14, "adoption_follow_ups": "7"}

    form = RescueForm(sent, instance=rescue)

    assert form.is_valid(), form.errors
    assert form.save().checks_since == day(0)


def test_a_foster_ticks_the_checks_of_a_home_in_one_form(
    pip, rows_of, answer_to, client_of, foster, text_of, day
):
    answer_to("", checks_since=day(-60))
    client = client_of(foster)
    assert "Check the teeth of Pip." in text_of(client.get("/today/"))
    page = text_of(client.get("/health/checks/"))
    assert f'value="teeth-{pip.code}"' in page

    sent = {"once": "5f0c7c52-3f5f-4d8e-9b39-7a35cbd7a222", "done": [f"teeth-{pip.code}"]}
    for _twice in range(2):
        client.post("/health/checks/", sent)

    assert [one.kind for one in HealthEntry.objects.all()] == ["teeth"]
    assert rows_of(pip) == [(NAILS, day(-18)), (TEETH, day(30))]


def test_who_sees_no_such_animal_ticks_none(pip, answer_to, client_of, make_person, day):
    answer_to("", checks_since=day(-60))
    other = make_person("noor", role="foster")

    answer = client_of(other).post("/health/checks/", {"done": [f"teeth-{pip.code}"]})

    assert answer.status_code == 422
    assert not HealthEntry.objects.exists()


def test_what_is_due_stands_in_the_calendar(pip, write, foster, today, day):
    write(pip, "visit", again_on=day(3))

    titles = [one.title.replace("\xa0", " ") for one in entries_for(foster, today, str)]

    assert "Pip: re-check, as your vet said" in titles


def test_the_checks_of_30_animals_ask_as_many_questions_as_those_of_3(
    lives, answer_to, coordinating, queries_for, day
):
    answer_to("", checks_since=day(-60))
    lives(*(f"A{number}" for number in range(3)), plan=("####",) * 8)
    few = queries_for(coordinating, "/health/checks/")
    lives(*(f"B{number}" for number in range(9)), plan=("####",) * 8)

    assert queries_for(coordinating, "/health/checks/") == few
