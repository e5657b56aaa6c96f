"""What a foster reports of an animal is on the coordinators' Today until they have acted on it."""

import pytest

from habitats.health.models.entries import HealthEntry

pytestmark = pytest.mark.usefixtures("at_nine")


@pytest.fixture
def report(client_of, foster):
    """`report(pip, "died")`, by the foster of its home."""

    def report(animal, kind, words=""):
        sent = {"kind": kind, "on": "2027-03-10", "words": words}
        return client_of(foster).post(f"/animals/{animal.code}/health/report/", sent)

    return report


@pytest.fixture
def today_page(coordinating, text_of):
    return lambda: text_of(coordinating.get("/today/"))


def test_a_death_is_told_with_the_way_to_record_it_until_it_is(
    pip, report, today_page, coordinating
):
    report(pip, "died", "Found in the morning.")

    assert "Reported: Pip died" in today_page()
    leaving = f"/animals/{pip.code}/leaving/?why=died&amp;on=2027-03-10"
    assert leaving in today_page()
    page = coordinating.get(leaving.replace("&amp;", "&")).content.decode()
    assert '<option value="died" selected>' in page

    coordinating.post(f"/animals/{pip.code}/leaving/", {"on": "2027-03-10", "why": "died"})
    assert "Reported:" not in today_page()


def test_an_ill_animal_is_described_and_is_on_today_until_an_entry_answers(
    pip, report, today_page, coordinating, text_of
):
    assert "Write what you saw." in text_of(report(pip, "ill"))

    report(pip, "ill", "Sits hunched, ate no hay.")
    assert "Reported: Pip is ill or hurt" in today_page()

    sent = {"kind": "visit", "on": "2027-03-10", "words": "Teeth filed."}
    told = str(HealthEntry.objects.get().pk)
    coordinating.post(f"/animals/{pip.code}/health/new/", {**sent, "settles": told})
    assert "Reported:" not in today_page()


def test_young_that_nobody_expected_are_on_today_until_the_litter_is_recorded(
    pip, report, today_page, coordinating, at_nine
):
    report(pip, "born")
    assert "Reported: Pip has young" in today_page()

    at_nine(10)
    coordinating.post(f"/animals/{pip.code}/birth/", {"on": "2027-03-10", "young": "3"})
    assert "Reported:" not in today_page()


def test_a_report_by_mistake_is_corrected_away(pip, report, today_page, coordinating):
    report(pip, "missing")
    told = HealthEntry.objects.get()

    sent = {"kind": "missing", "on": "2027-03-10", "why": "In the hay.", "is_mistake": "on"}
    coordinating.post(f"/animals/{pip.code}/health/{told.pk}/correct/", sent)

    assert "Reported:" not in today_page()
