"""Weighing: due first, one after the other, with an alarm, and slips struck out."""

import uuid
from datetime import datetime, timedelta

import pytest
from django.utils import timezone

from habitats.animals.models.animals import Animal, Weighing
from habitats.animals.models.companions import companions_of, with_facts


def weigh(client, animal, grams, **more):
    return client.post(
        f"/animals/{animal.code}/weigh/", {"grams": grams, "on": "2027-03-10", **more}
    )


@pytest.fixture
def at_home(lives, make_home, foster, coordinator, day):
    """A foster's home: Ida weighed long ago, Bo lately, Nut never; and a young one a week ago."""
    home = make_home(people=[foster])
    _group, animals, _enclosure = lives("Bo", "Ida", "Nut", "Pup", home=home)
    bo, ida, _nut, pup = animals
    bo.weigh(900, day(-2), by=coordinator)
    ida.weigh(800, day(-40), by=coordinator)
    pup.born = day(-40)
    pup.save()
    pup.weigh(300, day(-8), by=coordinator)
    return home, {one.name: one for one in animals}


def test_those_that_are_due_come_first_the_longest_not_weighed_before_others(at_home, fostering):
    rows = fostering.get("/weigh/").context["rows"]

    # Grown every four weeks, young ones every week: common practice, no source.
    assert [(row.animal.name, row.is_due) for row in rows] == [
        ("Nut", True),
        ("Ida", True),
        ("Pup", True),
        ("Bo", False),
    ]


def test_a_weight_is_kept_and_the_next_of_the_home_comes(at_home, fostering, today):
    _home, animals = at_home

    answer = weigh(fostering, animals["Nut"], "640")

    assert answer.url == f"/animals/{animals['Ida'].code}/weigh/"
    assert [(one.grams, one.on) for one in animals["Nut"].weighings.all()] == [(640, today)]


def test_after_the_last_the_list_of_the_home_comes_again(at_home, fostering, text_of):
    home, animals = at_home
    for name in ("Nut", "Ida", "Pup"):
        weigh(fostering, animals[name], "640")

    answer = weigh(fostering, animals["Bo"], "905", follow=True)

    assert answer.url == f"/weigh/?home={home.code}"
    assert "905 g today" in text_of(fostering.get(answer.url))


def test_a_weight_sent_twice_is_kept_once(at_home, fostering):
    _home, animals = at_home
    once = str(uuid.uuid4())

    for _ in range(2):
        weigh(fostering, animals["Nut"], "640", once=once)

    assert animals["Nut"].weighings.count() == 1


def test_a_page_sent_for_another_animal_says_so_and_can_be_sent_once_more(
    at_home, fostering, text_of
):
    _home, animals = at_home
    once = str(uuid.uuid4())
    weigh(fostering, animals["Nut"], "640", once=once)

    answer = weigh(fostering, animals["Ida"], "810", once=once)
    assert answer.status_code == 422
    assert "This page was sent before, for Nut. Nothing is saved for Ida yet" in text_of(answer)

    weigh(fostering, animals["Ida"], "810", once=answer.context["form"]["once"].value())
    assert animals["Ida"].weighings.filter(grams=810).count() == 1


def test_the_page_says_what_changed(at_home, fostering, text_of):
    _home, animals = at_home
    weigh(fostering, animals["Bo"], "914 g")

    assert "Bo: 914 g, 14 g more than on 8 March 2027." in text_of(fostering.get("/weigh/"))


def test_a_fall_is_an_alarm_that_sends_to_a_vet(
    make_animal, coordinating, coordinator, text_of, day
):
    # Crowder and Hand 1990, animal 1, study weeks 5 and 6: 504 g, then 436 g, a fall of 13.5 %.
    animal = make_animal("Ida")
    animal.weigh(504, day(-7), by=coordinator)

    weigh(coordinating, animal, "436")

    said = text_of(coordinating.get(f"/animals/{animal.code}/"))
    assert "(−13.5 %)" in said
    assert "call a vet today" in said


@pytest.mark.parametrize(
    ("grams", "sentence"),
    [
        ("0", "0 g cannot be the weight of a guinea pig: 30 g to 2 500 g are allowed."),
        ("40000", "40 000 g cannot be the weight of a guinea pig"),
        ("8oo", "“8oo” is not a weight. Enter whole grams, such as 812."),
        ("-812", "“-812” is not a weight"),
        ("81.2", "“81.2” is not a weight"),
        ("٨١٢", "is not a weight"),
        ("", "Enter what the scales show, in grams, such as 812."),
    ],
)
def test_a_weight_that_cannot_be_is_refused_with_a_sentence(
    grams, sentence, make_animal, coordinating, text_of
):
    answer = weigh(coordinating, make_animal(), grams)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Weighing.objects.exists()


@pytest.mark.parametrize(
    ("on", "sentence"),
    [
        ("2027-03-11", "11 March 2027 is in the future"),
        ("2027-02-28", "A weighing on 28 February 2027 would be before its birth on 1 March 2027"),
        ("1970-01-01", "is too long ago"),
    ],
)
def test_a_day_that_cannot_be_is_refused_and_the_number_stays(
    on, sentence, make_animal, coordinating, text_of
):
    answer = weigh(coordinating, make_animal(born="2027-03-01", came_on="2027-03-01"), "99", on=on)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert 'value="99"' in text_of(answer)


