"""Who joins a group: what speaks against company is said first, going against it leaves a trace."""

import uuid

import pytest

from habitats.animals.models.groups import Group, Override
from habitats.animals.models.joining import part
from habitats.animals.models.quarantines import Quarantine
from tests.animals.test_group_pages import SINCE, make


def admit(client, group, animal, **sent):
    return client.post(f"/groups/{group.code}/admit/", {**SINCE, "animal": animal.code, **sent})


# --- Joined ---


def test_a_quarantine_is_asked_about_twice(lives, apart, coordinating, text_of):
    group, (pip, _moss), _enclosure = lives("Pip", "Moss")

    first = admit(coordinating, group, apart)
    assert "Enter a reason for the override" in text_of(first)
    assert "I have read it twice" not in text_of(first)

    second = admit(coordinating, group, apart, reason="No other room tonight")
    assert second.status_code == 422
    assert "Read the reasons above again" in text_of(second)
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
    said = text_of(then)
    assert "As of 8 February 2027: Nut has been in quarantine since 29 January 2027" in said
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
    assert "Enter a later day, or correct the animals" in text_of(then)
    assert "Add Max</button>" in text_of(then)

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
    assert "This also applies to" not in said
    assert (
        "Not allowed:</span> Nut has been in quarantine since 7 March 2027: keep it apart from Pip"
        in said
    )
    for gone in ("Bo", "Ida"):
        assert (
            "Not allowed:</span> As of 8 March 2027: Nut has been in quarantine since 7 March "
            f"2027: keep it apart from {gone}"
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
    assert "As of 8 February 2027: Nut has been in quarantine" in text_of(answer)


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
    assert "Moss joined" in text_of(answer)
    assert "on 30 November 2026. Enter that day or a later one." in text_of(answer)


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

    (row,) = page.context["blocks"]
    assert len(row.keys) == 2
    assert row.also in ("This also applies to Moss.", "This also applies to Pip.")
    assert row.also in text_of(page)
    assert text_of(page).count("Nut has been in quarantine since 7 March 2027") == 1


def test_an_objection_is_let_be_with_a_reason_and_told_apart_from_then_on(
    together_in_quarantine, coordinating, text_of
):
    group = together_in_quarantine
    keys = coordinating.get(f"/groups/{group.code}/").context["blocks"][0].keys

    first = let_be(coordinating, group, keys, reason="Both came from one van")
    assert first.status_code == 422
    assert "Read the reasons above again" in text_of(first)
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
    assert "it cannot be overridden" in text_of(answer)
    assert not Override.objects.exists()


def test_an_unweighed_young_male_may_join_his_mother_and_the_page_leads_to_the_scales(
    lives, make_animal, coordinating, text_of, day
):
    group, (wren, _moss), _enclosure = lives("Wren", "Moss")
    son = make_animal("Nut", sex="M", born=day(-16), came_on=day(-16), mother=wren)

    page = text_of(coordinating.get(f"/groups/{group.code}/admit/?animal={son.code}"))

    assert "He was never weighed: weigh him now, and then every day." in page
    assert f'href="/animals/{son.code}/weigh/">Weigh Nut</a>' in page
    assert "Not allowed:" not in page
    assert admit(coordinating, group, son, reason="Too young to be alone").status_code == 302


# --- They lived together before they came ---


@pytest.fixture
def pair(make_animal, quarantined):
    """Surrendered together, and added one by one: each has a quarantine of its own."""
    return quarantined(make_animal("Ada")), quarantined(make_animal("Eve"))


@pytest.fixture
def quarantined(coordinator, day):
    def begin(animal, **more):
        Quarantine.objects.create(animal=animal, since=day(-2), made_by=coordinator, **more)
        return animal

    return begin


def the_same(*animals):
    return {"animal": [one.code for one in animals]}


def test_a_pair_that_came_together_is_asked_so_beside_the_refusal(pair, coordinating, text_of):
    page = coordinating.get("/groups/new/", the_same(*pair))
    assert "Did they live together before they came?" in text_of(page)

    answer = coordinating.post("/groups/lived-together/", the_same(*pair), follow=True)

    said = text_of(answer)
    assert "Ada and Eve are in quarantine together now" in said
    assert "Did they live together" not in said
    assert "has been in quarantine" not in said
    coordinating.post("/groups/lived-together/", the_same(*pair))
    assert Quarantine.objects.count() == 4  # said once more, nothing is appended


def test_who_joins_one_it_lived_with_is_asked_too(
    pair, make_group, coordinating, coordinator, text_of
):
    ada, eve = pair
    group = make_group(ada)
    page = coordinating.get(f"/groups/{group.code}/admit/", {"animal": eve.code})
    assert "Did they live together before they came?" in text_of(page)

    sent = {**the_same(*pair), "newcomer": eve.code, "group": group.code}
    answer = coordinating.post("/groups/lived-together/", sent)

    assert answer.url == f"/groups/{group.code}/admit/?animal={eve.code}"
    assert "No recorded reason against it" in text_of(coordinating.get(answer.url))


def test_a_male_that_lived_with_a_female_brings_a_word_about_young(
    make_animal, quarantined, coordinating, text_of
):
    pair = [quarantined(make_animal(name, sex=sex)) for name, sex in (("Ada", "F"), ("Ben", "M"))]
    answer = coordinating.post("/groups/lived-together/", the_same(*pair), follow=True)
    assert "ask a vet whether a female is pregnant" in text_of(answer)


def test_one_that_was_here_before_is_not_asked_about(
    make_animal, quarantined, coordinating, text_of
):
    new, known = quarantined(make_animal("Ada")), make_animal("Moss")
    page = text_of(coordinating.get("/groups/new/", the_same(new, known)))
    assert "has been in quarantine" in page
    assert "Did they live together" not in page


def test_it_is_recorded_later_on_the_page_of_either(pair, make_animal, quarantined, coordinating):
    ada, eve = pair
    Quarantine.objects.filter(animal=eve).update(together="from the barn")
    ivy = quarantined(make_animal("Ivy"), together="from the barn")
    address = f"/animals/{ada.code}/lived-together/"
    assert address in coordinating.get(f"/animals/{ada.code}/").text

    assert coordinating.post(address, {}).status_code == 422
    assert coordinating.post(address, {"others": eve.code}).status_code == 302

    words = {one.animal: one.together for one in Quarantine.objects.in_force()}
    assert words == dict.fromkeys((ada, eve, ivy), "from the barn")


def test_several_of_whom_the_same_is_said_are_told_in_one_breath(
    make_animal, coordinating, text_of, day
):
    sows = [
        make_animal(name, sex="F", may_be_pregnant=True, with_male_last=day(-2))
        for name in ("Ada10", "Ada2", "Ada1")
    ]
    page = text_of(coordinating.get("/groups/new/", the_same(*sows)))
    assert page.count("may have a litter up to") == 1
    assert "This also applies to" in page
