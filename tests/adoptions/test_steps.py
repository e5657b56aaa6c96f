"""What the steps of an adoption do to the animals, their group and their enclosure."""

import uuid

import pytest
from django.db import IntegrityError

from habitats.adoptions.models.adoptions import AdoptedAnimal, AdoptionState
from habitats.adoptions.models.steps import adopt, begin_trial, end, reserve, visit
from habitats.animals.models.acts import Act
from habitats.animals.models.joining import discharge, take_back
from habitats.animals.models.quarantines import Quarantine
from habitats.animals.models.undoing import hindrance_to, undo
from habitats.common.happened import Elsewhere
from habitats.readings.models.unhoused import Unhoused


def test_an_animal_is_in_one_running_adoption(pair, adopter, make_reserved, step):
    _group, (pip, moss), _enclosure = pair
    make_reserved(pip, moss)

    with pytest.raises(Elsewhere, match="Pip is reserved"):
        reserve(adopter, [pip], step(), notes="")


def test_the_database_itself_keeps_an_animal_in_one_running_adoption(pair, make_reserved):
    _group, (pip, moss), _enclosure = pair
    make_reserved(pip)
    other = make_reserved(moss)

    with pytest.raises(IntegrityError):
        AdoptedAnimal.objects.create(adoption=other, animal=pip)


def test_the_same_key_reserves_once(pair, adopter, step):
    _group, animals, _enclosure = pair
    once = step()

    first = reserve(adopter, animals, once, notes="")
    assert reserve(adopter, animals, once, notes="") == first


def test_on_trial_the_group_leaves_its_enclosure_and_lacks_none(
    pair, make_reserved, step, day, today
):
    group, animals, enclosure = pair
    adoption = make_reserved(*animals)

    begin_trial(adoption, day(10), step(-4))

    assert adoption.state_now() == AdoptionState.TRIAL
    assert group.stays.get().until == day(-4)
    assert enclosure.state_now() == "standing"
    assert group.memberships.open().count() == 2
    assert not Unhoused.objects.fresh(today).exists()


def test_one_of_a_group_goes_on_trial_in_a_group_of_its_own(pair, make_reserved, step, day):
    group, (pip, moss), _enclosure = pair

    begin_trial(make_reserved(pip), day(10), step(-4))

    assert [one.animal for one in group.memberships.open()] == [moss]
    assert group.stays.open().exists()
    assert pip.memberships.open().get().group != group


@pytest.mark.parametrize("going", [1, 2])
def test_moving_out_for_a_trial_is_not_undone_by_itself(pair, make_reserved, step, day, going):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals[:going])
    begin_trial(adoption, day(10), step(-4))
    moved_out = Act.objects.latest_first().first()

    against = hindrance_to(moved_out)
    assert "moved out for a trial with Rue Marlow" in against.sentence
    assert against.of == adoption.code

    end(adoption, animals[:going], step(-1, "Moved away"), with_quarantine=False)
    assert hindrance_to(moved_out) is None


def test_a_trial_is_extended_by_a_later_word(pair, make_reserved, step, day):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    begin_trial(adoption, day(-2), step(-10))

    begin_trial(adoption, day(9), step(-1))

    assert adoption.state_now() == AdoptionState.TRIAL
    assert [one.until for one in adoption.events.order_by("pk")] == [None, day(-2), day(9)]


def test_adopted_animals_depart_and_their_stay_ends(pair, make_reserved, step, day):
    group, (pip, moss), enclosure = pair
    adoption = make_reserved(pip, moss)

    adopt(adoption, step(-2), [day(5), day(20)])

    pip.refresh_from_db()
    assert (pip.left_on, pip.left_why) == (day(-2), "adopted")
    assert not group.memberships.open().exists()
    assert group.stays.get().until == day(-2)
    assert enclosure.state_now() == "standing"
    assert [one.on for one in adoption.follow_ups.order_by("on")] == [day(5), day(20)]