def test_a_slip_is_struck_out_and_stays_to_be_read(make_animal, coordinating, coordinator, text_of):
    animal = make_animal(grams=80)
    slip = animal.weighings.get()

    for _ in range(2):
        coordinating.post(
            f"/animals/{animal.code}/weighings/{slip.pk}/strike/", {"why": "a digit short"}
        )

    page = coordinating.get(f"/animals/{animal.code}/")
    assert page.context["last"] is None
    assert "marked as wrong by Cora Lind: a digit short" in text_of(page)


def test_a_foster_strikes_out_their_own_slips_only(at_home, fostering, foster, day):
    _home, animals = at_home
    own = animals["Bo"].weigh(90, day(0), by=foster)
    of_another = animals["Bo"].weighings.exclude(pk=own.pk).get()

    answers = [
        fostering.post(f"/animals/{animals['Bo'].code}/weighings/{one.pk}/strike/")
        for one in (own, of_another)
    ]

    assert [answer.status_code for answer in answers] == [302, 403]
    assert list(animals["Bo"].weighings.standing()) == [of_another]


def test_a_weighing_of_another_animal_is_not_struck_out_by_this_ones_address(
    make_animal, coordinating
):
    other = make_animal("Moss", grams=800)

    answer = coordinating.post(
        f"/animals/{make_animal().code}/weighings/{other.weighings.get().pk}/strike/"
    )

    assert answer.status_code == 404


def test_a_foster_weighs_nobody_of_a_home_that_is_not_theirs(at_home, make_home, fostering):
    assert fostering.get(f"/weigh/?home={make_home('Other').code}").status_code == 404


@pytest.mark.parametrize("address", ["/weigh/", "/animals/{}/weigh/"])
def test_weighing_asks_as_many_queries_for_twelve_as_for_three(
    address, lives, make_home, coordinating, queries_for
):
    home = make_home()
    _group, (first, *_), _enclosure = lives("A", "B", "C", home=home, grams=800)
    address = address.format(first.code)
    few = queries_for(coordinating, address)
    lives(*(f"D{number}" for number in range(9)), home=home, grams=800)

    assert queries_for(coordinating, address) == few


# --- Several weighings of a day, and slips of a digit ---


@pytest.fixture
def ida(make_animal, coordinator, day):
    animal = make_animal("Ida", born=day(-900))
    animal.weigh(1150, day(-7), by=coordinator)
    return animal


def test_weights_of_one_day_stand_in_the_order_of_the_moment_they_were_taken(
    ida, coordinator, coordinating, today
):
    # Sent late from a phone without signal: taken first, written down last.
    noon = timezone.make_aware(datetime(2027, 3, 10, 12))
    for grams, hours in ((1100, 0), (1120, -3)):
        Weighing.objects.create(
            animal=ida,
            grams=grams,
            on=today,
            made_by=coordinator,
            made_at=noon + timedelta(hours=hours),
        )

    page = coordinating.get(f"/animals/{ida.code}/")

    assert [one.grams for one in page.context["weighings"]] == [1100, 1120, 1150]
    assert page.context["last"].grams == 1100
    (companion,) = companions_of(with_facts(Animal.objects.filter(pk=ida.pk), today))
    assert companion.weighed_by(today).grams == 1100


def test_a_likely_slip_of_a_digit_asks_before_it_is_kept_and_before_it_sends_to_a_vet(
    ida, coordinating, text_of
):
    answer = weigh(coordinating, ida, "115")

    said = text_of(answer)
    assert answer.status_code == 422
    assert "115 g now, 1 150 g on 3 March 2027" in said
    assert "Save 115 g" in said
    assert 'value="115"' in said
    assert "call a vet" not in said
    assert ida.weighings.count() == 1


def test_the_number_is_corrected_and_kept(ida, coordinating, today):
    once = str(uuid.uuid4())
    weigh(coordinating, ida, "115", once=once)

    weigh(coordinating, ida, "1150", once=once)

    assert [one.grams for one in ida.weighings.filter(on=today)] == [1150]


def test_a_number_that_is_confirmed_is_kept_and_is_an_alarm(ida, coordinating, today, text_of):
    once = str(uuid.uuid4())
    weigh(coordinating, ida, "115", once=once)

    for _ in range(2):
        weigh(coordinating, ida, "115", sure="115", once=once)

    assert [one.grams for one in ida.weighings.filter(on=today)] == [115]
    assert "call a vet today" in text_of(coordinating.get(f"/animals/{ida.code}/"))


def test_what_was_confirmed_for_one_number_is_asked_again_for_another(ida, coordinating):
    assert weigh(coordinating, ida, "15", sure="115").status_code == 422
    assert weigh(coordinating, ida, "150", sure="115").status_code == 422


def test_weighed_again_on_the_same_day_the_page_compares_with_the_day_before(
    ida, coordinating, text_of
):
    weigh(coordinating, ida, "1300")
    weigh(coordinating, ida, "1160")

    said = text_of(coordinating.get(f"/animals/{ida.code}/"))
    assert "1 160 g, 10 g more than on 3 March 2027" in said
    assert "call a vet" not in said
