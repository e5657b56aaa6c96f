"""A litter is written down in one form: a number of young, each with a page, a group, a weight."""

import uuid

import pytest

from habitats.animals.models.animals import Animal
from habitats.animals.models.quarantines import Quarantine
from habitats.homes.models.absences import Absence
from habitats.welfare.companion import BirthSpan, Companion, DatedWeight
from habitats.welfare.values import Sex, Species
from habitats.welfare.weights import weigh_by

# Born two days before; a male guinea pig leaves at 21 days (second-hand, as cited in the product).
SENT = {
    "on": "2027-03-08",
    "young": "3",
    "stillborn": "1",
    "pages": "on",
    "weighed_on": "2027-03-09",
    "note": "",
}


@pytest.fixture
def send(coordinating):
    """`send(mother, sex_1="M")`: the form sent, with that and SENT."""

    def send(mother, **more):
        given = {**SENT, "once": str(uuid.uuid4()), **more}
        return coordinating.post(f"/animals/{mother.code}/birth/", given, follow=True)

    return send


def young_of(mother):
    return list(mother.young.order_by("pk"))


def test_a_line_for_each_young_comes_with_their_number(make_animal, coordinating, text_of):
    mother = make_animal("Wren")

    page = text_of(
        coordinating.post(
            f"/animals/{mother.code}/birth/", {"young": "2", "note": "small", "lines": "1"}
        )
    )

    assert "Grams of young 2" in page
    assert "Grams of young 3" not in page
    assert 'value="small"' in page
    assert not mother.births.exists()


@pytest.mark.parametrize("sent", [{}, {"pages": "on"}])
def test_asking_for_lines_leaves_the_tick_for_pages_as_it_is(make_animal, coordinating, sent):
    address = f"/animals/{make_animal('Wren').code}/birth/"

    form = coordinating.post(address, {"young": "2", "lines": "1", **sent}).context["form"]

    assert form["pages"].value() == bool(sent)


def test_the_young_live_with_their_mother_from_the_day_of_birth(lives, send, day):
    group, (wren, _moss), _enclosure = lives("Wren", "Moss")

    send(wren, sex_1="M", grams_1="92", grams_2="88")

    young = young_of(wren)
    assert [(one.name, one.sex, one.born, one.came_on) for one in young] == [
        ("Wren 1", "M", day(-2), day(-2)),
        ("Wren 2", "", day(-2), day(-2)),
        ("Wren 3", "", day(-2), day(-2)),
    ]
    assert {(one.memberships.get().group, one.memberships.get().since) for one in young} == {
        (group, day(-2))
    }
    weighed = [list(one.weighings.values_list("grams", "on")) for one in young]
    assert weighed == [[(92, day(-1))], [(88, day(-1))], []]
    assert (wren.births.get().young, wren.births.get().stillborn) == (3, 1)


def test_young_that_came_with_their_mother_came_on_her_day(make_animal, send, day):
    wren = make_animal("Wren", came_on=day(-1))

    send(wren)

    assert {(one.born, one.came_on) for one in young_of(wren)} == {(day(-2), day(-1))}


def test_the_page_says_when_males_leave_and_the_stillborn_are_a_number(lives, send, text_of):
    _group, (wren, _moss), _enclosure = lives("Wren", "Moss")

    said = text_of(send(wren))

    assert "3 young animals have a page each. Separate males from females by 29 March 2027." in said
    assert "1 stillborn" in said


def test_sent_twice_they_are_there_once(lives, send):
    _group, (wren, _moss), _enclosure = lives("Wren", "Moss")
    once = str(uuid.uuid4())

    for _ in range(2):
        send(wren, once=once, grams_1="92")

    assert len(young_of(wren)) == 3
    assert young_of(wren)[0].weighings.count() == 1
    assert young_of(wren)[0].memberships.count() == 1


def test_young_of_a_mother_in_quarantine_are_apart_with_her(make_animal, coordinator, send, day):
    wren = make_animal("Wren")
    Quarantine.objects.create(animal=wren, since=day(-6), made_by=coordinator)

    send(wren)

    in_force = Quarantine.objects.in_force()
    words = set(in_force.values_list("together", flat=True))
    assert in_force.count() == 4
    assert words == {f"litter of {wren.code}"}


def test_without_pages_the_litter_is_a_number_alone(make_animal, send):
    wren = make_animal("Wren")

    send(wren, pages="")

    assert wren.births.get().young == 3
    assert not Animal.objects.filter(mother=wren).exists()


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"grams_2": "8"}, "8 g cannot be the weight of a guinea pig"),
        ({"grams_1": "ninety"}, "Enter whole grams, such as 92."),
        ({"weighed_on": "2027-03-07"}, "That is before they were born. Enter a later day."),
        ({"stillborn": "-1"}, "Enter how many were born dead: 0 to 20."),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(
    make_animal, coordinating, text_of, sent, sentence
):
    wren = make_animal("Wren")

    answer = coordinating.post(f"/animals/{wren.code}/birth/", {**SENT, **sent})

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not wren.births.exists()
    assert not Animal.objects.filter(mother=wren).exists()


@pytest.mark.parametrize(
    ("species", "age", "days"),
    [
        (Species.GUINEA_PIG, 13, 1),
        (Species.GUINEA_PIG, 14, 7),
        (Species.RABBIT, 13, 1),
        (Species.RABBIT, 14, 7),
    ],
)
def test_the_newborn_are_weighed_every_day(species, age, days, day):
    """Common practice, no source."""
    weighings = (DatedWeight(day(0), 90),)
    pup = Companion("pup", "Nut", species, Sex.FEMALE, BirthSpan.on(day(-age)), weighings)

    assert weigh_by(pup, day(0)) == day(days)


def test_no_litter_is_recorded_of_a_mother_that_left(make_animal, coordinating, send, day, text_of):
    mother = make_animal("Wren", came_on=day(-30), left_on=day(-1), left_why="adopted")

    opened = text_of(coordinating.get(f"/animals/{mother.code}/birth/", follow=True))
    sent = send(mother)

    assert "Readmit her before you record a litter." in opened
    assert sent.status_code == 422
    assert "Readmit her before you record a litter." in text_of(sent)
    assert not mother.births.exists()


def test_a_litter_too_many_for_the_home_is_recorded_and_told(lives, make_home, send, text_of):
    home = make_home("Fernhill", most_animals=3)
    _group, (mother, _other), _place = lives("Wren", "Ida", home=home)

    page = send(mother)

    assert len(young_of(mother)) == 3
    words = "Animals in Fernhill with this litter: 5. It can look after 3."
    assert f"{words} Find a place for some of them before the young are weaned." in text_of(page)


def test_a_litter_that_the_home_can_look_after_warns_of_nothing(lives, make_home, send, text_of):
    home = make_home("Fernhill", most_animals=5)
    _group, (mother, _other), _place = lives("Wren", "Ida", home=home)

    assert "Find a place for some of them" not in text_of(send(mother))


def test_a_litter_in_a_home_that_is_away_is_recorded_and_told(
    lives, make_home, coordinator, send, text_of, day
):
    home = make_home("Fernhill")
    _group, (mother, _other), _place = lives("Wren", "Ida", home=home)
    Absence.objects.record(
        home, by=coordinator, idempotency_key=None, first_day=day(-1), last_day=None
    )

    page = send(mother)

    assert len(young_of(mother)) == 3
    assert "Fernhill is away from" in text_of(page)
