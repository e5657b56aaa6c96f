"""Pages of animals, without a browser: taken in, found, changed, and what is refused."""

import uuid

import pytest

from habitats.animals.models.animals import Animal
from habitats.animals.models.births import Birth
from habitats.animals.models.quarantines import Quarantine

TAKEN_IN = {
    "name": "Pip",
    "species": "guinea_pig",
    "sex": "F",
    "came_on": "2027-03-08",
    "born_margin_days": "0",
}


def take_in(client, **sent):
    return client.post("/animals/new/", {**TAKEN_IN, **sent})


# --- Found ---


def test_an_empty_list_says_what_to_do_first(coordinating, text_of):
    assert "Add first animal" in text_of(coordinating.get("/animals/"))


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("", {"Pip", "Moss", "Flo", "Nut"}),
        ("?words=mo", {"Moss"}),
        ("?species=rabbit", {"Flo"}),
        ("?sex=M", {"Moss"}),
        ("?shown=alone", {"Moss", "Flo", "Nut"}),
        ("?shown=apart", {"Nut"}),
        ("?shown=gone", {"Bo"}),
        ("?shown=nonsense&sex=X", {"Pip", "Moss", "Flo", "Nut"}),
    ],
)
def test_animals_are_found_by_what_is_known_of_them(
    asked, found, lives, make_animal, coordinating, coordinator, day
):
    lives("Pip")
    make_animal("Moss", sex="M")
    make_animal("Flo", species="rabbit")
    Quarantine.objects.create(animal=make_animal("Nut"), since=day(-20), made_by=coordinator)
    Quarantine.objects.create(
        animal=Animal.objects.get(name="Moss"), since=day(-21), made_by=coordinator
    )
    make_animal("Bo", left_on=day(-1), left_why="adopted")

    rows = coordinating.get(f"/animals/{asked}").context["rows"]

    assert {row.animal.name for row in rows} == found


def test_a_code_finds_its_animal(make_animal, coordinating):
    make_animal("Pip")
    moss = make_animal("Moss")

    rows = coordinating.get(f"/animals/?words={moss.code.lower()}").context["rows"]

    assert [row.animal for row in rows] == [moss]


def test_a_long_list_has_pages(make_animal, coordinating):
    for number in range(31):
        make_animal(f"A{number:02}")

    assert [len(coordinating.get(f"/animals/?page={n}").context["rows"]) for n in (1, 2)] == [30, 1]


def test_the_list_asks_as_many_queries_for_twelve_as_for_three(
    lives, make_home, coordinating, queries_for
):
    home = make_home()
    for number in range(3):
        lives(f"A{number}", home=home, grams=800)
    few = queries_for(coordinating, "/animals/")
    for number in range(9):
        lives(f"B{number}", home=home, grams=800)

    assert queries_for(coordinating, "/animals/") == few


# --- Taken in ---


def test_an_animal_is_taken_in_with_its_weight_and_its_quarantine(coordinating, today, day):
    answer = take_in(coordinating, grams="812", is_apart="on", together="8 March", note="mites")

    animal = Animal.objects.get()
    assert answer.url == f"/animals/{animal.code}/"
    assert [(one.grams, one.on) for one in animal.weighings.all()] == [(812, today)]
    quarantine = animal.quarantines.get()
    assert (quarantine.since, quarantine.until, quarantine.why) == (day(-2), None, "intake")
    assert (quarantine.together, quarantine.note) == ("8 March", "mites")


def test_an_animal_sent_twice_is_taken_in_once(coordinating):
    once = str(uuid.uuid4())

    for _ in range(2):
        take_in(coordinating, grams="812", is_apart="on", once=once)

    animal = Animal.objects.get()
    assert animal.weighings.count() == animal.quarantines.count() == 1


