"""Weighing: due first, one after the other, with an alarm, and slips struck out."""

import uuid

import pytest

from habitats.models import Weighing


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
    assert "This page was sent before, for Nut. Nothing is kept for Ida yet" in text_of(answer)

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
        ("8oo", "“8oo” is no weight. Type whole grams, such as 812."),
        ("-812", "“-812” is no weight"),
        ("81.2", "“81.2” is no weight"),
        ("٨١٢", "is no weight"),
        ("", "Type what the scales show, in grams, such as 812."),
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
    assert "struck out by Cora Lind: a digit short" in text_of(page)


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
def test_weighing_asks_as_many_queries_for_thirty_as_for_three(
    address, lives, make_home, coordinating, queries_for
):
    home = make_home()
    _group, (first, *_), _enclosure = lives("A", "B", "C", home=home, grams=800)
    address = address.format(first.code)
    few = queries_for(coordinating, address)
    lives(*(f"D{number}" for number in range(27)), home=home, grams=800)

    assert queries_for(coordinating, address) == few
