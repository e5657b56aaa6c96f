"""Pages of groups: what speaks against company is said first, going against it leaves a trace."""

import uuid

import pytest

from habitats.animals.forms.groups import chosen_animals, found_enclosure
from habitats.animals.models.animals import Quarantine
from habitats.animals.models.groups import Group, Override
from habitats.animals.models.joining import part

SINCE = {"since": "2027-03-10"}


@pytest.fixture
def apart(make_animal, coordinator, day):
    """An animal in quarantine since three days ago."""
    animal = make_animal("Nut", came_on=day(-3))
    Quarantine.objects.create(animal=animal, since=day(-3), made_by=coordinator)
    return animal


def make(client, *animals, **sent):
    codes = [one.code for one in animals]
    return client.post("/groups/new/", {**SINCE, "animal": codes, **sent})


def admit(client, group, animal, **sent):
    return client.post(f"/groups/{group.code}/admit/", {**SINCE, "animal": animal.code, **sent})


# --- Made ---


def test_an_empty_list_says_what_to_do_first(coordinating, text_of):
    assert "Make the first group" in text_of(coordinating.get("/groups/"))


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
    assert "This cannot be" in text_of(answer)
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
    assert "Say why it is done all the same" in text_of(refused)
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
    assert "Nobody can let this be" in text_of(page)


def test_where_nobody_can_be_chosen_it_says_how_to_go_on(coordinating, text_of):
    assert "take one in</a>" in text_of(coordinating.get("/groups/new/"))


# --- Joined ---


def test_a_quarantine_is_asked_about_twice(lives, apart, coordinating, text_of):
    group, (pip, _moss), _enclosure = lives("Pip", "Moss")

    first = admit(coordinating, group, apart)
    assert "Say why it is done all the same" in text_of(first)
    assert "I have read it twice" not in text_of(first)

    second = admit(coordinating, group, apart, reason="No other room tonight")
    assert second.status_code == 422
    assert "Read once more what stands above" in text_of(second)
    assert "No other room tonight" in text_of(second)
    assert not apart.memberships.exists()

    third = admit(coordinating, group, apart, reason="No other room tonight", confirmed="on")
    assert third.url == f"/groups/{group.code}/"
    assert apart.memberships.open().get().group == group
    kept = Override.objects.filter(key__startswith=f"quarantine {apart.code} {pip.code}").get()
    assert (kept.is_block, kept.confirmed) == (True, True)


def test_a_backdated_joining_is_judged_as_of_its_own_day_too(
    lives, make_animal, coordinator, coordinating, text_of, day
):
    group, _animals, _enclosure = lives("Pip", "Moss")
    nut = make_animal("Nut")
    Quarantine.objects.create(animal=nut, since=day(-40), until=day(-20), made_by=coordinator)

    then = admit(coordinating, group, nut, since=day(-30).isoformat())
    assert then.status_code == 422
    assert "As of 8 February 2027: Nut is in quarantine since 29 January 2027" in text_of(then)
    assert not nut.memberships.exists()

    assert admit(coordinating, group, nut, since=day(-10).isoformat()).status_code == 302


def test_what_was_in_the_way_on_that_day_leaves_the_form_to_give_another(
    lives, make_animal, coordinating, text_of, day
):
    """A castration wait of 42 days (the house's figure) that is over today."""
    group, _animals, _enclosure = lives("Pip", "Moss")
    max_ = make_animal("Max", sex="M", is_castrated=True, castrated_on=day(-50))

    then = admit(coordinating, group, max_, since=day(-30).isoformat())
    assert then.status_code == 422
    assert "As of 8 February 2027: Max was castrated on 19 January 2027" in text_of(then)
    assert "Choose a later day, or correct what is recorded of them." in text_of(then)
    assert "Max joins</button>" in text_of(then)

    assert admit(coordinating, group, max_, since=day(-3).isoformat()).status_code == 302


def test_a_backdated_joining_is_judged_with_those_who_were_there(
    lives, make_animal, coordinator, coordinating, text_of, day
):
    group, (_pip, bo, ida), _enclosure = lives("Pip", "Bo", "Ida")
    nut = make_animal("Nut")
    Quarantine.objects.create(animal=nut, since=day(-3), made_by=coordinator)
    for gone in (bo, ida):
        gone.memberships.get().end(day(-1), coordinator)

    answer = admit(coordinating, group, nut, since=day(-2).isoformat())

    said = text_of(answer)
    assert "The same goes for" not in said
    assert (
        "In the way:</span> Nut is in quarantine since 7 March 2027: keep it apart from Pip" in said
    )
    for gone in ("Bo", "Ida"):
        assert (
            "In the way:</span> As of 8 March 2027: Nut is in quarantine since 7 March 2027: "
            f"keep it apart from {gone}"
        ) in said


