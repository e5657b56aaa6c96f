"""The waiting list: who fits what an adopter wishes for, and why the others do not."""

import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from habitats.adoptions.models.adopters import Adopter
from habitats.adoptions.models.wishes import EnoughMatches, Wish, matches_of
from habitats.animals.models.quarantines import Quarantine
from habitats.rescue.models.rescue import Rescue

ENOUGH = EnoughMatches(fits=20, near=10)


@pytest.fixture
def make_wish(adopter, coordinator, day):
    def make(**facts):
        facts = {"species": "guinea_pig", "number": 2, "since": day(-30), **facts}
        return Wish.objects.create(adopter=adopter, made_by=coordinator, **facts)

    return make


@pytest.fixture
def found(today):
    """`found(wish)`: names that fit, and near misses with the reason."""

    def find(wish):
        matches = matches_of([wish], today, Rescue.ours(), ENOUGH)[wish.pk]
        return (
            {one.names for one in matches.fits},
            {one.names: one.why for one in matches.near},
        )

    return find


def test_a_pair_that_is_ready_fits(pair, make_wish, found):
    assert found(make_wish()) == ({"Moss and Pip"}, {})
    assert found(make_wish(sex="F")) == ({"Moss and Pip"}, {})


def test_reserved_animals_are_a_near_miss(pair, make_reserved, make_wish, found):
    _group, animals, _enclosure = pair
    make_reserved(*animals)

    assert found(make_wish()) == (set(), {"Moss and Pip": "Reserved or on trial."})


def test_quarantine_is_told_with_its_end(
    make_animal, make_group, coordinator, make_wish, found, day
):
    nut, moss = make_animal("Nut"), make_animal("Moss")
    make_group(nut, moss, since=day(-3))
    Quarantine.objects.create(
        animal=nut, since=day(-3), until=day(11), why="illness", made_by=coordinator
    )

    fits, near = found(make_wish())

    assert fits == set()
    assert near["Moss and Nut"].replace("\xa0", " ") == "Nut is in quarantine until 21 March 2027."


def test_one_that_lost_weight_waits(pair, coordinator, make_wish, found, day, today):
    """From 900 g to 780 g: 13 per cent, where the house's figure is 10."""
    _group, (pip, _moss), _enclosure = pair
    pip.weigh(780, today, by=coordinator)

    fits, near = found(make_wish())

    assert fits == set()
    assert "Pip lost weight: 780 g" in near["Moss and Pip"].replace("\xa0", " ")


def test_one_that_may_have_a_litter_waits(make_animal, make_group, make_wish, found, day):
    sow = make_animal("Olive", may_be_pregnant=True, with_male_last=day(-20))
    make_group(sow, make_animal("Fig"))

    fits, near = found(make_wish())

    assert fits == set()
    assert "may have a litter" in near["Fig and Olive"]


@pytest.mark.parametrize(("months", "fits"), [((6, 12), True), ((11, 24), False), ((1, 9), False)])
def test_age_counts_with_both_its_bounds(
    make_animal, make_group, make_wish, found, day, months, fits
):
    """Ten months: 304 days."""
    make_group(make_animal("Pip", born=day(-310)), make_animal("Moss", born=day(-310)))
    first, last = months

    fitting, _near = found(make_wish(from_months=first, to_months=last))

    assert (fitting == {"Moss and Pip"}) is fits


def test_an_unknown_age_fits_no_wish_for_one(make_animal, make_group, make_wish, found, day):
    make_group(make_animal("Pip", born=day(-310)), make_animal("Moss"))

    assert found(make_wish(from_months=6)) == (
        set(),
        {"Moss and Pip": "The age of Moss is not known."},
    )


def test_one_alone_goes_where_company_lives(make_animal, make_wish, found):
    make_animal("Solo")

    alone, near = found(make_wish(number=1))
    assert alone == set()
    assert "no company lives at the new home" in near["Solo"]
    assert found(make_wish(number=1, has_company=True)) == ({"Solo"}, {})


def test_a_group_is_not_split_for_a_wish(make_animal, make_group, make_wish, found):
    make_group(make_animal("Pip"), make_animal("Moss"), make_animal("Fen"))

    fits, near = found(make_wish())

    assert fits == set()
    assert "3 live together" in near["Fen, Moss and Pip"]


def test_other_species_and_those_who_left_are_nowhere(
    make_animal, make_group, make_wish, found, today
):
    make_group(
        make_animal("Hop", species="rabbit"), make_animal("Lop", species="rabbit"), species="rabbit"
    )
    make_animal("Gone", left_on=today, left_why="died")

    assert found(make_wish()) == (set(), {})
    assert found(make_wish(number=1, has_company=True)) == (set(), {})


# --- Pages ---


def test_who_fits_is_found_behind_many_who_do_not(
    make_animal, make_group, make_wish, found, day, monkeypatch
):
    monkeypatch.setattr("habitats.adoptions.models.wishes.FIRST_LOOK", 2)
    for number in range(6):
        young = {"born": day(-20), "came_on": day(-20)}
        make_group(*(make_animal(f"{one}{number}", **young) for one in ("Fig", "Nut")))
    make_group(make_animal("Moss", grams=900, sex="F"), make_animal("Pip", grams=900, sex="F"))

    fits, _near = found(make_wish())

    assert fits == {"Moss and Pip"}