def test_the_returned_are_ours_again_together_and_in_quarantine(
    pair, make_reserved, step, day, today
):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [day(-2)])

    end(adoption, [pip, moss], step(0, "An allergy"), with_quarantine=True)

    pip.refresh_from_db()
    assert pip.is_here
    together = pip.memberships.open().get().group
    assert {one.animal for one in together.memberships.open()} == {pip, moss}
    quarantines = Quarantine.objects.all()
    assert {(one.since, one.together) for one in quarantines} == {(today, adoption.code)}
    assert adoption.state_now() == AdoptionState.RETURNED
    assert not adoption.follow_ups.open().exists()


def test_one_apart_until_a_vet_clears_it_stays_so_when_it_comes_back(
    pair, make_reserved, step, day, coordinator
):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    ill = Quarantine.objects.create(animal=pip, since=day(-12), why="illness", made_by=coordinator)
    adopt(adoption, step(-9), [])

    end(adoption, [pip, moss], step(0, "An allergy"), with_quarantine=True)

    assert list(Quarantine.objects.in_force().filter(animal=pip)) == [ill]
    assert moss.quarantines.get().why == "intake"


def test_one_that_stays_is_adopted_still(pair, make_reserved, step):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])

    end(adoption, [pip], step(-1, "They fought"), with_quarantine=False)

    assert adoption.state_now() == AdoptionState.ADOPTED
    assert list(adoption.open_animals()) == [moss]
    moss.refresh_from_db()
    assert not moss.is_here


def test_a_reservation_ends_for_all_of_it(pair, make_reserved, step):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)

    with pytest.raises(Elsewhere, match="stay together"):
        end(adoption, [pip], step(0, "Moved away"), with_quarantine=False)

    end(adoption, [pip, moss], step(0, "Moved away"), with_quarantine=False)
    assert adoption.state_now() == AdoptionState.FELL_THROUGH
    make_again = AdoptedAnimal.objects.open().filter(animal__in=[pip, moss])
    assert not make_again.exists()


@pytest.mark.parametrize("after", ["trial", "adopted", "visit"])
def test_what_has_ended_takes_no_further_step(pair, make_reserved, step, day, after):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    end(adoption, animals, step(-5, "Moved away"), with_quarantine=False)
    steps = {
        "trial": lambda: begin_trial(adoption, day(3), step()),
        "adopted": lambda: adopt(adoption, step(), []),
        "visit": lambda: visit(adoption, "fine", step()),
    }

    with pytest.raises(Elsewhere):
        steps[after]()


def test_no_step_is_dated_before_the_last(pair, make_reserved, step):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)

    with pytest.raises(Elsewhere, match="last entry"):
        adopt(adoption, step(-21), [])


def test_one_that_dies_is_reserved_no_longer(pair, make_reserved, coordinator, today):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)

    discharge(pip, today, "died", by=coordinator)
    assert list(adoption.open_animals()) == [moss]

    discharge(moss, today, "died", by=coordinator)
    assert adoption.state_now() == AdoptionState.FELL_THROUGH


def test_one_readmitted_on_its_own_page_is_returned(pair, make_reserved, step, today, coordinator):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])
    for animal in (pip, moss):
        animal.refresh_from_db()
        take_back(animal, today, by=coordinator)

    assert adoption.state_now() == AdoptionState.RETURNED


def test_an_adoption_goes_on_where_a_readmission_was_a_slip(
    pair, make_reserved, step, today, coordinator
):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])
    pip.refresh_from_db()
    take_back(pip, today, by=coordinator)
    readmission = Act.objects.latest("pk")

    undo(readmission, "wrong animal", by=coordinator, idempotency_key=uuid.uuid4())

    assert set(adoption.open_animals()) == {pip, moss}
    assert adoption.state_now() == AdoptionState.ADOPTED


def test_a_return_from_an_adoption_is_not_undone_as_a_readmission(pair, make_reserved, step):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])
    end(adoption, [pip, moss], step(-2, "allergy"), with_quarantine=False)
    group, *readmissions = Act.objects.latest_first()[:3]
    undo(group, "slip", by=step().by, idempotency_key=uuid.uuid4())

    for one in readmissions:
        assert "was returned from its adoption" in hindrance_to(one).sentence