def test_a_new_group_is_judged_as_of_the_day_it_began(
    make_animal, coordinator, coordinating, text_of, day
):
    animals = [make_animal("Pip"), make_animal("Nut")]
    Quarantine.objects.create(
        animal=animals[1], since=day(-40), until=day(-20), made_by=coordinator
    )

    answer = coordinating.post(
        "/groups/new/", {"animal": [one.code for one in animals], "since": day(-30).isoformat()}
    )

    assert answer.status_code == 422
    assert "As of 8 February 2027: Nut is in quarantine" in text_of(answer)


def test_two_species_are_asked_about_twice(lives, make_animal, coordinating):
    group, _animals, _enclosure = lives("Pip", "Moss")
    # RSPCA advice: rabbits and guinea pigs are not kept together.
    flo = make_animal("Flo", species="rabbit")

    once_only = admit(coordinating, group, flo, reason="The hutch flooded")
    twice = admit(coordinating, group, flo, reason="The hutch flooded", confirmed="on")

    assert (once_only.status_code, twice.status_code) == (422, 302)


def test_a_newcomer_answers_only_for_what_it_brings(lives, make_animal, coordinating):
    """What was wrong before does not stop it."""
    group, _animals, _enclosure = lives("Ida")
    bo = make_animal("Bo", sex="M")
    group.admit(bo, group.memberships.get().since, by=group.made_by)

    assert (
        admit(
            coordinating,
            group,
            make_animal("Max", sex="M", is_castrated=True, castrated_on="2026-01-01"),
        ).status_code
        == 302
    )


def test_the_space_before_and_after_is_shown(lives, make_animal, coordinating, answer_to, text_of):
    answer_to("ch-tschv")
    # 2 × 2 panels of 355 mm without clearance: 710 × 710 mm inside, 5 041 cm².
    group, _animals, _enclosure = lives("Pip", "Moss", plan=("##", "##"), grams=900)
    nut = make_animal("Nut", grams=900)

    page = coordinating.get(f"/groups/{group.code}/admit/?animal={nut.code}")

    # Switzerland TSchV: two 5 000 cm², each further adult 2 000 more.
    before, after = (one.card.verdict for one in page.context["floors"])
    assert (before.required_mm2, before.passes) == (500_000, True)
    assert (after.required_mm2, after.passes) == (700_000, False)


def test_an_animal_sent_twice_joins_once(lives, make_animal, coordinating):
    group, _animals, _enclosure = lives("Pip")
    moss, once = make_animal("Moss"), str(uuid.uuid4())

    answers = [admit(coordinating, group, moss, once=once) for _ in range(2)]

    assert moss.memberships.count() == 1
    assert [answer.status_code for answer in answers] == [302, 302]


def test_an_animal_cannot_join_before_it_left_elsewhere(lives, coordinating, text_of):
    group, _animals, _enclosure = lives("Pip")
    _other, (moss,), _its = lives("Moss")

    answer = admit(coordinating, group, moss, since="2026-11-29")

    assert answer.status_code == 422
    assert "Moss came into" in text_of(answer)
    assert "on 30 November 2026. Choose that day or a later one." in text_of(answer)


@pytest.mark.parametrize("code", ["NOBODY", "\0", "x" * 500])
def test_a_code_that_nobody_has_is_no_page(code, lives, coordinating):
    group, _animals, _enclosure = lives("Pip")

    assert coordinating.get(f"/groups/{group.code}/admit/", {"animal": code}).status_code == 404


# --- Let be ---


@pytest.fixture
def together_in_quarantine(lives, apart, coordinator, day):
    group, _animals, _enclosure = lives("Pip", "Moss")
    group.admit(apart, day(-3), by=coordinator)
    return group


def let_be(client, group, keys, **sent):
    return client.post(f"/groups/{group.code}/let-be/", {"keys": keys, **sent})


def test_what_is_said_of_several_in_the_same_words_is_said_once(
    together_in_quarantine, apart, coordinating, text_of
):
    page = coordinating.get(f"/groups/{together_in_quarantine.code}/")

    (said,) = page.context["blocks"]
    assert len(said.keys) == 2
    assert said.also in ("Moss", "Pip")
    assert f"The same goes for {said.also}." in text_of(page)
    assert text_of(page).count("Nut is in quarantine since 7 March 2027") == 1


