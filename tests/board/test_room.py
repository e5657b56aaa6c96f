"""Room for [3] [sows]: who could take newcomers today, by an address that can be passed on."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.animals.models.animals import Animal
from habitats.animals.models.groups import Group
from habitats.animals.models.quarantines import Quarantine
from habitats.enclosures.models.enclosures import EnclosureState
from habitats.homes.models.absences import Absence
from habitats.readings.models import placing
from habitats.readings.models.readings import Reading
from habitats.traces.models.traces import Trace
from habitats.welfare.sifting import sift

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("answering")]

# 2 × 2, 2 × 3 and 2 × 4 panels of 355 mm without clearance: 5 041, 7 561 and 10 082 cm² inside.
# TSchV Annex 2 Table 1 (second-hand quotations): 5 000 cm² for two, 2 000 for each further adult.
SMALL, MIDDLE, LARGE = ("##", "##"), ("###", "###"), ("####", "####")


def free(response):
    return {one.card.reading.enclosure.label: one.takes for one in response.context["answer"].free}


def groups(response):
    return {
        one.card.reading.enclosure.label: one.takes for one in response.context["answer"].groups
    }


def refused(response):
    return {
        two.reading.enclosure.label: one.reason
        for one in response.context["answer"].refused
        for two in one.refused
    }


def test_free_enclosures_come_with_how_many_they_take_then_groups_then_why_not_others(ask, settle):
    settle("Avocet", ["Pip", "Moss"], plan=("######", "######"))
    settle("Wren", plan=MIDDLE)
    settle("Teal", plan=LARGE)
    settle("Heron", plan=SMALL)

    response = ask(room="3", animals="sows")

    assert free(response) == {"Wren's floor": "takes 3", "Teal's floor": "takes 4"}
    assert list(free(response)) == ["Wren's floor", "Teal's floor"]
    # 15 123 cm² inside: 5 000 for two and 2 000 for each of five more.
    assert groups(response) == {"Avocet's floor": "takes 5 more"}
    assert refused(response) == {"Heron's floor": "Not enough space"}
    assert "1 enclosure not offered, and why" in response.words
    assert '<span class="takes">takes 3</span>' in response.words


def test_what_is_forgotten_while_room_is_sought_is_still_told(ask, settle, monkeypatch):
    settle("Wren", plan=MIDDLE)

    def sift_and_forget(*asked):
        found = sift(*asked)
        Reading.objects.forget()
        return found

    monkeypatch.setattr(placing, "sift", sift_and_forget)

    assert free(ask(room="3", animals="sows")) == {"Wren's floor": "takes 3"}


def test_a_mother_comes_with_her_young(ask, settle):
    settle("Wren", plan=MIDDLE)
    settle("Teal", plan=LARGE)

    assert free(ask(room="4", animals="sow-and-pups")) == {"Teal's floor": "takes 4"}
    assert "2 to 20" in ask(room="1", animals="sow-and-pups").words


def test_what_is_unsafe_is_never_offered(ask, settle, unsafe):
    lived_in = settle("Avocet", ["Pip", "Moss"], plan=("######", "######"))
    empty = settle("Wren", plan=LARGE)
    for home in (lived_in, empty):
        unsafe(home.standings.get().enclosure)

    response = ask(room="2", animals="sows")

    assert not free(response)
    assert not groups(response)
    assert set(refused(response).values()) == {"Unsafe until it is mended"}


@pytest.mark.parametrize("state", ["planned", "building", "repair"])
def test_what_does_not_stand_is_never_offered(state, ask, settle, coordinator, day):
    enclosure = settle("Wren", plan=LARGE).standings.get().enclosure
    enclosure.set_state(EnclosureState(state), on=day(0), by=coordinator)

    response = ask(room="2", animals="sows")

    assert not free(response)
    assert refused(response) == {"Wren's floor": "Not standing, or needs repair"}


def test_a_group_in_quarantine_is_never_offered(ask, settle, coordinator, day):
    settle("Avocet", ["Pip", "Moss"], plan=("######", "######"))
    Quarantine.objects.create(
        animal=Animal.objects.get(name="Pip"), since=day(-1), until=day(20), made_by=coordinator
    )

    response = ask(room="1", animals="sows")

    assert not groups(response)
    assert refused(response) == {"Avocet's floor": "In quarantine"}


def test_what_met_a_suspected_infection_is_never_offered(ask, settle, day, coordinator):
    settle("Avocet", ["Pip", "Moss"], plan=("######", "######"))
    suspect = Group.objects.get()
    empty = settle("Wren", plan=LARGE).standings.get().enclosure
    for thing in (suspect, empty):
        Trace.objects.begin(thing, day(-3), "ringworm", by=coordinator)

    response = ask(room="2", animals="sows")

    assert not free(response)
    assert set(refused(response).values()) == {"Exposed to a suspected infection"}
    assert len(refused(response)) == 2


def test_boars_do_not_join_sows_and_the_reason_names_them(ask, settle):
    settle("Avocet", ["Pip", "Moss"], plan=("######", "######"))

    response = ask(room="1", animals="boars")

    assert not groups(response)
    assert refused(response) == {"Avocet's floor": "Not allowed together"}
    assert "Newcomer 1" in response.words


def test_what_holds_for_all_who_come_is_said_once(ask, settle):
    for name in ("Avocet", "Wren", "Teal"):
        settle(name, plan=LARGE)

    response = ask(room="1", animals="sows")

    assert response.words.count("your space standard forbids keeping guinea pigs singly") == 1
    assert len(response.context["answer"].refused) == 1


def test_a_home_that_looks_after_all_it_can_gets_no_more(ask, settle, make_enclosure):
    home = settle("Avocet", ["Pip", "Moss"])
    make_enclosure("Spare", home, plan=LARGE)

    assert "Spare" in refused(ask(room="2", animals="sows"))

    home.most_enclosures = 2
    home.save()
    assert "Spare" in free(ask(room="2", animals="sows"))


@pytest.mark.parametrize(
    ("limits", "reason"),
    [
        ({"most_animals": 3}, "The home looks after as many animals as it can"),
        ({"known_species": "rabbit"}, "The home has no experience with the species"),
        ({"pet_kinds": "cat"}, "No lid, and the home has other pets"),
    ],
)
def test_each_limit_of_a_home_is_a_reason(ask, settle, make_enclosure, limits, reason):
    home = settle("Avocet", ["Pip", "Moss"])
    make_enclosure("Spare", home, plan=LARGE)
    home.most_enclosures = 9
    for name, value in limits.items():
        setattr(home, name, value)
    home.save()

    assert refused(ask(room="2", animals="sows"))["Spare"] == reason


def test_with_a_lid_other_pets_are_no_reason(ask, settle, make_enclosure):
    home = settle("Avocet")
    home.pet_kinds, home.most_enclosures = "cat", 9
    home.save()
    make_enclosure("Covered", home, plan=LARGE, lid=True)

    response = ask(room="2", animals="sows")

    assert set(free(response)) == {"Covered"}
    assert set(refused(response)) == {"Avocet's floor"}


def test_a_home_that_is_away_gets_nobody(ask, settle, coordinator, day):
    home = settle("Avocet", plan=LARGE)
    away = {"first_day": day(-1), "last_day": day(3)}
    Absence.objects.record(home, by=coordinator, idempotency_key=None, **away)

    assert refused(ask(room="2", animals="sows")) == {"Avocet's floor": "The home is away"}


def test_no_more_are_offered_a_place_than_the_home_can_look_after(ask, settle):
    home = settle("Avocet", plan=("######", "######"))
    home.most_animals = 3
    home.save()

    assert free(ask(room="2", animals="sows")) == {"Avocet's floor": "takes 3"}


def test_new_intakes_are_offered_enclosures_alone_with_a_warning_beside_others(
    ask, settle, make_enclosure
):
    home = settle("Avocet", ["Pip", "Moss"], plan=("######", "######"))
    home.most_enclosures = 2
    home.save()
    make_enclosure("Spare", home, plan=LARGE)

    response = ask(room="2", animals="sows", quarantine="on")

    assert "Spare" in free(response)
    assert not groups(response)
    assert "The home has other animals and no free isolation place." in response.words
    assert refused(response) == {"Avocet's floor": "Newcomers in quarantine join no group"}


def test_without_a_space_standard_offers_say_that_the_floor_is_not_checked(ask, settle, answer_to):
    answer_to("")
    settle("Wren", plan=SMALL)

    response = ask(room="3", animals="sows")

    assert free(response) == {"Wren's floor": ""}
    assert "No space standard is chosen: check the floor." in response.words


def test_rabbits_are_not_offered_what_was_designed_for_guinea_pigs(ask, settle):
    settle("Wren", plan=LARGE)

    assert refused(ask(room="2", animals="does")) == {"Wren's floor": "For another species"}


@pytest.mark.parametrize("room", ["0", "21", "many", ""])
def test_a_number_that_makes_no_sense_is_told_beside_the_field_and_all_homes_are_shown(
    room, ask, settle
):
    settle("Wren", plan=SMALL)

    response = ask(room=room, animals="boars")

    assert response.status_code == 422
    assert "Enter a whole number from 1 to 20." in response.words
    assert '<option value="boars" selected>' in response.words
    assert "Wren's floor" in response.words.replace("&#x27;", "'")


def test_animals_that_nobody_knows_are_told_beside_the_field(ask, settle):
    settle("Wren", plan=SMALL)

    response = ask(room="2", animals="dogs")

    assert response.status_code == 422
    assert "Choose which animals come." in response.words


def test_queries_do_not_grow_with_those_that_are_offered(ask, settle):
    def queries():
        ask(room="2", animals="sows")
        with CaptureQueriesContext(connection) as caught:
            ask(room="2", animals="sows")
        return len(caught)

    for number in range(3):
        settle(f"Free {number}", plan=LARGE)
        settle(f"Lived in {number}", ["Pip", "Moss"], plan=("######", "######"))
    few = queries()
    for number in range(9):
        settle(f"More free {number}", plan=LARGE)
        settle(f"More lived in {number}", ["Pip", "Moss"], plan=("######", "######"))

    assert queries() == few
