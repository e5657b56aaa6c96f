"""A treatment is what the vet wrote, word for word, and nothing is advised."""

import re
import uuid
from datetime import UTC, datetime, time

import pytest

from habitats.health.forms.treatments import TreatmentForm
from habitats.health.models.treatments import Dose, Treatment
from tests.support.treatments import WRITTEN, of

pytestmark = pytest.mark.usefixtures("at_nine")


def test_a_foster_writes_down_what_the_vet_wrote_word_for_word(pip, fostering_pip, text_of):
    page = text_of(
        fostering_pip.post(f"/animals/{pip.code}/health/treatments/new/", WRITTEN, follow=True)
    )

    made = Treatment.objects.get()
    assert (made.drug, made.amount, made.how) == ("Amber drops", "0.2 ml", "by mouth")
    assert made.times == ["08:00", "20:30"]
    assert "twice a day for five days" in page
    assert "Given as your vet wrote. In doubt, or if an animal does not eat: call a vet." in page


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"times": "8 o'clock"}, "“o'clock” is not a time of day."),
        ({"times": "25"}, "“25” is not a time of day."),
        ({"times": "1 2 3 4 5 6 7 8 9"}, "Enter 1 to 8 times of day"),
        ({"last_day": "2027-03-09"}, "That is before the first day."),
        ({"first_day": "2025-03-09"}, "That is more than a year ago."),
        ({"last_day": "2227-03-09"}, "This is more than five years ahead."),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(pip, coordinating, text_of, changed, sentence):
    answer = coordinating.post(
        f"/animals/{pip.code}/health/treatments/new/", {**WRITTEN, **changed}
    )

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Treatment.objects.exists()


def test_the_same_for_another_leads_on_to_the_next_without_an_amount(
    lives, treat, coordinating, text_of
):
    _group, (fern, ida, moss), _enclosure = lives("Fern", "Ida", "Moss")
    first = treat(fern)
    address = f"/animals/{ida.code}/health/treatments/new/?again={first.pk}"
    assert "Save, then Moss" in text_of(coordinating.get(address))

    answer = coordinating.post(address, {**WRITTEN, "then": ""})

    made = Treatment.objects.get(animal=ida)
    assert answer.url == f"/animals/{moss.code}/health/treatments/new/?again={made.pk}"
    page = coordinating.get(answer.url).content.decode()
    assert 'value="Amber drops"' in page
    assert "0.2 ml" not in page
    assert "Save, then" not in page


def test_a_vets_course_takes_nine_taps_besides_typing(pip, fostering_pip, text_of):
    """Health log, add treatment, six fields after the one that has the focus, save."""
    page = text_of(fostering_pip.get(f"/animals/{pip.code}/health/treatments/new/"))
    form = page.split('<form method="post" class="card">')[1].split("<details")[0]

    asked = re.findall(r'<input type="(?!hidden)\w+" name="(\w+)"', form)

    assert asked == ["drug", "amount", "how", "how_often", "times", "last_day", "vet"]
    assert "autofocus" in form


def test_the_same_form_twice_is_one_treatment(pip, coordinating):
    once = {"once": "5f0c7c52-3f5f-4d8e-9b39-7a35cbd7a111"}
    for _time in range(2):
        coordinating.post(f"/animals/{pip.code}/health/treatments/new/", {**WRITTEN, **once})

    assert Treatment.objects.count() == 1


def test_the_same_drug_written_down_by_two_people_is_asked_about(pip, treat, coordinating, text_of):
    treat(pip, drug="amber drops")
    address = f"/animals/{pip.code}/health/treatments/new/"

    refused = coordinating.post(address, WRITTEN)
    assert refused.status_code == 422
    assert "each dose would be due twice" in text_of(refused)
    assert Treatment.objects.count() == 1

    coordinating.post(address, {**WRITTEN, "both": "on"})
    assert Treatment.objects.count() == 2


@pytest.mark.parametrize(("hour", "first_from"), [(9, time(8)), (0, None)])
def test_what_was_due_before_it_was_written_down_is_no_dose_of_ours(
    pip, coordinating, at_nine, hour, first_from
):
    at_nine(hour, 10)

    coordinating.post(f"/animals/{pip.code}/health/treatments/new/", WRITTEN)

    made = Treatment.objects.get()
    assert made.first_from == (first_from and first_from.replace(minute=10))


def test_the_page_of_a_treatment_asks_as_many_questions_of_three_days_as_of_twelve(
    pip, treat, coordinating, coordinator, day, queries_for
):
    few, many = treat(pip, first_day=day(-3)), treat(pip, first_day=day(-30))
    for treatment, days in ((few, 3), (many, 12)):
        for number in range(days):
            Dose.objects.create(
                treatment=treatment,
                due_day=day(-1 - number),
                due_time=time(8),
                outcome="given",
                at=datetime(2027, 3, 1, tzinfo=UTC),
                made_by=coordinator,
            )

    assert queries_for(coordinating, of(few)) == queries_for(coordinating, of(many))


def test_a_drug_is_the_same_however_it_is_typed_and_those_used_before_are_offered(
    pip, treat, make_animal
):
    treat(pip, drug="Amber  Drops")
    treat(make_animal("Lop", species="rabbit"), drug="Clover paste")
    written = {"drug": " amber drops", "once": str(uuid.uuid4())}

    form = TreatmentForm(written, animal=pip, today=pip.treatments.get().first_day)

    assert "each dose would be due twice" in str(form.errors["both"])
    assert form.cleaned_data["drug"] == "amber drops"
    assert form.drugs == ["Amber  Drops"]


def test_the_same_for_another_animal_leaves_the_amount_to_the_vet(
    pip, coordinating, make_animal, text_of
):
    moss = make_animal("Moss", came_on=pip.came_on)
    coordinating.post(f"/animals/{pip.code}/health/treatments/new/", WRITTEN)
    made = Treatment.objects.get()
    page = coordinating.get(f"/animals/{pip.code}/health/treatments/{made.pk}/")
    assert page.context["without_it"] == [moss]

    form = coordinating.get(f"/animals/{moss.code}/health/treatments/new/?again={made.pk}").context[
        "form"
    ]
    assert (form["drug"].value(), form["how"].value()) == ("Amber drops", "by mouth")
    assert not form["amount"].value()