def test_an_objection_is_let_be_with_a_reason_and_told_apart_from_then_on(
    together_in_quarantine, coordinating, text_of
):
    group = together_in_quarantine
    keys = coordinating.get(f"/groups/{group.code}/").context["blocks"][0].keys

    first = let_be(coordinating, group, keys, reason="Both came from one van")
    assert first.status_code == 422
    assert "Read once more what stands above" in text_of(first)
    assert not Override.objects.exists()
    let_be(coordinating, group, keys, reason="Both came from one van", confirmed="on")

    page = coordinating.get(f"/groups/{group.code}/")
    assert [said.keys for said in page.context["let_be"]] == [keys]
    assert page.context["blocks"] == []
    assert "Both came from one van. Cora Lind" in text_of(page)
    assert Override.objects.filter(is_block=True, confirmed=True).count() == 2


def test_a_word_on_one_alone_lapses_once_a_companion_came_and_went(
    make_animal, coordinating, coordinator, day
):
    pip, moss = make_animal("Pip"), make_animal("Moss")
    make(coordinating, pip, reason="A companion comes on Friday")
    group = Group.objects.get()
    admit(coordinating, group, moss)
    part(moss, day(0), by=coordinator)

    page = coordinating.get(f"/groups/{group.code}/")
    assert [said.keys for said in page.context["warnings"]] == [(f"alone {pip.code} -",)]
    assert page.context["let_be"] == []

    let_be(coordinating, group, [f"alone {pip.code} -"], reason="Another comes on Monday")
    page = coordinating.get(f"/groups/{group.code}/")
    assert page.context["warnings"] == []
    assert Override.objects.count() == 2


def test_a_word_on_two_animals_holds_when_a_third_comes(
    together_in_quarantine, make_animal, coordinating
):
    group = together_in_quarantine
    keys = coordinating.get(f"/groups/{group.code}/").context["blocks"][0].keys
    let_be(coordinating, group, keys, reason="Both came from one van", confirmed="on")

    answer = admit(coordinating, group, make_animal("Fern"), reason="Too", confirmed="on")

    assert answer.status_code == 302
    page = coordinating.get(f"/groups/{group.code}/")
    assert page.context["blocks"] == []


@pytest.mark.parametrize("reason", ["", "   ", "x" * 301])
def test_without_a_reason_of_sane_length_nothing_is_let_be(
    reason, together_in_quarantine, coordinating
):
    group = together_in_quarantine
    keys = coordinating.get(f"/groups/{group.code}/").context["blocks"][0].keys

    answer = let_be(coordinating, group, keys, reason=reason, confirmed="on")

    assert answer.status_code == 422
    assert not Override.objects.exists()


def test_what_nobody_can_let_be_is_refused(
    lives, make_animal, coordinating, coordinator, day, text_of
):
    group, _animals, _enclosure = lives("Ida")
    group.admit(make_animal("Bo", sex="M"), day(-1), by=coordinator)
    keys = coordinating.get(f"/groups/{group.code}/").context["blocks"][0].keys

    answer = let_be(coordinating, group, keys, reason="He is old", confirmed="on")

    assert answer.status_code == 422
    assert "nobody can let it be" in text_of(answer)
    assert not Override.objects.exists()


# --- Parted ---


def test_an_animal_leaves_its_group(lives, coordinating, day):
    group, (pip, moss), _enclosure = lives("Pip", "Moss")

    coordinating.post(f"/groups/{group.code}/part/{pip.code}/", {"on": "2027-03-10"})

    assert [one.animal for one in group.memberships.on(day(0))] == [moss]


@pytest.mark.parametrize(
    ("on", "sentence"),
    [
        ("2026-11-29", "Choose that day or a later one"),
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


def test_pages_of_groups_ask_as_many_queries_for_thirty_as_for_three(
    lives, make_home, coordinating, answer_to, queries_for
):
    answer_to("ch-tschv")
    home = make_home()
    small, _animals, _enclosure = lives("A", "B", "C", home=home, grams=800)
    large, _animals, _enclosure = lives(*(f"D{n}" for n in range(30)), home=home, grams=800)
    few = queries_for(coordinating, f"/groups/{small.code}/")
    assert queries_for(coordinating, f"/groups/{large.code}/") == few

    few = queries_for(coordinating, "/groups/")
    for number in range(28):
        lives(f"E{number}", home=home, grams=800)
    assert queries_for(coordinating, "/groups/") == few


@pytest.mark.parametrize("code", ["AB\0C", "\ud800", "x" * 300, "İ", ""])
def test_what_is_no_code_is_not_looked_for(code, db, django_assert_num_queries):
    """PostgreSQL breaks on a NUL or half a character, which a form may carry."""
    with django_assert_num_queries(0):
        assert found_enclosure(code) is None
        assert not chosen_animals([code])
