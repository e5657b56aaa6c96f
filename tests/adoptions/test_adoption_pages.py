"""Pages of adoptions and adopters: reserve, check, try, adopt, take back, found again."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.adoptions import Adoption, AdoptionOverride
from habitats.adoptions.models.home_checks import HomeCheck
from habitats.adoptions.models.merging import merge
from habitats.adoptions.models.steps import adopt, begin_trial, end, reserve

NEW = "/adoptions/new/"


def sent_for(*animals, **more):
    return {
        "animal": [one.code for one in animals],
        "name": "Rue Marlow",
        "on": "2027-03-10",
        **more,
    }


@pytest.fixture
def at(coordinating):
    """`at(adoption, "trial", on=…)`: sends the form of a step, as its page shows it."""

    def send(adoption, step, **fields):
        return coordinating.post(f"/adoptions/{adoption.code}/{step}/", fields)

    return send


# --- Reserved ---


def test_a_pair_is_reserved_for_somebody_new(pair, coordinating):
    _group, animals, _enclosure = pair

    answer = coordinating.post(NEW, sent_for(*animals, phone="555 0101"))

    adoption = Adoption.objects.get()
    assert answer.url == f"/adoptions/{adoption.code}/"
    assert adoption.adopter.phone == "555 0101"
    assert set(adoption.open_animals()) == set(animals)


def test_one_of_a_pair_is_reserved_for_a_reason_only(pair, coordinating, text_of):
    _group, (pip, _moss), _enclosure = pair

    said = text_of(coordinating.get(NEW, {"animal": pip.code}))
    assert "Adoption would separate them" in said
    assert "Add Moss" in said

    refused = coordinating.post(NEW, sent_for(pip, females_at_home="1"))
    assert refused.status_code == 422
    assert "Enter a reason for the override" in text_of(refused)
    assert not Adopter.objects.exists()

    answer = coordinating.post(NEW, sent_for(pip, females_at_home="1", reason="They fight"))
    assert answer.status_code == 302
    assert {one.reason for one in AdoptionOverride.objects.all()} == {"They fight"}


def test_nobody_reserves_one_to_live_alone_where_the_standard_forbids_it(
    make_animal, answer_to, coordinating, text_of
):
    answer_to("ch-tschv")
    refused = coordinating.post(NEW, sent_for(make_animal("Solo"), reason="No other"))

    assert refused.status_code == 422
    assert "Not allowed for the reasons above" in text_of(refused)
    assert not Adoption.objects.exists()


def test_an_adopter_is_chosen_or_named_anew(pair, adopter, coordinating, text_of):
    _group, animals, _enclosure = pair

    neither = coordinating.post(NEW, sent_for(*animals, name=""))
    both = coordinating.post(NEW, sent_for(*animals, adopter=adopter.code))

    assert "Choose an adopter, or enter the name of a new one" in text_of(neither)
    assert "An adopter is chosen. Leave this empty." in text_of(both)


# --- The enclosure at the new home ---


def test_a_measured_home_is_told_with_what_is_missing(
    pair, make_reserved, answer_to, at, coordinating, text_of
):
    """Two need 0.5 m² (TSchV, SR 455.1, Annex 2 Table 1)."""
    answer_to("ch-tschv")
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)

    at(adoption, "home", kind="measured", width_mm="100 cm", depth_mm="40 cm", height_mm="60 cm")

    check = HomeCheck.objects.get()
    assert (check.width_mm, check.depth_mm, check.upper_mm2) == (1000, 400, 0)
    said = text_of(coordinating.get(f"/adoptions/{adoption.code}/"))
    assert "0.40 m², at least 0.50 m² needed" in said
    assert "Not enough" in said


def test_a_home_without_measures_is_refused_beside_its_fields(pair, make_reserved, at, text_of):
    _group, animals, _enclosure = pair

    refused = at(make_reserved(*animals), "home", kind="measured", upper_width_mm="50 cm")

    said = text_of(refused)
    assert refused.status_code == 422
    assert "Enter the inside measure, from wall to wall." in said
    assert "Enter width and depth of the upper floor, or neither." in said


# --- Trial, adopted, returned ---


def test_a_trial_in_a_home_too_small_wants_a_reason(
    pair, make_reserved, answer_to, at, text_of, day
):
    answer_to("ch-tschv")
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    at(adoption, "home", kind="measured", width_mm="100 cm", depth_mm="40 cm", height_mm="60 cm")
    days = {"on": day(0).isoformat(), "until": day(14).isoformat()}

    refused = at(adoption, "trial", **days)
    assert refused.status_code == 422
    assert "Enter a reason for the override" in text_of(refused)
    assert adoption.state_now() == "reserved"

    assert at(adoption, "trial", **days, reason="A run stands beside it").status_code == 302
    assert adoption.state_now() == "trial"


def test_a_trial_ends_after_it_begins(pair, make_reserved, at, text_of, day):
    _group, animals, _enclosure = pair

    refused = at(make_reserved(*animals), "trial", on=day(0).isoformat(), until=day(-1).isoformat())

    assert refused.status_code == 422
    assert "Enter a day from 10 March 2027" in text_of(refused)


def test_adopted_then_returned(pair, make_reserved, at, coordinating, text_of, day):
    _group, (pip, moss), _enclosure = pair
    adoption = make_reserved(pip, moss)

    assert at(adoption, "adopted", on=day(-2).isoformat()).status_code == 302
    away = text_of(coordinating.get(f"/animals/{pip.code}/"))
    assert "If it comes back, record the return there." in away
    assert "Readmit" not in away

    back = {"animals": [pip.code, moss.code], "on": day(0).isoformat()}
    assert at(adoption, "end", **back).status_code == 422  # without a reason
    assert at(adoption, "end", **back, note="An allergy", with_quarantine="on").status_code == 302
    pip.refresh_from_db()
    assert pip.is_here
    assert pip.quarantines.exists()


def test_those_that_came_back_are_led_to_an_enclosure(
    pair, make_reserved, step, day, coordinating, text_of
):
    _group, (pip, moss), enclosure = pair
    adoption = make_reserved(pip, moss)
    adopt(adoption, step(-9), [])
    page = f"/adoptions/{adoption.code}/"
    assert "Choose enclosure" not in text_of(coordinating.get(page))

    end(adoption, [pip, moss], step(-1, "An allergy"), with_quarantine=False)
    group = pip.memberships.open().get().group
    assert f"/groups/{group.code}/move/" in text_of(coordinating.get(page))

    group.stays.create(enclosure=enclosure, since=day(-1), made_by=group.made_by)
    assert "Choose enclosure" not in text_of(coordinating.get(page))


def test_a_page_that_is_no_longer_true_changes_nothing(pair, make_reserved, at, step, day):
    """Two coordinators: one records the trial, the other, on an older page, the adoption."""
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    older = at(adoption, "adopted").context["request"].basis.token
    begin_trial(adoption, day(9), step(-1))

    answer = at(adoption, "adopted", on=day(0).isoformat(), basis=older)

    assert answer.status_code == 422
    assert adoption.state_now() == "trial"


# --- Seen ---


def test_reserved_animals_are_marked_in_lists_for_all_who_see_them(
    lives, make_home, foster, make_reserved, fostering, coordinating, text_of
):
    group, (pip, moss), _enclosure = lives("Pip", "Moss", home=make_home(people=[foster]))
    make_reserved(pip, moss)

    for client in (coordinating, fostering):
        assert text_of(client.get("/animals/")).count("reserved </span>") == 2
        assert text_of(client.get(f"/groups/{group.code}/")).count("reserved </span>") == 2
        assert "Reserved." in text_of(client.get(f"/animals/{pip.code}/"))
    assert "Rue" not in text_of(fostering.get(f"/animals/{pip.code}/"))


def test_who_adopted_whom_is_found_by_either_name(
    pair, make_reserved, adopter, step, coordinating, text_of
):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    adopt(adoption, step(-2), [])

    for words in ("Marlow", "Moss"):
        assert adoption.code in text_of(coordinating.get("/adoptions/", {"words": words}))
        assert "Rue Marlow" in text_of(coordinating.get("/adopters/", {"words": words}))
        found = text_of(coordinating.get("/search/", {"q": words}))
        assert f"/adoptions/{adoption.code}/" in found


def test_today_tells_of_trials_that_end_and_of_adopters_to_ask(
    pair, make_animal, make_reserved, step, day, coordinating, text_of
):
    _group, animals, _enclosure = pair
    begin_trial(make_reserved(*animals), day(0), step(-9))
    adopt(make_reserved(make_animal("Fen"), make_animal("Ash")), step(-7), [day(0), day(9)])

    said = text_of(coordinating.get("/today/"))

    assert "the trial is over" in said
    assert said.count("/follow-ups/") == 1


def test_a_follow_up_is_answered_once(pair, make_reserved, step, day, coordinating, text_of):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    adopt(adoption, step(-7), [day(0)])
    address = f"/adoptions/{adoption.code}/follow-ups/{adoption.follow_ups.get().pk}/"

    coordinating.post(address, {"on": day(0).isoformat(), "note": "Both eat well"})

    assert "Both eat well" in text_of(coordinating.get(f"/adoptions/{adoption.code}/"))
    assert "Asked already." in text_of(coordinating.get(address))


@pytest.mark.parametrize("page", ["/adoptions/", "/adopters/", "/animals/", "/today/"])
def test_a_list_asks_as_much_for_three_as_for_many(
    page, lives, adopter, step, coordinator, coordinating
):
    def reserve_more(number):
        for at in range(number):
            _group, animals, _enclosure = lives(f"A{at}", f"B{at}")
            mine = Adopter.objects.write_down(by=coordinator, name=f"Rue {at}")
            made = reserve(mine, animals, step(-9), notes="")
            if at % 2:
                begin_trial(made, step(-1).on, step(-3))

    def asked():
        coordinating.get(page)
        with CaptureQueriesContext(connection) as queries:
            coordinating.get(page)
        return len(queries)

    reserve_more(3)
    few = asked()
    reserve_more(9)
    assert asked() <= few


def test_an_adoption_asks_as_much_for_one_override_as_for_many(
    pair, make_reserved, coordinator, coordinating
):
    _group, animals, _enclosure = pair
    adoption = make_reserved(*animals)

    def asked_with(number):
        for at in range(number):
            adoption.overrides.create(
                key=f"{number} {at}",
                sentence="Too small",
                reason="A run",
                is_block=False,
                made_by=coordinator,
            )
        with CaptureQueriesContext(connection) as queries:
            coordinating.get(f"/adoptions/{adoption.code}/")
        return len(queries)

    coordinating.get(f"/adoptions/{adoption.code}/")
    assert asked_with(1) == asked_with(9)


def test_a_merged_adopter_is_edited_in_the_record_that_is_kept(adopter, coordinator, coordinating):
    double = Adopter.objects.write_down(by=coordinator, name="R. Marlow")
    merge(adopter, double, {"name": "kept"}, by=coordinator)

    answer = coordinating.post(f"/adopters/{double.code}/edit/", {"name": "Rue M."})

    assert answer.url == f"/adopters/{adopter.code}/edit/"
    double.refresh_from_db()
    assert double.name == "Recorded twice"


def test_a_group_on_trial_is_told_to_be_with_an_adopter(
    pair, make_reserved, coordinating, text_of, day, step
):
    group, animals, _enclosure = pair
    adoption = make_reserved(*animals)
    begin_trial(adoption, day(9), step(-1))

    page = text_of(coordinating.get(f"/groups/{group.code}/"))

    assert "With an adopter, on trial until" in page
    assert f"/adoptions/{adoption.code}/" in page
    assert "In no enclosure." not in page
