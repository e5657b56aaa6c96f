"""Pages of groups: made, found, parted."""

import uuid

import pytest

from habitats.animals.forms.groups import chosen_animals, found_enclosure
from habitats.animals.models.groups import Group, Override

SINCE = {"since": "2027-03-10"}


def make(client, *animals, **sent):
    codes = [one.code for one in animals]
    return client.post("/groups/new/", {**SINCE, "animal": codes, **sent})


# --- Made ---


def test_an_empty_list_says_what_to_do_first(coordinating, text_of):
    page = text_of(coordinating.get("/groups/"))

    assert "New intake" in page
    assert "New group" in page


def test_a_group_is_made_of_those_chosen_and_then_asks_where_it_lives(
    make_animal, coordinating, day
):
    pip, moss, once = make_animal("Pip"), make_animal("Moss"), str(uuid.uuid4())

    answers = [make(coordinating, pip, moss, name="The two", once=once) for _ in range(2)]

    group = Group.objects.get()
    assert {answer.url for answer in answers} == {f"/groups/{group.code}/move/"}
    assert (group.name, group.species) == ("The two", "guinea_pig")
    assert group.memberships.on(day(0)).count() == 2


def test_without_anybody_chosen_no_group_is_made(coordinating, text_of):
    answer = make(coordinating)

    assert answer.status_code == 422
    assert "No animal is chosen" in text_of(answer)
    assert not Group.objects.exists()


def test_those_in_no_group_are_offered_and_others_found_by_name(lives, make_animal, coordinating):
    lives("Moss")
    pip = make_animal("Pip")

    def offered(asked):
        return [row.animal.name for row in coordinating.get(asked).context["offered"]]

    assert offered("/groups/new/") == ["Pip"]
    assert offered("/groups/new/?words=mos") == ["Moss"]
    assert offered(f"/groups/new/?animal={pip.code}") == []


def test_what_nobody_can_override_stops_a_group(make_animal, coordinating, text_of):
    ida, bo = make_animal("Ida"), make_animal("Bo", sex="M")

    answer = make(coordinating, ida, bo, reason="They like each other", confirmed="on")

    assert answer.status_code == 422
    assert "Bo is an entire male" in text_of(answer)
    assert "Not allowed" in text_of(answer)
    assert not Group.objects.exists()


def test_the_day_from_which_a_castrated_male_may_live_with_females_is_told(
    make_animal, coordinating, text_of, day
):
    # 42 days after castration: veterinary guidance, second-hand.
    ida, bo = (
        make_animal("Ida"),
        make_animal("Bo", sex="M", is_castrated=True, castrated_on=day(-41)),
    )

    page = text_of(coordinating.get(f"/groups/new/?animal={ida.code}&animal={bo.code}"))
    assert "Allowed from 11 March 2027" in page

    bo.castrated_on = day(-42)
    bo.save()
    assert make(coordinating, ida, bo).status_code == 302


def test_a_warning_wants_a_reason_which_is_kept(make_animal, coordinating, coordinator, text_of):
    pip = make_animal("Pip")

    refused = make(coordinating, pip)
    assert refused.status_code == 422
    assert "Enter a reason for the override" in text_of(refused)
    make(coordinating, pip, reason="Her sister died; a companion comes on Friday")

    override = Override.objects.get()
    assert (override.key, override.is_block, override.made_by) == (
        f"alone {pip.code} -",
        False,
        coordinator,
    )
    assert override.reason == "Her sister died; a companion comes on Friday"


def test_one_alone_against_the_rule_set_is_written_down_and_stays_wrong(
    make_animal, coordinating, answer_to, text_of
):
    # Switzerland TSchV: never singly.
    answer_to("ch-tschv")
    pip = make_animal("Pip")

    assert make(coordinating, pip).status_code == 302

    group = Group.objects.get()
    page = coordinating.get(f"/groups/{group.code}/")
    assert [said.objection.code for said in page.context["blocks"]] == ["never_alone"]
    assert "This cannot be overridden" in text_of(page)