@pytest.mark.parametrize(
    ("sent", "field", "sentence"),
    [
        ({"grams": "0"}, "grams", "0 g cannot be the weight of a guinea pig: 30 g to 2 500 g"),
        ({"grams": "40000"}, "grams", "40 000 g cannot be the weight of a guinea pig"),
        ({"grams": "heavy"}, "grams", "Enter whole grams, such as 812."),
        ({"adult_grams": "40000"}, "adult_grams", "40 000 g cannot be the weight"),
        ({"born": "2027-03-11"}, "born", "11 March 2027 is in the future"),
        ({"came_on": "2027-03-11"}, "came_on", "11 March 2027 is in the future"),
        ({"born": "2027-03-09"}, "came_on", "before it was born"),
        (
            {"born": "2027-01-10", "castrated_on": "2027-01-09"},
            "castrated_on",
            "A castration on 9 January 2027 would be before its birth on 10 January 2027",
        ),
        ({"castrated_on": "2027-03-11"}, "castrated_on", "is in the future"),
        ({"sex": "M", "may_be_pregnant": "on"}, "may_be_pregnant", "A male cannot be"),
        (
            {"with_male_since": "2027-03-02", "with_male_last": "2027-03-01"},
            "with_male_since",
            "ends before it begins",
        ),
        ({"rhd_exposed_on": "2027-03-01"}, "rhd_exposed_on", "Only rabbits catch it"),
        ({"mother_code": "NOBODY"}, "mother_code", "No animal has the code “NOBODY”"),
        ({"name": ""}, "name", "This field is required"),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_nothing_is_lost(
    sent, field, sentence, coordinating, text_of
):
    answer = take_in(coordinating, notes="Shy with hands", **sent)

    assert answer.status_code == 422
    assert sentence in " ".join(answer.context["form"].errors[field]).replace("\xa0", " ")
    assert "Shy with hands" in text_of(answer)
    assert not Animal.objects.exists()


def test_an_estimated_birth_may_lie_after_the_castration_by_its_margin(coordinating):
    days = {"born": "2027-01-10", "born_margin_days": "7", "castrated_on": "2027-01-09"}

    take_in(coordinating, sex="M", **days)

    animal = Animal.objects.get()
    assert (animal.is_castrated, animal.born_margin_days) == (True, 7)


@pytest.mark.parametrize(
    ("facts", "sentence"),
    [
        ({"sex": "M"}, "cannot be its mother"),
        ({"species": "rabbit"}, "cannot be its mother"),
        ({"born": "2027-03-01"}, "not before it"),
    ],
)
def test_a_mother_who_cannot_be_is_refused(facts, sentence, make_animal, coordinating):
    mother = make_animal("Ida", **facts)

    answer = take_in(coordinating, mother_code=mother.code, born="2027-03-01")

    assert sentence in " ".join(answer.context["form"].errors["mother_code"])


def test_one_of_a_litter_begins_with_what_its_mother_tells(
    make_animal, coordinating, coordinator, day
):
    mother = make_animal("Ida")
    Birth.objects.create(mother=mother, on=day(-4), young=3, made_by=coordinator)

    form = coordinating.get(f"/animals/new/?mother={mother.code}").context["form"]

    assert (form["born"].value(), form["mother_code"].value()) == (day(-4), mother.code)
    assert form["is_apart"].value() is False


# --- Changed ---


def test_facts_of_an_animal_are_changed(make_animal, coordinating, day):
    animal = make_animal("Bo", sex="M")

    coordinating.post(
        f"/animals/{animal.code}/edit/",
        TAKEN_IN | {"name": "Bo", "sex": "M", "castrated_on": "2027-03-01"},
    )

    animal.refresh_from_db()
    assert (animal.is_castrated, animal.castrated_on) == (True, day(-9))


def test_a_birth_after_a_weighing_is_refused(make_animal, coordinating, text_of):
    animal = make_animal("Pip", grams=800)

    answer = coordinating.post(
        f"/animals/{animal.code}/edit/", TAKEN_IN | {"born": "2027-03-10", "came_on": "2027-03-10"}
    )

    assert answer.status_code == 422
    assert "A weighing on 9 March 2027 would be before its birth" in text_of(answer)
    assert "Edit Pip" in text_of(answer)


# --- How it came, and what it is known by ---

ARRIVED = {
    "origin": "found",
    "came_from": "a box by the canal",
    "found_by": "Hedda Brook",
    "condition": "thin, crusty eyes",
    "colour": "black and white",
    "marks": "white foot",
    "own_id": "2027-014",
    "chip": "276 0981 0002 1417",
}


def test_how_it_came_and_what_it_is_known_by_stand_on_its_page(coordinating, text_of):
    page = text_of(coordinating.get(take_in(coordinating, **ARRIVED).url))

    for words in (
        "Found",
        "a box by the canal",
        "Hedda Brook",
        "thin, crusty eyes",
        "black and white, white foot",
        "2027-014",
        "276 0981 0002 1417",
    ):
        assert words in page


def test_a_foster_does_not_read_who_brought_it(lives, make_home, foster, client_of, text_of):
    _group, (pip,), _enclosure = lives("Pip", home=make_home(people=[foster]))
    Animal.objects.update(came_from="a box by the canal", found_by="Hedda Brook", colour="agouti")

    page = text_of(client_of(foster).get(f"/animals/{pip.code}/"))

    assert "agouti" in page
    assert "Hedda Brook" not in page
    assert "canal" not in page


def test_a_sex_that_is_not_sure_counts_as_not_known(coordinating, text_of):
    address = take_in(coordinating, sex="F?").url

    animal = Animal.objects.get()
    assert (animal.sex, animal.sex_guess) == ("", "F")
    assert "probably female, not sure" in text_of(coordinating.get(address))
    assert coordinating.get(f"{address}edit/").context["form"]["sex"].value() == "F?"


@pytest.mark.parametrize("number", [{"chip": "276098100021417"}, {"own_id": "2027-014"}])
def test_a_number_that_another_has_is_refused_with_a_link_to_it(coordinating, number):
    first = take_in(coordinating, **ARRIVED).url

    answer = take_in(coordinating, name="Moss", **number)

    assert answer.status_code == 422
    (sentence,) = answer.context["form"].errors[next(iter(number))]
    assert f'href="{first}"' in sentence
    assert "has this number already" in sentence


def test_an_animal_is_found_by_its_chip(coordinating):
    take_in(coordinating, **ARRIVED)
    take_in(coordinating, name="Moss")

    rows = coordinating.get("/animals/", {"words": "276-098100021417"}).context["rows"]

    assert [row.animal.name for row in rows] == ["Pip"]