def test_of_many_who_fit_the_first_are_told_and_all_on_request(
    make_animal, make_group, make_wish, coordinating, monkeypatch
):
    few = EnoughMatches(fits=2, near=0)
    monkeypatch.setattr("habitats.adoptions.views.wishes.ON_ITS_PAGE", few)
    for number in range(3):
        make_group(*(make_animal(f"{one}{number}", grams=900) for one in ("Fig", "Nut")))
    wish = make_wish()

    first = coordinating.get(f"/wishes/{wish.pk}/")
    every = coordinating.get(f"/wishes/{wish.pk}/?shown=all")

    assert [len(page.context["fits"]) for page in (first, every)] == [2, 3]
    assert 'href="?shown=all"' in first.content.decode()
    assert 'href="?shown=all"' not in every.content.decode()


def test_a_wish_is_written_down_and_its_matches_lead_to_a_reservation(pair, coordinating, text_of):
    _group, (pip, _moss), _enclosure = pair

    answer = coordinating.post(
        "/wishes/new/",
        {"name": "Rue Marlow", "since": "2027-03-01", "species": "guinea_pig", "number": "2"},
    )

    wish = Wish.objects.get()
    assert answer.url == f"/wishes/{wish.pk}/"
    page = coordinating.get(answer.url).content.decode()
    assert f"/adoptions/new/?adopter={wish.adopter.code}" in page
    assert f"animal={pip.code}" in page
    assert "Moss and Pip" in text_of(coordinating.get("/wishes/"))


def test_a_wish_that_is_sent_twice_is_written_down_once(coordinating):
    once = str(uuid.uuid4())
    sent = {"once": once, "name": "Rue", "since": "2027-03-01", "species": "rabbit", "number": "2"}

    for _click in range(2):
        coordinating.post("/wishes/new/", sent)

    assert (Wish.objects.count(), Adopter.objects.count()) == (1, 1)


def test_the_page_of_an_animal_tells_who_waits_for_such(pair, make_wish, coordinating, text_of):
    _group, (pip, _moss), _enclosure = pair
    make_wish()

    assert "Waiting for such animals" in text_of(coordinating.get(f"/animals/{pip.code}/"))


def test_ages_that_fall_are_refused_beside_the_field(coordinating, text_of):
    refused = coordinating.post(
        "/wishes/new/",
        {
            "name": "Rue",
            "since": "2027-03-01",
            "species": "rabbit",
            "number": "2",
            "from_months": "12",
            "to_months": "6",
        },
    )

    assert refused.status_code == 422
    assert "Enter the age from above, or a higher one." in text_of(refused)
    assert not Adopter.objects.exists()


def test_a_wish_is_taken_off_the_list(make_wish, coordinating, text_of):
    wish = make_wish()

    coordinating.post(f"/wishes/{wish.pk}/close/")

    assert "Nobody is waiting" in text_of(coordinating.get("/wishes/"))


def test_the_list_asks_as_much_for_three_as_for_many(
    make_wish, make_animal, make_group, coordinating
):
    def asked():
        coordinating.get("/wishes/")
        with CaptureQueriesContext(connection) as queries:
            coordinating.get("/wishes/")
        return len(queries)

    for at in range(3):
        make_wish(number=1 + at % 2)
        make_group(make_animal(f"A{at}"), make_animal(f"B{at}"))
        make_animal(f"C{at}")
    few = asked()
    for at in range(15):
        make_wish(number=1 + at % 2, since=Wish.objects.first().since - timedelta(days=at))
        make_group(make_animal(f"D{at}"), make_animal(f"E{at}"))
        make_animal(f"F{at}")
    assert asked() <= few


# --- Fulfilled, and open again ---


@pytest.fixture
def adopted_by_page(pair, make_reserved, coordinating, day):
    """`adopted_by_page(**fields)`: the pair is reserved, and adopted by the form."""
    _group, animals, _enclosure = pair

    def adopt(**fields):
        adoption = make_reserved(*animals)
        address = f"/adoptions/{adoption.code}/adopted/"
        page = coordinating.get(address)
        answer = coordinating.post(address, {"on": day(-2).isoformat(), **fields})
        assert answer.status_code == 302
        return adoption, page.context["form"]

    return adopt


def test_an_adoption_fulfils_the_wish_that_is_ticked(
    adopted_by_page, make_wish, coordinating, text_of, day
):
    wish, other = make_wish(), make_wish(number=1)

    adoption, form = adopted_by_page(fulfils=[wish.pk])

    assert form["fulfils"].value() == [wish.pk]
    assert list(Wish.objects.open()) == [other]
    wish.refresh_from_db()
    assert wish.closed_on == day(-2)
    said = text_of(coordinating.get(f"/wishes/{wish.pk}/"))
    assert "Fulfilled" in said
    assert f"/adoptions/{adoption.code}/" in said


def test_a_wish_for_others_is_not_offered(adopted_by_page, make_wish):
    make_wish(species="rabbit")

    _adoption, form = adopted_by_page()

    assert "fulfils" not in form.fields
    assert Wish.objects.open().exists()


@pytest.mark.parametrize("asked", [False, True])
def test_a_wish_comes_back_on_return_only_if_asked(
    adopted_by_page, pair, make_wish, coordinating, day, asked
):
    wish = make_wish()
    adoption, _form = adopted_by_page(fulfils=[wish.pk])
    back = {"animals": [one.code for one in pair[1]], "on": day(0).isoformat(), "note": "Allergy"}

    coordinating.post(
        f"/adoptions/{adoption.code}/end/", {**back, **({"reopens": "on"} if asked else {})}
    )

    assert Wish.objects.open().exists() == asked
    assert adoption.wish_events.filter(kind="reopened").exists() == asked