def test_where_nobody_can_be_chosen_it_says_how_to_go_on(coordinating, text_of):
    assert "add an animal</a>" in text_of(coordinating.get("/groups/new/"))


# --- Parted ---


def test_an_animal_leaves_its_group(lives, coordinating, day):
    group, (pip, moss), _enclosure = lives("Pip", "Moss")

    coordinating.post(f"/groups/{group.code}/part/{pip.code}/", {"on": "2027-03-10"})

    assert [one.animal for one in group.memberships.on(day(0))] == [moss]


@pytest.mark.parametrize(
    ("on", "sentence"),
    [
        ("2026-11-29", "Enter that day or a later one"),
        ("2027-03-11", "in the future"),
        ("", "This field is required"),
    ],
)
def test_a_day_on_which_nobody_can_leave_is_refused(on, sentence, lives, coordinating, text_of):
    group, (pip, _moss), _enclosure = lives("Pip", "Moss")

    answer = coordinating.post(f"/groups/{group.code}/part/{pip.code}/", {"on": on})

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert pip.memberships.open().exists()


def test_an_animal_of_another_group_does_not_leave_this_one(lives, coordinating):
    group, _animals, _enclosure = lives("Pip")
    _other, (moss,), _its = lives("Moss")

    answer = coordinating.post(f"/groups/{group.code}/part/{moss.code}/", {"on": "2027-03-10"})

    assert answer.status_code == 404


# --- Its page ---


def test_a_group_is_called_by_its_name_or_by_its_animals(lives, coordinating, text_of):
    group, _animals, _enclosure = lives("Pip", "Moss")
    address = f"/groups/{group.code}/"
    assert "<title>Moss and Pip" in text_of(coordinating.get(address))

    coordinating.post(f"{address}edit/", {"name": "The two", "notes": "Fed at seven"})

    assert "<title>The two" in text_of(coordinating.get(address))
    assert "Fed at seven" in text_of(coordinating.get(address))


def test_groups_are_found_by_the_name_of_an_animal_in_them(lives, coordinating):
    group, _animals, _enclosure = lives("Pip")
    lives("Moss")

    rows = coordinating.get("/groups/?words=pip").context["rows"]

    assert [row.group for row in rows] == [group]


def test_a_foster_reads_their_own_groups_page_and_changes_nothing(
    lives, make_home, foster, fostering, text_of
):
    own, _animals, _enclosure = lives("Pip", "Moss", home=make_home(people=[foster]))
    other, _animals, _enclosure = lives("Nut")

    page = fostering.get(f"/groups/{own.code}/")

    assert page.status_code == 200
    assert "<form" not in text_of(page).split("<main")[1].split("</main>")[0]
    assert fostering.get(f"/groups/{other.code}/").status_code == 404
    assert fostering.post(f"/groups/{own.code}/let-be/").status_code == 403


def test_pages_of_groups_ask_as_many_queries_for_twelve_as_for_three(
    lives, make_home, coordinating, answer_to, queries_for
):
    answer_to("ch-tschv")
    home = make_home()
    small, _animals, _enclosure = lives("A", "B", "C", home=home, grams=800)
    large, _animals, _enclosure = lives(*(f"D{n}" for n in range(12)), home=home, grams=800)
    few = queries_for(coordinating, f"/groups/{small.code}/")
    assert queries_for(coordinating, f"/groups/{large.code}/") == few

    few = queries_for(coordinating, "/groups/")
    for number in range(9):
        lives(f"E{number}", home=home, grams=800)
    assert queries_for(coordinating, "/groups/") == few


@pytest.mark.parametrize("code", ["AB\0C", "\ud800", "x" * 300, "İ", ""])
def test_what_is_no_code_is_not_looked_for(code, db, django_assert_num_queries):
    """PostgreSQL breaks on a NUL or half a character, which a form may carry."""
    with django_assert_num_queries(0):
        assert found_enclosure(code) is None
        assert not chosen_animals([code])
