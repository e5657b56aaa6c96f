"""The health log is appended to: what was wrong is corrected by an entry that says so."""

import pytest

from habitats.health.models.entries import HealthEntry

pytestmark = pytest.mark.usefixtures("at_nine")

SENT = {"kind": "visit", "on": "2027-03-09", "words": "Teeth uneven, filed.", "vet": "Dr Quail"}


@pytest.fixture
def write(coordinating):
    """`write(pip, again_on="2027-03-20")`: an entry by its form; the entry that was made."""

    def write(animal, **changes):
        coordinating.post(f"/animals/{animal.code}/health/new/", {**SENT, **changes})
        return HealthEntry.objects.latest("pk")

    return write


def log_of(animal):
    return f"/animals/{animal.code}/health/"


def correction(entry, **changes):
    return f"{log_of(entry.animal)}{entry.pk}/correct/", {
        **SENT,
        "why": "wrong tooth",
        **changes,
    }


def test_the_vets_words_stand_in_the_log(pip, write, coordinating, text_of):
    write(pip)

    page = text_of(coordinating.get(log_of(pip)))

    assert "Teeth uneven, filed." in page
    assert "Dr Quail" in page


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"words": ""}, "Write what was found or done."),
        ({"kind": "food"}, "Enter the grams eaten."),
        ({"again_on": "2027-03-08"}, "That is before this entry."),
        ({"on": "2027-03-11"}, "is in the future"),
        ({"kind": "advice"}, "advice is not one of the available choices"),
    ],
)
def test_what_is_missing_is_asked_for_beside_its_field(
    pip, coordinating, text_of, changed, sentence
):
    answer = coordinating.post(f"{log_of(pip)}new/", {**SENT, **changed})

    assert answer.status_code == 422
    assert sentence in text_of(answer)


def test_an_animal_that_ate_nothing_is_an_emergency(pip, coordinating, text_of):
    sent = {**SENT, "kind": "food", "grams": "0"}

    page = text_of(coordinating.post(f"{log_of(pip)}new/", sent, follow=True))

    assert "Pip ate nothing: this is an emergency. Call a vet now." in page


def test_a_correction_to_nothing_eaten_is_an_emergency_too(pip, write, coordinating, text_of):
    entry = write(pip, kind="food", grams="40")

    address, sent = correction(entry, kind="food", grams="0")

    assert "Call a vet now." in text_of(coordinating.post(address, sent, follow=True))


def test_a_correction_leaves_the_earlier_entry_in_the_log(pip, write, coordinating, text_of):
    entry = write(pip)

    coordinating.post(*correction(entry, words="Front teeth filed."))

    entry.refresh_from_db()
    assert entry.words == "Teeth uneven, filed."
    page = text_of(coordinating.get(log_of(pip)))
    assert "Front teeth filed." in page
    assert "Teeth uneven, filed." in page
    assert "wrong tooth" in page
    assert list(pip.health_entries.standing()) == [entry.correction]


def test_an_entry_is_corrected_once_and_its_correction_again(pip, write, coordinating):
    entry = write(pip)
    coordinating.post(*correction(entry, words="Once."))
    coordinating.post(*correction(entry, words="Twice."))
    entry.refresh_from_db()
    coordinating.post(*correction(entry.correction, words="Thrice."))

    assert [one.words for one in pip.health_entries.standing()] == ["Thrice."]
    assert not HealthEntry.objects.filter(words="Twice.").exists()


def test_a_mistake_no_longer_counts(pip, write, coordinating):
    entry = write(pip, again_on="2027-03-20")

    coordinating.post(*correction(entry, is_mistake="on", again_on="2027-03-20"))

    assert not pip.health_entries.to_follow().exists()


def test_nothing_saved_is_edited(pip, write):
    entry = write(pip)
    entry.words = "Something else."

    with pytest.raises(TypeError):
        entry.save()


def test_what_another_wrote_is_corrected_by_a_coordinator_alone(pip, write, client_of, foster):
    address, sent = correction(write(pip))

    assert client_of(foster).post(address, sent).status_code == 403


def test_a_re_check_is_open_until_an_entry_settles_it(pip, write):
    visit = write(pip, again_on="2027-03-10")
    assert list(pip.health_entries.to_follow()) == [visit]

    write(pip, on="2027-03-10", settles=str(visit.pk))

    assert not pip.health_entries.to_follow().exists()


def test_a_re_check_settled_before_its_entry_was_corrected_stays_settled(pip, write, coordinating):
    visit = write(pip, again_on="2027-03-10")
    write(pip, on="2027-03-10", settles=str(visit.pk))

    coordinating.post(*correction(visit, again_on="2027-03-10"))

    assert not pip.health_entries.to_follow().exists()


def test_a_corrected_answer_settles_as_before(pip, write, coordinating):
    visit = write(pip, again_on="2027-03-10")
    answer = write(pip, on="2027-03-10", settles=str(visit.pk))

    coordinating.post(*correction(answer, on="2027-03-10", words="All well now."))

    assert not pip.health_entries.to_follow().exists()


def test_the_log_asks_as_many_questions_of_3_entries_as_of_30(
    pip, make_animal, coordinating, coordinator, day, queries_for
):
    other = make_animal("Wren")
    for animal, number in ((pip, 3), (other, 12)):
        for _one in range(number):
            animal.health_entries.create(
                kind="visit", on=day(-1), words="Seen.", again_on=day(1), made_by=coordinator
            )

    assert queries_for(coordinating, log_of(pip)) == queries_for(coordinating, log_of(other))


def test_the_page_of_an_animal_tells_of_its_treatment(pip, treat, coordinating, text_of):
    treat(pip)

    page = text_of(coordinating.get(f"/animals/{pip.code}/"))

    assert "<b>Amber drops</b>" in page
    assert "Doses today" in page
