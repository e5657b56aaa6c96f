"""A death at the adopter's: told, without a trace lost, and those that are left are thought of."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.adoptions.models.adoptions import AdoptionState
from habitats.adoptions.models.deaths import AdopterDeath, record_death, strike_death
from habitats.adoptions.models.steps import adopt, begin_trial, end
from habitats.animals.models.acts import Act
from habitats.animals.models.undoing import hindrance_to
from habitats.common.happened import Elsewhere


@pytest.fixture
def adopted(pair, make_reserved, step, day):
    """Pip and Moss went 9 days ago; one follow-up was due 2 days ago, one is in 20 days."""
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    adopt(adoption, step(-9), [day(-2), day(20)])
    for one in animals:
        one.refresh_from_db()
    return adoption, animals


def test_the_adoption_stays_and_the_other_is_with_the_adopter(adopted, step):
    adoption, (pip, moss) = adopted

    record_death(adoption, pip, step(-1, "Found in the morning"))

    assert adoption.state_now() == AdoptionState.ADOPTED
    assert list(adoption.open_animals()) == [moss]
    pip.refresh_from_db()
    assert pip.left_why == "adopted"


def test_when_all_have_died_it_was_an_adoption_and_nobody_is_asked(adopted, step):
    adoption, (pip, moss) = adopted

    record_death(adoption, pip, step(-3))
    assert adoption.follow_ups.open().count() == 2

    record_death(adoption, moss, step(-1))
    assert adoption.state_now() == AdoptionState.ADOPTED
    assert not adoption.follow_ups.open().exists()


def test_the_adopter_of_one_that_is_left_is_asked_soon(adopted, step, day):
    adoption, (pip, moss) = adopted

    record_death(adoption, pip, step(-1), ask_on=day(7))
    assert adoption.follow_ups.filter(on=day(7)).exists()

    assert adoption.follow_ups.count() == 3
    record_death(adoption, moss, step(0), ask_on=day(8))
    assert not adoption.follow_ups.filter(on=day(8)).exists()


def test_a_follow_up_that_is_planned_on_that_day_is_enough(adopted, step, day):
    adoption, (pip, _moss) = adopted

    record_death(adoption, pip, step(-1), ask_on=day(20))

    assert adoption.follow_ups.filter(on=day(20)).count() == 1


def test_nothing_dies_twice_nor_before_it_went_there(adopted, step):
    adoption, (pip, _moss) = adopted

    with pytest.raises(Elsewhere, match="went there on"):
        record_death(adoption, pip, step(-10))
    once = step(-1)
    assert record_death(adoption, pip, once) == record_death(adoption, pip, once)
    with pytest.raises(Elsewhere, match="not with this adopter"):
        record_death(adoption, pip, step(0))


def test_a_death_told_wrongly_is_struck_out_and_the_animal_lives_there(adopted, step, coordinator):
    adoption, (pip, moss) = adopted
    death = record_death(adoption, pip, step(-1))

    strike_death(death, by=coordinator)
    strike_death(death, by=coordinator)

    assert set(adoption.open_animals()) == {pip, moss}
    assert not AdopterDeath.objects.standing().exists()


def test_one_that_dies_on_trial_departs_from_our_care(pair, make_reserved, step, day, today):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    begin_trial(adoption, day(10), step(-4))

    death = record_death(adoption, pip, step(-1))

    pip.refresh_from_db()
    assert (pip.left_on, pip.left_why) == (day(-1), "died")
    assert adoption.state_now() == AdoptionState.TRIAL
    with pytest.raises(Elsewhere, match="on its own page"):
        strike_death(death, by=death.made_by)


def test_one_that_died_does_not_come_back_by_an_undone_departure(adopted, step):
    adoption, (pip, _moss) = adopted
    departure = Act.objects.filter(kind=Act.Kind.DEPARTURE, animal=pip).get()
    record_death(adoption, pip, step(-1))

    assert "left with an adoption" in hindrance_to(departure).sentence


def test_what_is_left_comes_back_and_the_adoption_is_returned(adopted, step):
    adoption, (pip, moss) = adopted
    record_death(adoption, pip, step(-3))

    end(adoption, [moss], step(-1, "Alone"), with_quarantine=False)

    assert adoption.state_now() == AdoptionState.RETURNED


# --- On the pages ---


def test_the_form_records_it_and_the_page_warns_of_the_one_left_alone(
    adopted, coordinating, text_of, day
):
    adoption, (pip, _moss) = adopted
    address = f"/adoptions/{adoption.code}/died/"
    assert "One that is left alone needs company" in text_of(coordinating.get(address))
    given = {"on": day(-1).isoformat(), "ask_on": day(3).isoformat()}

    refused = coordinating.post(address, given)
    assert refused.status_code == 422
    assert "Choose the animal that died." in text_of(refused)

    coordinating.post(address, {**given, "animal": pip.code, "note": "An old heart"})
    said = text_of(coordinating.get(f"/adoptions/{adoption.code}/"))
    assert "Moss is alone there now" in said
    assert "Talk to the adopter" in said
    assert "Pip died" in said
    assert "An old heart" in said
    assert adoption.follow_ups.filter(on=day(3)).exists()


def test_one_that_died_soon_after_leaving_points_to_whom_it_met_here(
    adopted, pair, step, coordinating
):
    adoption, (pip, _moss) = adopted
    record_death(adoption, pip, step(-1))

    page = coordinating.get(f"/adoptions/{adoption.code}/").content.decode()
    assert "Pip died soon after leaving you" in page
    assert f"/traces/new/?sort=group&amp;code={pair[0].code}" in page


def test_a_death_long_after_does_not(adopted, step, coordinating, text_of):
    adoption, (pip, _moss) = adopted
    record_death(adoption, pip, step(19))

    assert "soon after" not in text_of(coordinating.get(f"/adoptions/{adoption.code}/"))


def test_with_company_at_home_none_is_alone(adopted, step, coordinating, text_of):
    adoption, (pip, _moss) = adopted
    adoption.females_at_home = 1
    adoption.save()
    record_death(adoption, pip, step(-1))

    assert "is alone there" not in text_of(coordinating.get(f"/adoptions/{adoption.code}/"))


def test_its_own_page_tells_of_it_and_takes_it_back_no_more(adopted, step, coordinating, text_of):
    adoption, (pip, _moss) = adopted
    record_death(adoption, pip, step(-1, "An old heart"))
    basis = coordinating.get(f"/animals/{pip.code}/")

    said = text_of(basis)
    assert "at the new home on" in said
    assert "An old heart" in said
    assert "Readmit" not in said

    coordinating.post(f"/animals/{pip.code}/come-back/")
    pip.refresh_from_db()
    assert not pip.is_here


def test_a_page_with_many_deaths_asks_no_more(adopted, step, coordinating, coordinator):
    adoption, (pip, _moss) = adopted

    def asked():
        with CaptureQueriesContext(connection) as queries:
            coordinating.get(f"/adoptions/{adoption.code}/")
        return len(queries)

    strike_death(record_death(adoption, pip, step(-2)), by=coordinator)
    asked()
    few = asked()
    for _again in range(5):
        strike_death(record_death(adoption, pip, step(-2)), by=coordinator)
    assert asked() == few


# --- Departures on the animal's own page ---


@pytest.mark.parametrize("on_trial", [False, True])
def test_a_reserved_animal_departs_as_adopted_on_its_adoption_alone(
    pair, make_reserved, step, day, coordinating, text_of, on_trial
):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    if on_trial:
        begin_trial(adoption, day(10), step(-4))
    address = f"/animals/{pip.code}/leaving/"
    assert f"/adoptions/{adoption.code}/adopted/" in text_of(coordinating.get(address))

    refused = coordinating.post(address, {"on": day(0).isoformat(), "why": "adopted"})

    assert refused.status_code == 422
    assert "Record the adoption on the page of that reservation." in text_of(refused)
    pip.refresh_from_db()
    assert pip.is_here
    adopt(adoption, step(), [])
    assert not adoption.open_animals().here().exists()


def test_an_adoption_that_was_left_open_before_is_told_and_closed(
    pair, make_reserved, step, today, coordinating, text_of
):
    """As older versions let it be: departed as adopted, the reservation open."""
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    type(pip).objects.filter(pk=pip.pk).update(left_on=today, left_why="adopted")

    said = text_of(coordinating.get(f"/adoptions/{adoption.code}/"))
    assert "Recorded as adopted elsewhere:</span> Pip." in said

    adopt(adoption, step(), [])
    assert adoption.state_now() == AdoptionState.ADOPTED


# --- Nothing to check against ---


@pytest.mark.parametrize("page", ["", "trial/", "adopted/"])
def test_without_a_standard_the_adoption_says_that_nothing_was_checked(
    page, pair, make_reserved, answer_to, coordinating, text_of
):
    _group, animals, _enclosure = pair
    address = f"/adoptions/{make_reserved(*animals).code}/{page}"

    said = text_of(coordinating.get(address))
    assert "no space standard is chosen for guinea pigs" in said
    assert "/rescue/#id_currency" in said
    assert "No recorded reason against it" not in said

    answer_to("ch-tschv")
    assert "no space standard is chosen" not in text_of(coordinating.get(address))
